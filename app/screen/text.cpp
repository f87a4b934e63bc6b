#include "app/screen/text.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

namespace app {
namespace {

namespace fs = std::filesystem;

struct Glyph {
  SDL_Texture* texture = nullptr;
  int left = 0;  // px from the pen to the texture's left edge
  int width = 0, height = 0;
  int advance = 0;
};

// The next code point of a UTF-8 text; bytes that are not UTF-8 come out as U+FFFD.
Uint32 next_code_point(std::string_view& text) {
  const auto first = static_cast<unsigned char>(text.front());
  const std::size_t length = first < 0x80         ? 1
                             : (first >> 5) == 6  ? 2
                             : (first >> 4) == 14 ? 3
                             : (first >> 3) == 30 ? 4
                                                  : 0;
  if (length == 0 || length > text.size()) {
    text.remove_prefix(1);
    return 0xFFFD;
  }
  Uint32 code = length == 1 ? first : first & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) code = (code << 6) | (static_cast<unsigned char>(text[i]) & 0x3FU);
  text.remove_prefix(length);
  return code;
}

TTF_Font* open_font(const fs::path& file, int size_px) {
  TTF_Font* font = TTF_OpenFont(file.c_str(), size_px);
  if (font == nullptr) throw ScreenError("cannot open the font " + file.string() + ": " + TTF_GetError());
  return font;
}

// How large the em must be for a digit of height 1.
double em_per_digit_height(const fs::path& file) {
  constexpr int kEm_px = 200;
  TTF_Font* font = open_font(file, kEm_px);
  int min_x = 0, max_x = 0, min_y = 0, max_y = 0, advance = 0;
  const bool known = TTF_GlyphMetrics32(font, '1', &min_x, &max_x, &min_y, &max_y, &advance) == 0 && max_y > min_y;
  TTF_CloseFont(font);
  if (!known) throw ScreenError("the font " + file.string() + " has no digits");
  return kEm_px / static_cast<double>(max_y - min_y);
}

}  // namespace

std::optional<fs::path> find_font(Weight weight) {
  const std::string stem = weight == Weight::bold ? "B612-Bold" : "B612-Regular";
  for (const char* folder : {"/usr/share/fonts/opentype/b612", "/usr/share/fonts/truetype/b612",
                             "/usr/local/share/fonts/b612", "/usr/local/share/fonts"}) {
    for (const char* ending : {".otf", ".ttf"}) {
      const fs::path file = fs::path(folder) / (stem + ending);
      std::error_code ignored;
      if (fs::exists(file, ignored)) return file;
    }
  }
  return std::nullopt;
}

struct Text::Face {
  TTF_Font* font = nullptr;
  std::unordered_map<Uint32, Glyph> glyphs;

  Face(const fs::path& file, int em_px) : font(open_font(file, em_px)) {}
  ~Face() {
    for (auto& [code, glyph] : glyphs) SDL_DestroyTexture(glyph.texture);
    TTF_CloseFont(font);
  }
  Face(const Face&) = delete;
  Face& operator=(const Face&) = delete;

  const Glyph& glyph(SDL_Renderer* renderer, Uint32 code) {
    const auto found = glyphs.find(code);
    if (found != glyphs.end()) return found->second;
    Glyph g;
    int min_x = 0, max_x = 0, min_y = 0, max_y = 0;
    TTF_GlyphMetrics32(font, code, &min_x, &max_x, &min_y, &max_y, &g.advance);
    g.left = std::min(0, min_x);
    if (SDL_Surface* surface = TTF_RenderGlyph32_Blended(font, code, SDL_Color{255, 255, 255, 255})) {
      g.texture = SDL_CreateTextureFromSurface(renderer, surface);
      g.width = surface->w;
      g.height = surface->h;
      SDL_FreeSurface(surface);
      SDL_SetTextureBlendMode(g.texture, SDL_BLENDMODE_BLEND);
    }
    return glyphs.emplace(code, g).first->second;
  }
};

Text::Text(SDL_Renderer* renderer) : renderer_(renderer) {
  for (Weight weight : {Weight::regular, Weight::bold}) {
    const auto file = find_font(weight);
    if (!file) {
      throw ScreenError(
          "the screen's font B612 is not installed: install Debian's package fonts-b612 "
          "(sudo apt install fonts-b612)");
    }
    if (TTF_WasInit() == 0 && TTF_Init() != 0)
      throw ScreenError(std::string("SDL_ttf cannot start: ") + TTF_GetError());
    files_[weight] = *file;
    em_per_digit_height_[weight] = em_per_digit_height(*file);
  }
}

