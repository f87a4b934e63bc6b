// The B612 face for Cairo, read from its file, so that a PDF carries it along.
#pragma once

#include <cairo.h>

#include <memory>
#include <string>
#include <string_view>

#include "app/screen/text.h"
#include "app/sheets/sheet_error.h"

namespace app {

class Typeface {
 public:
  // Throws SheetError when the face is not installed.
  explicit Typeface(Weight weight);

  cairo_font_face_t* face() const { return face_.get(); }
  // How large the em must be for a capital letter or digit of height 1.
  double em_per_height() const { return em_per_height_; }
  // The first sign of the text that the face does not hold, itself as UTF-8, or U+XXXX; empty when it holds all.
  // Throws SheetError when the text is not UTF-8.
  std::string first_missing(std::string_view utf8) const;

 private:
  struct Done {
    void operator()(cairo_font_face_t* face) const { cairo_font_face_destroy(face); }
  };
  std::unique_ptr<cairo_font_face_t, Done> face_;
  struct Opened;
  Opened* opened_ = nullptr;  // belongs to face_
  double em_per_height_ = 1.0;
};

}  // namespace app
