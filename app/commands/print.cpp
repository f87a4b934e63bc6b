#include "app/commands/print.h"

#include <algorithm>
#include <iterator>
#include <ostream>
#include <set>

#include "app/commands/refused_or_done.h"
#include "app/sheets/number_list.h"
#include "app/sheets/setup_pages.h"
#include "app/sheets/sheet_bytes.h"
#include "app/sheets/sheet_error.h"
#include "calib/atomic_write.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

constexpr double kDefaultDpi = 600.0, kLeastDpi = 72.0, kMostDpi = 2400.0;

std::string stem(Sheet sheet) {
  switch (sheet) {
    case Sheet::setup:
      return "set-up";
    case Sheet::stickers:
      return "target-stickers";
    case Sheet::board:
      return "board-marks";
    case Sheet::north:
      return "north-marks";
    case Sheet::badges:
      return "badges";
    case Sheet::tickets:
      return "job-tickets";
    case Sheet::calibration:
      return "calibration-sheet";
    case Sheet::proof:
      return "proof-sheet";
  }
  return "sheet";
}

std::vector<int> numbers(const PrintOptions& options, const char* to_begin, const NumberRange& range) {
  return parse_numbers(options.chosen.empty() ? std::vector<std::string>{to_begin} : options.chosen, range);
}

std::vector<Card> cards(const PrintOptions& options) {
  if (options.chosen.empty()) throw SheetError("name the cards, each as a tag and its text, such as 480=Name");
  std::vector<Card> all;
  std::set<int> seen;
  for (const std::string& text : options.chosen) {
    const std::size_t equals = text.find('=');
    if (equals == std::string::npos)
      throw SheetError("'" + text + "' is no card; write tag and text, such as 480=Name");
    all.push_back({parse_number(text.substr(0, equals), kCardNumbers), text.substr(equals + 1)});
    if (!seen.insert(all.back().tag).second)
      throw SheetError("tag " + std::to_string(all.back().tag) + " is there twice; give each card a tag of its own");
  }
  return all;
}

void append(Document& document, Document&& more) {
  std::move(more.pages.begin(), more.pages.end(), std::back_inserter(document.pages));
}

// What a new station needs, printed in one go and so at one scale.
Document setup_sheets(Paper paper) {
  Document all{"Sheets to set up a station", {calibration_page(paper)}};
  append(all, board_mark_sheets(paper, parse_numbers({"400-407"}, kBoardMarkNumbers)));
  append(all, {"", {proof_page(paper)}});
  append(all, sticker_sheets(paper, parse_numbers({"0-19"}, kStickerNumbers)));
  return all;
}

Document sheets(const PrintOptions& options) {
  switch (options.sheet) {
    case Sheet::setup:
      return setup_sheets(options.paper);
    case Sheet::stickers:
      return sticker_sheets(options.paper, numbers(options, "0-19", kStickerNumbers), options.labels);
    case Sheet::board:
      return board_mark_sheets(options.paper, numbers(options, "400-407", kBoardMarkNumbers));
    case Sheet::north:
      return north_mark_sheets(options.paper, numbers(options, "450-459", kNorthMarkNumbers));
    case Sheet::badges:
      return card_sheets(options.paper, CardKind::badge, cards(options));
    case Sheet::tickets:
      return card_sheets(options.paper, CardKind::ticket, cards(options));
    case Sheet::calibration:
      return {"Calibration sheet", {calibration_page(options.paper)}};
    case Sheet::proof:
      return {"Proof sheet", {proof_page(options.paper)}};
  }
  return {};
}

// The one sticker of a PNG or SVG.
Page picture_page(const PrintOptions& options) {
  const std::vector<int> chosen = options.sheet == Sheet::stickers && !options.chosen.empty()
                                      ? parse_numbers(options.chosen, kStickerNumbers)
                                      : std::vector<int>();
  if (chosen.size() != 1 || options.labels)
    throw SheetError("PNG and SVG hold a single sticker, such as: hoopgauge print stickers 14 --out 14.svg; write " +
                     options.out_file->string() + " as PDF");
  return single_sticker(chosen.front());
}

struct Made {
  std::string bytes, about;
};

Made made_file(const PrintOptions& options, const fs::path& file) {
  const std::string ending = file.extension().string();
  const double dpi = options.dpi.value_or(kDefaultDpi);
  if (!(dpi >= kLeastDpi && dpi <= kMostDpi)) throw SheetError("--dpi must be 72 to 2400");
  if (options.dpi && ending != ".png") throw SheetError("--dpi is for PNG; the other files have no pixels");
  if (ending == ".png") return {png_bytes(picture_page(options), dpi), "one sticker, 44 mm wide"};
  if (ending == ".svg") return {svg_bytes(picture_page(options)), "one sticker, 44 mm wide"};
  if (ending != ".pdf") throw SheetError(file.string() + ": end the file's name with .pdf, .png or .svg");
  const Document document = sheets(options);
  const std::string count = std::to_string(document.pages.size()) + (document.pages.size() == 1 ? " page" : " pages");
  return {pdf_bytes(document), count + " " + paper_name(options.paper) +
                                   "; print at 100 %, not \"fit to page\", then lay a ruler on the 100 mm bar"};
}

}  // namespace

int run_print(const PrintOptions& options, std::ostream& out, std::ostream& err) {
  return refused_or_done(err, [&] {
    const fs::path file =
        options.out_file.value_or(stem(options.sheet) + (options.paper == Paper::a4 ? "-a4.pdf" : "-letter.pdf"));
    std::error_code ignored;
    if (fs::exists(file, ignored) && !options.replace)
      throw SheetError(file.string() + ": is there already; name another file with --out, or add --replace");
    const Made made = made_file(options, file);
    calib::write_atomically(file, made.bytes);
    out << file.string() << ": " << made.about << '\n';
  });
}

}  // namespace app
