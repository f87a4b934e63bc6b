// The job's ticket, as it is printed.
#include "app/sheets/job_ticket.h"
#include "app/sheets/sheet_bytes.h"
#include "app/sheets/sheet_error.h"
#include "app/sheets/sheet_picture.h"
#include "tests/catch.h"
#include "vision/tag_finder.h"

namespace {

struct Shop {
  app::ClothGuide cloths = app::ClothGuide::built_in();
  app::PlaceGuide places = app::PlaceGuide::built_in();
  std::vector<vision::Hoop> hoops;
  app::JobTicket ticket(const app::Job& job) const {
    const auto design = job.design_mm ? std::optional(app::rectangle_design(*job.design_mm)) : std::nullopt;
    return {job, design, {cloths, places, hoops, {}}};
  }
};

app::Job polo() {
  app::Job job;
  job.name = "Demo polo, left chest";
  job.ticket = 507;
  job.garment = "polo, adult";
  job.cloth = "knit";
  job.place = {"left chest", 205.0, 125.0};
  job.design_mm = cv::Size2d(90.0, 70.0);
  job.hoop = "130 x 180";
  job.placed_stickers = {{14, {-50.0, 0.0}, 0.0}, {15, {50.0, 0.0}, 0.0}};
  job.pieces = 40;
  job.note = "The placket's edge is the line for the sticker.";
  return job;
}

vision::Lens flat_lens(cv::Size size) {
  vision::Lens lens;
  lens.width_px = size.width;
  lens.height_px = size.height;
  lens.fx = lens.fy = 3000.0;
  lens.cx = size.width / 2.0;
  lens.cy = size.height / 2.0;
  return lens;
}

}  // namespace

// Guarantees: the ticket laid on the board chooses this job. The page is drawn as a printer would and its tag read by
// the finder that reads it on the board; 30 mm at 4 px a mm is 120 px. Example failure: the tag is mirrored, or a list
// of steps runs into its white border.
TEST_CASE("the ticket's tag is read from the printed page, at its true size", "[job-ticket]") {
  const Shop shop;
  constexpr double kPxPerMm = 4.0;
  for (const app::Paper paper : {app::Paper::a4, app::Paper::letter}) {
    const app::Document sheet = app::job_ticket(paper, shop.ticket(polo()));
    REQUIRE(sheet.pages.size() == 1);
    const cv::Mat1b picture = app::page_picture(sheet.pages[0], kPxPerMm);
    vision::TagFinder finder(flat_lens(picture.size()));
    const auto tags = finder.find(picture);
    REQUIRE(tags.size() == 1);
    CHECK(tags[0].id == 507);
    const auto& [p0, p1, p2, p3] = tags[0].corners_px;
    CHECK_THAT(cv::norm(p1 - p0), WithinAbs(30.0 * kPxPerMm, 0.6));
    CHECK_THAT(cv::norm(p2 - p1), WithinAbs(30.0 * kPxPerMm, 0.6));
    const cv::Point2d centre = 0.25 * (p0 + p1 + p2 + p3);
    const cv::Point2d wanted = app::job_ticket_tag_mm(paper);
    CHECK_THAT(centre.x, WithinAbs(picture.cols / 2.0 + wanted.x * kPxPerMm, 1.0));
    CHECK_THAT(centre.y, WithinAbs(picture.rows / 2.0 - wanted.y * kPxPerMm, 1.0));
  }
}

TEST_CASE("a ticket is made of every garment, with much to say or hardly anything", "[job-ticket]") {
  const Shop shop;
  for (const app::Place& place : shop.places.places())
    for (const std::string& garment : place.garments) {
      app::Job job = polo();
      job.garment = garment;
      job.cloth = shop.places.find_garment(garment)->cloth;
      job.place = {place.name, {}, {}};
      INFO(garment << ", " << place.name);
      CHECK(app::pdf_bytes(app::job_ticket(app::Paper::letter, shop.ticket(job))).starts_with("%PDF"));
    }
  app::Job bare;
  bare.name = "Demo";
  CHECK(app::pdf_bytes(app::job_ticket(app::Paper::a4, shop.ticket(bare))).starts_with("%PDF"));
  app::Job full = polo();
  full.name = std::string(100, 'W');
  full.note = std::string(99, 'w') + ' ' + std::string(99, 'w');
  CHECK_NOTHROW(app::job_ticket(app::Paper::letter, shop.ticket(full)));
  app::Job odd = polo();
  odd.note = "\xE5\xB8\x83";
  std::string said;
  try {
    app::job_ticket(app::Paper::a4, shop.ticket(odd));
  } catch (const app::SheetError& error) {
    said = error.what();
  }
  CHECK(said.find("which the typeface does not have") != std::string::npos);
}
