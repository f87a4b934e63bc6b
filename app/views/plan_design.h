// The design on the plan: as wanted, as the machine's entry puts it, and whether it fits.
#pragma once

#include <SDL.h>

#include "app/views/plan_pen.h"
#include "app/views/plan_view.h"

namespace app {

// The plan has a design and a sticker. Its number stays inside `area`.
void draw_plan_design(const PlanPen& pen, const SDL_FRect& area, const Plan& plan);

}  // namespace app
