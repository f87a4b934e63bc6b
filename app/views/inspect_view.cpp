#include "app/views/page_view.h"
#include "app/words/words.h"

namespace app {
namespace {

class InspectView : public PageView {
 protected:
  PageHeader header(const Desk&) const override {
    PageHeader h;
    h.title = tr("Inspection");
    return h;
  }
  std::vector<Button> draw_main(Sheet&) override { return {}; }
  void pressed(int, Desk&) override {}
};

}  // namespace

std::unique_ptr<StationView> make_inspect_view() { return std::make_unique<InspectView>(); }

}  // namespace app
