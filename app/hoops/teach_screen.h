// The teach screen on its window: runs until the hoop is kept or the person leaves it.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>

#include "app/hoops/catalogue.h"
#include "app/hoops/hoop_store.h"
#include "app/hoops/teaching.h"
#include "app/screen/screen.h"

namespace app {

// The hoop's file; nothing when it was not kept. Asks before it writes over another hoop, keeps one with doubts, or
// leaves. `over`: time to end.
std::optional<std::filesystem::path> run_teach_screen(Screen& screen, Teaching& teaching, const Catalogue& catalogue,
                                                      HoopStore& store, const std::function<bool()>& over);

}  // namespace app
