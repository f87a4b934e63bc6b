// Guarantees: the gauge study reads what people write and says where a line is wrong.
// Example failure: a comma as decimal sign makes another study instead of an error.
#include <nlohmann/json.hpp>
#include <sstream>

#include "app/commands/prove.h"
#include "app/proof/gauge_files.h"
#include "app/proof/proof_report.h"
#include "calib/files.h"
#include "tests/calib/simulated_proof.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

constexpr const char* kStudy =
    "# invented\noperator,part,trial,value\n"
    "ann,1,1,0.5\nann,1,2,1.5\nbo,1,1,2.5\nbo,1,2,3.5\nann,2,1,4.5\nann,2,2,5.5\nbo,2,1,2.5\nbo,2,2,3.5\n";

struct Said {
  int code = 0;
  std::string out, err;
};

Said study(const std::vector<std::filesystem::path>& files, bool json = false) {
  app::StudyOptions options;
  options.files = files;
  options.json = json;
  options.tolerance = 12.0;
  std::ostringstream out, err;
  Said said;
  said.code = app::run_study(options, out, err);
  said.out = out.str(), said.err = err.str();
  return said;
}

}  // namespace

TEST_CASE("a study of a CSV in words and as JSON", "[gauge]") {
  const TemporaryFolder folder;
  const auto file = folder.put("study.csv", kStudy);
  const Said words = study({file});
  CHECK(words.code == 0);
  CHECK(words.out.find("2 operators, 2 parts, 2 trials each") != std::string::npos);
  CHECK(words.out.find("(repeatability): standard deviation 0.7071") != std::string::npos);
  const nlohmann::json json = nlohmann::json::parse(study({file}, true).out)[0];
  // By hand: repeatability 0.5, interaction (8 - 0.5) / 2 (see the test of calib::gauge_study).
  CHECK_THAT(json["components"]["repeatability"]["variance"].get<double>(), WithinAbs(0.5, 1e-12));
  CHECK_THAT(json["components"]["interaction"]["variance"].get<double>(), WithinAbs(3.75, 1e-12));
  CHECK_THAT(json["components"]["gauge"]["percent_tolerance"].get<double>(), WithinAbs(50.0 * std::sqrt(4.25), 1e-9));
  // Columns in another order, with quotes and blanks, are the same study.
  const auto other = folder.put("other.csv",
                                "value, \"part\", operator\r\n0.5,1,ann\r\n1.5,1,ann\r\n2.5,1,bo\r\n3.5,1,bo\r\n"
                                "4.5,2,ann\r\n5.5,2,ann\r\n2.5,2,bo\r\n3.5,2,bo\r\n");
  CHECK(study({other}).out == words.out);
}

TEST_CASE("faults of a study's file are told with their line", "[gauge]") {
  const TemporaryFolder folder;
  const std::pair<const char*, const char*> faults[] = {
      {"", "holds no readings"},
      {"operator,part,trial\nann,1,1\n", ":1: there is no column 'value'"},
      {"operator,part,trial,value\nann,1,1,1,5\n", ":2: there are 5 fields and 4 columns"},
      {"operator,part,trial,value\nann,1,1,much\n", ":2: 'much' is no number"},
      {"operator,part,trial,value\nann,1,1,nan\n", ":2: 'nan' is no number"},
      {"operator,part,trial,value\n\n,1,1,2\n", ":3: operator or part is empty"},
      {"operator,part,trial,value\nann,1,1,2\nann,2,1,2\nbo,1,1,2\n", "operator 'bo' measured part '2' 0 times"},
      {"operator,part,trial,value\nann,1,1,2\n", "two of each are the least"},
  };
  for (const auto& [content, message] : faults) {
    const Said said = study({folder.put("study.csv", content)});
    INFO(said.err);
    CHECK(said.code == 2);
    CHECK(said.out.empty());
    CHECK(said.err.find(message) != std::string::npos);
    CHECK(said.err.find("study.csv") != std::string::npos);
  }
  CHECK(study({folder.path / "none.csv"}).code == 2);
}

TEST_CASE("proofs of two operators are three studies", "[gauge]") {
  const TemporaryFolder folder;
  std::vector<std::filesystem::path> files;
  simulated::Truth truth;
  for (std::size_t s = 0; s < 5; ++s) truth.sheet_mm[s] = {0.1 * static_cast<double>(s), 0.0};
  for (const char* by : {"ann", "bo"}) {
    simulated::Sheet sheet(truth, 20);
    app::ProofReport report;
    report.proof = calib::prove(sheet.proof(5, 2), 1.0, {}, {});
    report.by = by;
    files.push_back(folder.put(std::string(by) + ".json", app::proof_json(report)));
    // The second lays the sheet so that all reads 0.2 mm higher on it.
    for (cv::Point2d& error : truth.sheet_mm) error.y += 0.2;
  }
  const nlohmann::json studies = nlohmann::json::parse(study(files, true).out);
  REQUIRE(studies.size() == 3);
  CHECK(studies[0]["parts"] == 5);
  CHECK(studies[0]["operators"] == 2);
  CHECK(studies[0]["trials"] == 10);
  CHECK_THAT(studies[0]["components"]["operator"]["sd"].get<double>(), WithinAbs(0.0, 0.02));
  CHECK_THAT(studies[0]["components"]["part"]["sd"].get<double>(), WithinAbs(0.1 * std::sqrt(2.5), 0.03));
  CHECK_THAT(studies[1]["components"]["operator"]["sd"].get<double>(), WithinAbs(0.2 / std::sqrt(2.0), 0.03));

  CHECK(study({files[0]}).err.find("one proof is no study") != std::string::npos);
  CHECK(study({files[0], files[0]}).err.find("a second proof by 'ann'") != std::string::npos);
  CHECK(study({files[0], folder.put("x.json", "{}")}).err.find("is no proof") != std::string::npos);
}
