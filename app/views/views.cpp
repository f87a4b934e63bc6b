#include "app/views/station_view.h"

namespace app {

Views make_views() {
  return {make_work_view(),  make_menu_view(),    make_operators_view(), make_jobs_view(),
          make_hoops_view(), make_records_view(), make_service_view(),   make_settings_view()};
}

}  // namespace app
