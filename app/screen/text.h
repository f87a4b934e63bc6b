// Text in the B612 face, one texture a glyph, kept between frames.
#pragma once

#include <SDL.h>
#include <SDL_ttf.h>

#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

#include "app/screen/theme.h"

namespace app {

// what() says what is missing and which package mends it.
class ScreenError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

enum class Weight { regular, bold };

// Height is that of a digit, px: what the eye sees, not the face's em.
struct TextStyle {
  Weight weight = Weight::regular;
  int height_px = 16;
  auto operator<=>(const TextStyle&) const = default;
};

// Where Debian puts the face; nothing when it is not installed.
std::optional<std::filesystem::path> find_font(Weight weight);

class Text {
 public:
  // The renderer outlives the text. Throws ScreenError when the face is missing.
  explicit Text(SDL_Renderer* renderer);
  ~Text();
  Text(const Text&) = delete;
  Text& operator=(const Text&) = delete;

  float width(const TextStyle& style, std::string_view utf8);
  // Left end of the base line, px. Returns the width.
  float draw(const TextStyle& style, SDL_FPoint baseline, std::string_view utf8, Colour colour);
  float draw_centred(const TextStyle& style, SDL_FPoint baseline, std::string_view utf8, Colour colour);
  float draw_right(const TextStyle& style, SDL_FPoint baseline, std::string_view utf8, Colour colour);

  // The text's words in lines that are no wider than width_px; a longer word has a line of its own.
  std::vector<std::string_view> wrap(const TextStyle& style, std::string_view utf8, float width_px);
  // The largest height up to style's at which the text is no wider than width_px, not below 60 %.
  TextStyle fitted(TextStyle style, std::string_view utf8, float width_px);

  // Texts that did not fit where they were to stand, although made smaller, since the last call; a few at most. A
  // screen with one is a fault, which tests look for.
  void did_not_fit(std::string_view utf8);
  std::vector<std::string> take_unfit() { return std::exchange(unfit_, {}); }

  // Base line to base line, px.
  static float line_pitch(const TextStyle& style) { return 1.75F * static_cast<float>(style.height_px); }

  // Lets go of all textures: after a change of size, or when the graphics driver lost them.
  void forget();

 private:
  struct Face;
  Face& face(const TextStyle& style);

  SDL_Renderer* renderer_;
  std::map<Weight, std::filesystem::path> files_;
  std::map<Weight, double> em_per_digit_height_;
  std::map<TextStyle, std::unique_ptr<Face>> faces_;
  std::vector<std::string> unfit_;
};

}  // namespace app
