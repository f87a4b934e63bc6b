// The cautions that sheets and screens show.
#pragma once

#include <array>

#include "app/words/words.h"

namespace app {

inline constexpr std::array kCautions{
    noop("Hands, hair and sleeves away from the needle; stop the machine before reaching into the hoop; power off to "
         "change a needle or thread it."),
    noop("A needle that strikes the ring shatters: trace the design before stitching, wear eye protection. The fit "
         "check "
         "does not replace the trace."),
    noop("Scissors, seam rippers, pins and irons hurt; spray adhesive needs air. Vary tasks: pressing rings all day "
         "strains wrists."),
    noop("The machine's manual and the local workplace rules come first."),
};

}  // namespace app
