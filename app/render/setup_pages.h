// The sheets of the set-up as the rendered station shows them.
#pragma once

#include "app/render/setup_scene.h"

namespace app {

// The script's sheet on A4, cut out where it has a cut line; its place is left to the caller. Not for
// SetupScript::teach, which has no sheet. print_scale: true mm a printed mm.
ScenePage setup_page(SetupScript script, double print_scale);
// The same of a page that was printed.
ScenePage setup_page(SetupScript script, std::shared_ptr<const PrintedPage> page, double print_scale);

}  // namespace app
