// What a person types for the command print, and what comes of it on the disk.
#include <opencv2/imgcodecs.hpp>
#include <sstream>

#include "app/commands/print.h"
#include "app/render/printed.h"
#include "app/sheets/number_list.h"
#include "app/sheets/sheet_error.h"
#include "app/sheets/sheet_picture.h"
#include "calib/chart.h"
#include "calib/files.h"
#include "calib/proof_sheet.h"
#include "tests/calib/samples.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

struct Desk {
  int print() {
    out.str("");
    err.str("");
    return app::run_print(options, out, err);
  }
  bool says(const std::string& text) const { return err.str().find(text) != std::string::npos; }

  TemporaryFolder folder;
  app::PrintOptions options;
  std::ostringstream out, err;
};

std::string fault_of(const std::vector<std::string>& lists, const app::NumberRange& range = app::kStickerNumbers) {
  try {
    app::parse_numbers(lists, range);
  } catch (const app::SheetError& error) {
    return error.what();
  }
  return "none";
}

}  // namespace

TEST_CASE("numbers are taken as typed and in their order", "[sheets]") {
  using Numbers = std::vector<int>;
  CHECK(app::parse_numbers({"0-3,14"}, app::kStickerNumbers) == Numbers{0, 1, 2, 3, 14});
  CHECK(app::parse_numbers({"99", "7-7"}, app::kStickerNumbers) == Numbers{99, 7});
  CHECK(app::parse_numbers({"0-99"}, app::kStickerNumbers).size() == 100);
  CHECK(app::number_text({0, 1, 2, 3, 14}) == "0–3, 14");
  CHECK(app::number_text({5, 6}) == "5, 6");
  CHECK(app::number_text({7}) == "7");
}

// Guarantees: nothing is left out or put right in silence. Example failure: 9-0 prints nothing, 1,1 one sticker.
TEST_CASE("wrong numbers are told with what to write", "[sheets][errors]") {
  CHECK(fault_of({"100"}) == "100 is out of range; sticker numbers are 0 to 99");
  CHECK(fault_of({"90-100"}) == "100 is out of range; sticker numbers are 0 to 99");
  CHECK(fault_of({"99999999999999999999"}).find("is out of range") != std::string::npos);
  CHECK(fault_of({"399"}, app::kBoardMarkNumbers) == "399 is out of range; board marks are 400 to 449");
  CHECK(fault_of({"9-0"}) == "the range 9-0 is reversed; write 0-9");
  CHECK(fault_of({"0-9,4"}) == "4 is there twice; name each number once");
  CHECK(fault_of({"3", "3"}) == "3 is there twice; name each number once");
  for (const char* text : {"", ",", "1,", "x", "-1", "1-", "1.5", "0x1", " 1", "+1"}) {
    INFO(text);
    CHECK(fault_of({text}).find("is no number; write them as in 0-9,14") != std::string::npos);
  }
  CHECK(fault_of({"1-2-3"}) == "'1-2-3' is no range; write it as in 0-9");
  CHECK(fault_of({"1--2"}) == "'1--2' is no range; write it as in 0-9");
}

TEST_CASE("a sheet that cannot be made leaves no file", "[sheets][errors]") {
  Desk desk;
  desk.options.out_file = desk.folder.path / "sheet.pdf";
  const auto refused = [&](app::Sheet sheet, std::vector<std::string> chosen, const char* says) {
    desk.options.sheet = sheet;
    desk.options.chosen = std::move(chosen);
    CHECK(desk.print() == 2);
    INFO(desk.err.str());
    CHECK(desk.says(says));
    CHECK(desk.folder.entries() == 0);
  };
  refused(app::Sheet::stickers, {"0-100"}, "100 is out of range");
  refused(app::Sheet::north, {"400"}, "north marks are 450 to 479");
  refused(app::Sheet::badges, {}, "name the cards");
  refused(app::Sheet::badges, {"480"}, "'480' is no card");
  refused(app::Sheet::badges, {"479=A"}, "badges and job tickets are 480 to 586");
  refused(app::Sheet::badges, {"480=A", "480=B"}, "tag 480 is there twice");
  refused(app::Sheet::badges, {"480= "}, "tag 480 has no text");
  refused(app::Sheet::badges, {"480=\xC3"}, "not valid UTF-8");
  refused(app::Sheet::badges, {"480=a\nb"}, "a control character");
  refused(app::Sheet::tickets, {"500=\xE5\xB8\x83"}, "which the typeface does not have");
  refused(app::Sheet::tickets, {"500=" + std::string(60, 'm')}, "too long for its card");
}

