#include "app/views/station_view.h"

namespace app {

Views make_views() {
  return {make_work_view(),       make_menu_view(),    make_operators_view(), make_jobs_view(), make_hoops_view(),
          make_records_view(),    make_service_view(), make_settings_view(),  make_job_view(),  make_machines_view(),
          make_straighten_view(), make_resume_view(),  make_inspect_view()};
}

}  // namespace app
