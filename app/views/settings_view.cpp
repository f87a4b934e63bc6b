#include "app/views/empty_view.h"

namespace app {

std::unique_ptr<StationView> make_settings_view() { return std::make_unique<EmptyView>(); }

}  // namespace app
