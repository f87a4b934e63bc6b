// The part of `hoopgauge render` that writes the stills of a step of the set-up.
#pragma once

#include <filesystem>
#include <iosfwd>

#include "app/commands/render.h"

namespace app {

// Throws std::invalid_argument and calib::FileError for what cannot be used.
void render_setup(const RenderOptions& options, std::ostream& out);

// Makes the folder where there is none. Throws std::invalid_argument.
void make_render_folder(const std::filesystem::path& folder);

}  // namespace app
