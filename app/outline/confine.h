// A second wall around the outline reader, where the kernel has one: librsvg opens nothing that a drawing names, and
// here it could not.
#pragma once

namespace app {

// Which of the walls stand.
struct Confinement {
  bool files = false;   // only the system's folders and those of fonts can be read (Landlock, Linux 5.13)
  bool system = false;  // no network, no other program, no other process (seccomp)
};

// For good, and for this process's later threads.
Confinement confine_this_process();

}  // namespace app
