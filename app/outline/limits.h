// What the outline reader may not do, set by itself before it looks at a drawing.
#pragma once

namespace app {

// Little memory, little processor time, no files written, no core dumped; ends with the program that started it.
void limit_this_process(int processor_time_ms);

}  // namespace app
