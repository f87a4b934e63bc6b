#include "app/places.h"
#include "app/proof/proof_page.h"
#include "app/proof/proof_report.h"
#include "app/proof/proof_time.h"
#include "app/sheets/sheet_error.h"
#include "app/words/words.h"
#include "calib/atomic_write.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

ProofFiles unused_names(const fs::path& folder, std::time_t time) {
  const std::string stem = "proof-" + utc_name(time);
  for (int number = 1;; ++number) {
    const fs::path name = folder / (number == 1 ? stem : stem + "-" + std::to_string(number));
    const ProofFiles files{name.string() + ".json", name.string() + ".pdf"};
    if (!fs::exists(files.json) && !fs::exists(files.pdf)) return files;
  }
}

}  // namespace

ProofFiles write_proof(const ProofReport& report, const fs::path& folder) {
  const InEnglish report_language;
  make_room_for(folder / "proof.json");
  const ProofFiles files = unused_names(folder, report.time);
  try {
    calib::write_atomically(files.pdf, proof_pdf(report, local_paper()));
  } catch (const SheetError& error) {
    throw calib::FileError(files.pdf.string() + ": " + error.what());
  }
  calib::write_atomically(files.json, proof_json(report));
  return files;
}

}  // namespace app
