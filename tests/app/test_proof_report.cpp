// Guarantees: the report says what was found, in words, as JSON and on one page, and no report is written over another.
// Example failure: a proof that did not decide reads as one that passed; a long list runs off the page.
#include <cstdio>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>

#include "app/proof/last_proof.h"
#include "app/proof/proof_page.h"
#include "app/proof/proof_report.h"
#include "app/render/demo_station.h"
#include "app/sheets/sheet_picture.h"
#include "calib/files.h"
#include "tests/calib/simulated_proof.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

constexpr std::time_t kNoon = 1769860800;  // 2026-01-31T12:00:00Z

app::ProofReport report_of(const simulated::Truth& truth, int places = 5, int readings = 20) {
  simulated::Sheet sheet(truth, 7);
  app::ProofReport report;
  report.plan = {5, 20};
  report.proof = calib::prove(sheet.proof(places, readings), truth.scale, {}, report.plan);
  report.station_file = "station.toml";
  report.station_fingerprint = app::station_fingerprint(app::demo_station());
  report.time = kNoon;
  return report;
}

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

std::string all_words(const app::ProofReport& report) {
  std::string text = app::proof_headline(report);
  for (const std::string& line : app::proof_lines(report)) text += "\n" + line;
  return text;
}

// What a program prints. Throws nothing; an empty text where it cannot be run.
std::string printed(const std::string& command) {
  std::string text;
  FILE* pipe = ::popen(command.c_str(), "r");
  if (pipe == nullptr) return text;
  char part[4096];
  while (const std::size_t count = std::fread(part, 1, sizeof part, pipe)) text.append(part, count);
  ::pclose(pipe);
  return text;
}

simulated::Truth off_station() {
  simulated::Truth truth;
  truth.station_mm = {0.45, -0.2};
  return truth;
}

simulated::Truth stretched() {
  simulated::Truth truth;
  truth.station_mm = {};
  truth.linear = {0.004, 0.0, 0.0, -0.004};
  return truth;
}

}  // namespace

TEST_CASE("the outcome comes first and says what to do", "[proof]") {
  const std::string good = all_words(report_of({}));
  CHECK(good.rfind("The station passes: ", 0) == 0);
  CHECK(holds(good, "allowed are 0.30 mm and 0.20 deg"));
  CHECK(holds(good, "to the right and 0.0"));
  CHECK(holds(good, "towards you, known to"));
  CHECK_FALSE(holds(good, "issing"));

  const std::string bad = all_words(report_of(off_station()));
  CHECK(bad.rfind("The station fails: its readings do not keep within 0.30 mm and 0.20 deg.\nIt reads to one side",
                  0) == 0);

  const std::string open = all_words(report_of(stretched()));
  CHECK(open.rfind("Not decided: ", 0) == 0);
  CHECK(holds(open, "print the sheet on another printer"));

  const std::string one_place = all_words(report_of({}, 1, 3));
  CHECK(one_place.rfind("Not decided: ", 0) == 0);
  CHECK(holds(one_place, "measure the sheet at two places or more"));
  CHECK(holds(one_place, "missing: 4 of 5 places"));
  CHECK_FALSE(holds(one_place, "nan"));
}

TEST_CASE("what is promised is rounded up", "[proof]") {
  app::ProofReport report = report_of({});
  report.proof.offset_mm.certain = 0.2811;
  report.proof.offset_mm.shared = report.proof.offset_mm.expanded = 0.0;
  CHECK(holds(app::proof_headline(report), "within 0.29 mm"));
}

TEST_CASE("the JSON holds the same figures, and null for what is not known", "[proof]") {
  const app::ProofReport report = report_of({});
  const nlohmann::json json = nlohmann::json::parse(app::proof_json(report));
  CHECK(json["verdict"] == "pass");
  CHECK(json["time_utc"] == "2026-01-31T12:00:00Z");
  CHECK(json["readings"] == 1000);
  CHECK(json["places"].size() == 5);
  CHECK_THAT(json["offset_mm"]["largest_error"].get<double>(), WithinAbs(report.proof.offset_mm.most(), 1e-5));
  CHECK_THAT(json["station"]["bias_x_mm"]["value"].get<double>(), WithinAbs(report.proof.bias_x_mm.value, 1e-5));
  CHECK(json["sheet"].size() == 5);

  const nlohmann::json small = nlohmann::json::parse(app::proof_json(report_of({}, 1, 1)));
  CHECK(small["offset_mm"]["expanded_uncertainty"].is_null());
  CHECK(small["station"]["scatter_x_mm"]["repeatability_sd"].is_null());
  CHECK(small["verdict"] == "undecided");
}

TEST_CASE("one page on A4 and on Letter, with nothing near its edges", "[proof]") {
  const TemporaryFolder folder;
  const std::pair<app::Paper, const char*> papers[] = {{app::Paper::a4, "595.276 x 841.89"},
                                                       {app::Paper::letter, "612 x 792"}};
  for (const auto& [paper, size] : papers) {
    for (const int places : {1, 5, 6}) {
      const app::ProofReport report = report_of(stretched(), places, 2);
      const auto file = folder.put("proof.pdf", app::proof_pdf(report, paper));
      const std::string info = printed("pdfinfo " + file.string());
      INFO(info);
      CHECK(holds(info, "Pages:           1"));
      CHECK(holds(info, size));
      const std::string text = printed("pdftotext -layout " + file.string() + " -");
      CHECK(holds(text, "Proof of the hooping station"));
      CHECK(holds(text, "Not decided: "));
      CHECK(holds(text, "reproducibility standard deviation s_R"));

      const cv::Mat1b page = app::page_picture(app::proof_page(report, paper), 3.0);
      const int edge = 3 * 12;
      const cv::Rect inside(edge, edge, page.cols - 2 * edge, page.rows - 2 * edge);
      cv::Mat1b outside = page.clone();
      outside(inside).setTo(255);
      double darkest = 0.0;
      cv::minMaxLoc(outside, &darkest, nullptr);
      CHECK(darkest == 255.0);
    }
  }
}

TEST_CASE("proofs are kept, each under its own name", "[proof]") {
  const TemporaryFolder folder;
  const app::ProofReport report = report_of({});
  const app::ProofFiles first = app::write_proof(report, folder.path / "proof");
  const app::ProofFiles second = app::write_proof(report, folder.path / "proof");
  CHECK(first.json.filename() == "proof-2026-01-31T120000.json");
  CHECK(second.json.filename() == "proof-2026-01-31T120000-2.json");
  CHECK(second.pdf.filename() == "proof-2026-01-31T120000-2.pdf");
  CHECK(TemporaryFolder::content(first.pdf).rfind("%PDF", 0) == 0);
  const app::LastProof last = app::latest_proof(folder.path / "station.toml", app::demo_station(), kNoon);
  CHECK(last.state == app::LastProof::State::holds);

  folder.put("file", "");
  CHECK_THROWS_AS(app::write_proof(report, folder.path / "file" / "proof"), calib::FileError);
}