Text::~Text() = default;

void Text::forget() { faces_.clear(); }

Text::Face& Text::face(const TextStyle& style) {
  auto& slot = faces_[style];
  if (!slot) {
    const double em = em_per_digit_height_[style.weight] * std::max(4, style.height_px);
    slot = std::make_unique<Face>(files_[style.weight], static_cast<int>(std::lround(em)));
  }
  return *slot;
}

float Text::width(const TextStyle& style, std::string_view utf8) {
  Face& f = face(style);
  int width = 0;
  Uint32 before = 0;
  while (!utf8.empty()) {
    const Uint32 code = next_code_point(utf8);
    if (before != 0) width += TTF_GetFontKerningSizeGlyphs32(f.font, before, code);
    width += f.glyph(renderer_, code).advance;
    before = code;
  }
  return static_cast<float>(width);
}

float Text::draw(const TextStyle& style, SDL_FPoint baseline, std::string_view utf8, Colour colour) {
  Face& f = face(style);
  // Whole px: glyphs stay as crisp as they were drawn.
  const int start = static_cast<int>(std::lround(baseline.x));
  const int top = static_cast<int>(std::lround(baseline.y)) - TTF_FontAscent(f.font);
  int pen = start;
  Uint32 before = 0;
  while (!utf8.empty()) {
    const Uint32 code = next_code_point(utf8);
    if (before != 0) pen += TTF_GetFontKerningSizeGlyphs32(f.font, before, code);
    const Glyph& g = f.glyph(renderer_, code);
    if (g.texture != nullptr) {
      SDL_SetTextureColorMod(g.texture, colour.r, colour.g, colour.b);
      SDL_SetTextureAlphaMod(g.texture, colour.a);
      const SDL_Rect where{pen + g.left, top, g.width, g.height};
      SDL_RenderCopy(renderer_, g.texture, nullptr, &where);
    }
    pen += g.advance;
    before = code;
  }
  return static_cast<float>(pen - start);
}

float Text::draw_centred(const TextStyle& style, SDL_FPoint baseline, std::string_view utf8, Colour colour) {
  return draw(style, {baseline.x - width(style, utf8) / 2.0F, baseline.y}, utf8, colour);
}

float Text::draw_right(const TextStyle& style, SDL_FPoint baseline, std::string_view utf8, Colour colour) {
  return draw(style, {baseline.x - width(style, utf8), baseline.y}, utf8, colour);
}

std::vector<std::string_view> Text::wrap(const TextStyle& style, std::string_view utf8, float width_px) {
  std::vector<std::string_view> lines;
  std::size_t start = 0;
  std::size_t good_end = 0;
  while (start < utf8.size()) {
    std::size_t end = utf8.find(' ', std::max(good_end, start) + (good_end > start ? 1 : 0));
    if (end == std::string_view::npos) end = utf8.size();
    if (good_end <= start || width(style, utf8.substr(start, end - start)) <= width_px) {
      good_end = end;
      if (end < utf8.size()) continue;
    }
    lines.push_back(utf8.substr(start, good_end - start));
    start = std::min(utf8.size(), good_end + 1);
  }
  return lines;
}

TextStyle Text::fitted(TextStyle style, std::string_view utf8, float width_px) {
  const float wide = width(style, utf8);
  if (wide > width_px) {
    const double height = std::max(0.6, static_cast<double>(width_px / wide)) * style.height_px;
    const int least = static_cast<int>(0.6 * style.height_px);
    style.height_px = static_cast<int>(height);
    // Letters are whole pixels wide, so small ones may be a little wider than their share.
    while (style.height_px > least && width(style, utf8) > width_px) --style.height_px;
    if (width(style, utf8) > width_px) did_not_fit(utf8);
  }
  return style;
}

void Text::did_not_fit(std::string_view utf8) {
  constexpr std::size_t kKept = 20;
  if (!utf8.empty() && unfit_.size() < kKept) unfit_.emplace_back(utf8);
}

}  // namespace app