TEST_CASE("files are named, kept and refused as a person expects", "[sheets][errors]") {
  Desk desk;
  desk.options.sheet = app::Sheet::proof;
  const auto file = desk.folder.put("sheet.pdf", "mine");
  desk.options.out_file = file;
  CHECK(desk.print() == 2);
  CHECK(desk.says("is there already; name another file with --out, or add --replace"));
  CHECK(TemporaryFolder::content(file) == "mine");
  desk.options.replace = true;
  CHECK(desk.print() == 0);
  CHECK(TemporaryFolder::content(file).starts_with("%PDF-"));
  CHECK(desk.out.str() ==
        file.string() + ": 1 page A4; print at 100 %, not \"fit to page\", then lay a ruler on the 100 mm bar\n");
  desk.options.out_file = desk.folder.path / "none" / "sheet.pdf";
  CHECK(desk.print() == 2);
  CHECK(desk.says("none/sheet.pdf: cannot write beside it"));
  desk.options.out_file = "/proc/sheet.pdf";  // a folder that not even root can write to
  CHECK(desk.print() == 2);
  CHECK(desk.says("check the folder"));
  desk.options.out_file = desk.folder.path / "sheet.doc";
  CHECK(desk.print() == 2);
  CHECK(desk.says("end the file's name with .pdf, .png or .svg"));
  CHECK(desk.folder.entries() == 1);
}

TEST_CASE("labels that cannot hold stickers are refused", "[sheets][errors]") {
  const app::LabelGrid good{3, 5, {63.5, 46.6}, {7.2, 20.0}, {66.0, 46.6}, 0};
  CHECK_NOTHROW(app::check_labels(good, app::Paper::a4));
  CHECK_NOTHROW(app::check_labels({1, 1, {210.0, 297.0}, {0.0, 0.0}, {0.0, 0.0}, 0}, app::Paper::a4));
  const auto faulty = [&](auto change) {
    app::LabelGrid labels = good;
    change(labels);
    CHECK_THROWS_AS(app::check_labels(labels, app::Paper::a4), app::SheetError);
  };
  faulty([](auto& labels) { labels.columns = 0; });
  faulty([](auto& labels) { labels.columns = 4; });
  faulty([](auto& labels) { labels.rows = 6; });
  faulty([](auto& labels) { labels.label_mm.height = 43.9; });
  faulty([](auto& labels) { labels.pitch_mm.x = 60.0; });
  faulty([](auto& labels) { labels.margin_mm.x = -1.0; });
  faulty([](auto& labels) { labels.margin_mm.y = std::nan(""); });
  faulty([](auto& labels) { labels.skip = 15; });
}

// Guarantees: a sticker's PNG has its resolution written in it, so that it is placed 44 mm wide; and it is the sticker.
TEST_CASE("a single sticker comes as PNG and SVG", "[sheets]") {
  Desk desk;
  desk.options.sheet = app::Sheet::stickers;
  desk.options.chosen = {"14"};
  desk.options.out_file = desk.folder.path / "14.png";
  desk.options.dpi = 254.0;
  REQUIRE(desk.print() == 0);
  const std::string png = TemporaryFolder::content(*desk.options.out_file);
  const std::string per_metre("pHYs\0\0\x27\x10\0\0\x27\x10\x01", 13);  // 10,000 px a metre
  CHECK(png.find(per_metre) == 37);
  const cv::Mat1b picture = cv::imread(desk.options.out_file->string(), cv::IMREAD_GRAYSCALE);
  REQUIRE(picture.size() == cv::Size(440, 440));
  desk.options.out_file = desk.folder.path / "14.svg";
  CHECK(desk.print() == 2);
  CHECK(desk.says("--dpi is for PNG"));
  desk.options.dpi.reset();
  REQUIRE(desk.print() == 0);
  const std::string svg = TemporaryFolder::content(*desk.options.out_file);
  CHECK(svg.find("width=\"44mm\" height=\"44mm\"") != std::string::npos);
  CHECK(svg.find("<image") == std::string::npos);
  desk.options.chosen = {"14,15"};
  desk.options.replace = true;
  CHECK(desk.print() == 2);
  CHECK(desk.says("PNG and SVG hold a single sticker"));
}

