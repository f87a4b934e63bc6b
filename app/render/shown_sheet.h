// The sheets of the set-up as the rendered station shows them.
#pragma once

#include <memory>

#include "app/render/setup_scene.h"

namespace app {

// The script's sheet on A4 as the command print draws it, cut out where it has a cut line; its place is left to the
// caller. Not for SetupScript::teach, which shows none. print_scale: true mm a printed mm. Throws SheetError.
ScenePage shown_sheet(SetupScript script, double print_scale);
// The same of a page that was printed; its scale is in px_per_mm already.
ScenePage shown_sheet(SetupScript script, std::shared_ptr<const PrintedPage> page, double print_scale);

}  // namespace app
