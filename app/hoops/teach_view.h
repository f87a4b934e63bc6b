// The screen on which a person confirms a hoop that was found in a picture: outlines, notches, north, heights, field
// and name, a page each. What it knows and changes is a Teaching; keeping it is the caller's.
#pragma once

#include <SDL.h>

#include <optional>
#include <string>
#include <vector>

#include "app/hoops/catalogue.h"
#include "app/hoops/name_entry.h"
#include "app/hoops/teach_handles.h"
#include "app/hoops/teaching.h"
#include "app/screen/button.h"
#include "app/screen/live_picture.h"
#include "app/screen/page.h"
#include "app/units.h"

namespace app {

enum class TeachPage { outlines, notches, north, rim, field, name };
inline constexpr int kTeachPages = 6;

enum class TeachWish { save, leave };

class TeachView {
 public:
  // Both outlive the view.
  TeachView(Teaching& teaching, const Catalogue& catalogue);

  void draw(Canvas& canvas, Text& text, cv::Size screen);
  // What the person wants by this event: buttons and knobs as they were drawn last, Escape is one page back. Save only
  // where nothing is missing.
  std::optional<TeachWish> handle(const InputEvent& event);
  void textures_lost();

  TeachPage page() const { return page_; }
  void go_to(TeachPage page);
  const std::vector<Button>& buttons() const { return buttons_.all(); }
  const std::vector<Handle>& handles() const { return handles_; }
  const PictureRegion& region() const { return region_; }

 private:
  PageHeader header() const;
  std::vector<Button> column_buttons() const;
  bool may_go_on() const;
  void draw_ring_page(Canvas& canvas, Text& text, const PageLayout& layout, std::vector<Button>& buttons);
  void draw_rim_page(Canvas& canvas, Text& text, const PageLayout& layout, std::vector<Button>& buttons);
  void draw_field_page(Canvas& canvas, Text& text, const PageLayout& layout, std::vector<Button>& buttons);
  void draw_name_page(Canvas& canvas, Text& text, const PageLayout& layout, std::vector<Button>& buttons);
  // The ring with `margin_mm` of the screen around it.
  void draw_picture(Canvas& canvas, const SDL_FRect& area, const Scale& scale, double margin_mm);
  void draw_outlines(Canvas& canvas, const Scale& scale, const PictureRegion& region) const;
  void draw_knobs(Canvas& canvas, Text& text, const Scale& scale) const;
  void draw_loupe(Canvas& canvas, Text& text, const PageLayout& layout);
  std::optional<TeachWish> press(int id);
  std::optional<TeachWish> one_back();
  void step_field(int id);
  bool handle_knobs(const InputEvent& event);

  Teaching& teaching_;
  const Catalogue& catalogue_;
  TeachPage page_ = TeachPage::outlines;
  Units unit_ = Units::mm;
  bool capitals_ = true;
  std::size_t size_ = 0;  // of the catalogue; its end: the suggested field
  NameEntry name_;
  Scale scale_;
  Buttons buttons_;
  std::vector<Handle> handles_;
  std::optional<HandleDrag> drag_;
  int quarter_turns_ = 0;
  PictureRegion region_, uploaded_;
  LivePicture picture_, loupe_;
};

}  // namespace app
