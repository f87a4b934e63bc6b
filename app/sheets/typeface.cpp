#include "app/sheets/typeface.h"

#include <cairo-ft.h>
#include <ft2build.h>
#include FT_FREETYPE_H

#include <optional>

namespace app {
namespace {

const cairo_user_data_key_t kOpenedKey{};

struct CodePoint {
  char32_t code = 0;
  std::size_t length = 0;
};

// Nothing where no valid UTF-8 begins.
std::optional<CodePoint> code_point_at(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  if (byte(0) < 0x80) return CodePoint{byte(0), 1};
  const std::size_t length = (byte(0) >> 5) == 6 ? 2 : (byte(0) >> 4) == 14 ? 3 : (byte(0) >> 3) == 30 ? 4 : 0;
  if (length == 0 || length > text.size()) return std::nullopt;
  char32_t code = byte(0) & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(i) >> 6) != 2) return std::nullopt;
    code = code << 6 | (byte(i) & 0x3FU);
  }
  constexpr char32_t kLeast[5] = {0, 0, 0x80, 0x800, 0x10000};
  if (code < kLeast[length] || code > 0x10FFFF || (code >= 0xD800 && code < 0xE000)) return std::nullopt;
  return CodePoint{code, length};
}

}  // namespace

// Kept until Cairo lets go of the face, which may be long after the last sheet is drawn.
struct Typeface::Opened {
  FT_Library library = nullptr;
  FT_Face face = nullptr;

  Opened() = default;
  ~Opened() {
    if (face != nullptr) FT_Done_Face(face);
    if (library != nullptr) FT_Done_FreeType(library);
  }
  Opened(const Opened&) = delete;
  Opened& operator=(const Opened&) = delete;
};

Typeface::Typeface(Weight weight) {
  const auto file = find_font(weight);
  if (!file) throw SheetError("the B612 typeface is missing; install the package fonts-b612");
  auto opened = std::make_unique<Opened>();
  if (FT_Init_FreeType(&opened->library) != 0 || FT_New_Face(opened->library, file->c_str(), 0, &opened->face) != 0 ||
      FT_Load_Char(opened->face, 'H', FT_LOAD_NO_SCALE) != 0 || opened->face->glyph->metrics.height <= 0)
    throw SheetError(file->string() + ": is no typeface that can be used; install the package fonts-b612 anew");
  em_per_height_ = opened->face->units_per_EM / static_cast<double>(opened->face->glyph->metrics.height);
  face_.reset(cairo_ft_font_face_create_for_ft_face(opened->face, 0));
  const auto close = [](void* data) { delete static_cast<Opened*>(data); };
  if (cairo_font_face_set_user_data(face_.get(), &kOpenedKey, opened.get(), close) != CAIRO_STATUS_SUCCESS)
    throw SheetError("there is not enough memory for the typeface");
  opened_ = opened.release();
}

std::string Typeface::first_missing(std::string_view utf8) const {
  while (!utf8.empty()) {
    const auto next = code_point_at(utf8);
    if (!next) throw SheetError("a text is not valid UTF-8; set the terminal to UTF-8 and type it again");
    if (next->code < 0x20 || next->code == 0x7F) return "a control character";
    if (FT_Get_Char_Index(opened_->face, next->code) == 0) return '"' + std::string(utf8.substr(0, next->length)) + '"';
    utf8.remove_prefix(next->length);
  }
  return {};
}

}  // namespace app