// Guarantees: the rendered station shows the stickers that are printed: ink in the same places, the number's face
// aside.
TEST_CASE("the printed sticker is the renderer's", "[sheets][render]") {
  constexpr int kPxPerMm = 10;
  const cv::Mat1b picture = app::page_picture(app::single_sticker(37), kPxPerMm);
  int compared = 0, differ = 0;
  for (int y = 1; y + 1 < picture.rows; ++y) {
    for (int x = 1; x + 1 < picture.cols; ++x) {
      double low = 0.0, high = 0.0;
      cv::minMaxLoc(picture(cv::Rect(x - 1, y - 1, 3, 3)), &low, &high);
      const cv::Point2f p((static_cast<float>(x) + 0.5F) / kPxPerMm - 22.0F,
                          22.0F - (static_cast<float>(y) + 0.5F) / kPxPerMm);
      const bool number = p.x > 0.9F && p.x < 5.0F && p.y < -15.7F && p.y > -18.3F;
      if (low != high || number) continue;
      ++compared;
      if ((low < 128.0) != app::sticker_has_ink(37, p)) ++differ;
    }
  }
  CHECK(compared > 100000);
  CHECK(differ == 0);
}

// Guarantees: what the renderer gets as texture has each sheet's own origin in the middle, at the asked resolution.
TEST_CASE("sheet pictures are centred on their frames", "[sheets][picture]") {
  constexpr double kPxPerMm = 4.0;
  const auto grey_at = [](const cv::Mat1b& picture, cv::Point2d p_mm) {
    return picture(static_cast<int>(picture.rows / 2.0 - p_mm.y * kPxPerMm),
                   static_cast<int>(picture.cols / 2.0 + p_mm.x * kPxPerMm));
  };
  for (const app::Paper paper : {app::Paper::a4, app::Paper::letter}) {
    const cv::Mat1b chart = app::sheet_picture(app::SetupSheet::calibration, paper, kPxPerMm);
    CHECK(chart.size() == (paper == app::Paper::a4 ? cv::Size(1188, 840) : cv::Size(1118, 864)));
    // Corner 0: black above left of it and below right of it.
    const cv::Point2d corner = calib::chart_corner_mm(0);
    CHECK(grey_at(chart, corner + cv::Point2d(-1.0, 1.0)) == 0);
    CHECK(grey_at(chart, corner + cv::Point2d(1.0, -1.0)) == 0);
    CHECK(grey_at(chart, corner + cv::Point2d(1.0, 1.0)) == 255);
    const cv::Mat1b proof = app::sheet_picture(app::SetupSheet::proof, paper, kPxPerMm);
    CHECK(proof.rows > proof.cols);
    for (const auto& notch : calib::proof_notches()) {
      const cv::Point2d middle = (notch[0] + notch[1] + notch[2]) / 3.0, deeper = notch[1] + (notch[1] - middle);
      CHECK(grey_at(proof, middle) == 255);
      CHECK(grey_at(proof, deeper) == 0);
    }
  }
}

TEST_CASE("the bar's length goes into the station file beside all that is there", "[sheets][scale]") {
  TemporaryFolder folder;
  const auto file = folder.put("station.toml", samples::kStation);
  std::ostringstream out, err;
  CHECK(app::run_print_scale({file, 97.0}, out, err) == 0);
  const vision::Station station = calib::load_station(file);
  CHECK(station.print_scale == 0.97);
  CHECK(station.board_marks.size() == 4);
  CHECK(out.str().find("survey it again with hoopgauge board") != std::string::npos);
  CHECK(folder.entries() == 2);  // the old file is kept
  CHECK(app::run_print_scale({file, 97.0}, out, err) == 0);
  CHECK(out.str().find("print_scale is 0.97 already") != std::string::npos);
  CHECK(folder.entries() == 2);
  CHECK(app::run_print_scale({file, 100.04}, out, err) == 0);
  CHECK(calib::load_station(file).print_scale == 1.0);
  CHECK(err.str().empty());
}

TEST_CASE("a bar's length that cannot be is refused", "[sheets][scale][errors]") {
  TemporaryFolder folder;
  const auto file = folder.put("station.toml", samples::kStation);
  for (const double bar_mm : {9.7, 79.9, 120.1, -100.0, std::nan("")}) {
    std::ostringstream out, err;
    CHECK(app::run_print_scale({file, bar_mm}, out, err) == 2);
    CHECK(err.str().find("is too far from 100") != std::string::npos);
  }
  std::ostringstream out, err;
  CHECK(app::run_print_scale({folder.path / "none.toml", 97.0}, out, err) == 2);
  CHECK(err.str().find("there is no station file yet; calibrate the lens first") != std::string::npos);
  CHECK(TemporaryFolder::content(file) == samples::kStation);
  CHECK(folder.entries() == 1);
}
