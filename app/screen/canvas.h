// Smooth-edged shapes on an SDL renderer. Coordinates: px of the output, x right, y down, continuous (the centre of the
// top-left pixel is (0.5, 0.5)).
#pragma once

#include <SDL.h>

#include <span>
#include <vector>

#include "app/screen/theme.h"

namespace app {

class Canvas {
 public:
  // The renderer outlives the canvas.
  explicit Canvas(SDL_Renderer* renderer);

  SDL_Renderer* renderer() const { return renderer_; }

  void clear(Colour colour);
  void rect(const SDL_FRect& rect, Colour colour);
  void rounded_rect(const SDL_FRect& rect, float radius, Colour colour);

  // Width in px; ends are cut square.
  void line(SDL_FPoint from, SDL_FPoint to, float width, Colour colour);
  void polyline(std::span<const SDL_FPoint> points, bool closed, float width, Colour colour);
  void dashed_line(SDL_FPoint from, SDL_FPoint to, float width, float dash, Colour colour);
  // Convex, either sense.
  void polygon(std::span<const SDL_FPoint> points, Colour colour);
  void disc(SDL_FPoint centre, float radius, Colour colour);
  // Angles in degrees, counter-clockwise from the right as the eye sees it.
  void arc(SDL_FPoint centre, float radius, double from_deg, double to_deg, float width, Colour colour);
  void circle(SDL_FPoint centre, float radius, float width, Colour colour);
  // A shaft with a head whose tip is at `to`; the head is shortened with very short arrows.
  void arrow(SDL_FPoint from, SDL_FPoint to, float width, float head, Colour colour);

  void clip(const SDL_FRect& rect);
  void unclip();

 private:
  void sector(SDL_FPoint centre, float radius, double from_deg, double to_deg, Colour colour);
  void quad(int a, int b, int c, int d);
  int vertex(SDL_FPoint at, Colour colour);
  void flush();

  SDL_Renderer* renderer_;
  // Kept between calls, so that a warm canvas allocates nothing.
  std::vector<SDL_Vertex> vertices_;
  std::vector<int> indices_;
  std::vector<SDL_FPoint> points_;
};

}  // namespace app
