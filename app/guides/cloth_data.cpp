#include "app/guides/cloth_guide.h"

namespace app {

std::string_view ClothGuide::built_in_text() {
  return R"(# Cloths, and what suits them. An entry here takes the place of the built-in
# one of the same name. Every figure says where it comes from: "common practice"
# has no single source, "from memory" varies from shop to shop.

[[cloth]]
name = "knit"
also = ["tee", "polo", "sweatshirt"]
stabilizers = ["cut-away"]
stabilizer_note = "fusible stops the stretch"
stabilizer_source = "common practice"
avoid = ["tear-away"]
topping = "none"
topping_note = "water-soluble on nubby or ribbed faces"
topping_source = "common practice"
ways = ["framed", "tube"]
way_source = "common practice"
stretch_limit_percent = 1.0
stretch_source = "from memory"

[[cloth]]
name = "stable woven"
also = ["apron", "napkin", "twill"]
stabilizers = ["tear-away"]
stabilizer_source = "common practice"
topping = "none"
topping_source = "from memory"
ways = ["framed"]
way_source = "common practice"

[[cloth]]
name = "towel"
also = ["fleece", "velvet"]
stabilizers = ["sticky", "tear-away"]
stabilizer_note = "a low-tack layer keeps loops off the adhesive"
stabilizer_source = "common practice"
topping = "water-soluble"
topping_source = "common practice"
napped = true
ways = ["floated", "folded edge"]
way_source = "common practice"

[[cloth]]
name = "sheer"
stabilizers = ["water-soluble", "fine cut-away"]
stabilizer_source = "from memory"
topping = "none"
topping_source = "from memory"
ways = ["framed"]
way_note = "no hoop marks"
way_source = "from memory"

[[cloth]]
name = "leather"
also = ["vinyl"]
stabilizers = ["cut-away"]
stabilizer_source = "from memory"
topping = "none"
topping_source = "from memory"
ways = ["floated"]
way_note = "needle holes stay"
way_source = "from memory"

[[stabilizer]]
name = "cut-away"
finishing = ["Lift the cut-away off the cloth first, then trim it."]
source = "common practice"

[[stabilizer]]
name = "fine cut-away"
finishing = ["Lift the fine cut-away off the cloth first, then trim it."]
source = "common practice"

[[stabilizer]]
name = "tear-away"
finishing = ["Tear the tear-away gently, holding the stitches."]
source = "common practice"

[[stabilizer]]
name = "sticky"
finishing = ["Tear the sticky stabilizer gently, holding the stitches."]
source = "from memory"

[[stabilizer]]
name = "water-soluble"
finishing = ["Trim the water-soluble stabilizer, dab the rest with water."]
source = "from memory"

[[topping]]
name = "water-soluble"
finishing = ["Lift the topping off, dab the rest with water."]
source = "common practice"

[[way]]
name = "framed"
steps = ["Outer ring, stabilizer, garment face up; press the inner ring in evenly.",
         "Smooth the cloth before the screw is tight; once it is tight, no more pulling."]
source = "common practice"

[[way]]
name = "tube"
steps = ["Dress the garment over the narrow end of the board, so that one layer only lies in the hoop.",
         "Outer ring, stabilizer, garment face up; press the inner ring in evenly.",
         "Smooth the cloth before the screw is tight; once it is tight, no more pulling."]
source = "common practice"

[[way]]
name = "floated"
steps = ["Hoop the stabilizer alone, its sticky face up.",
         "Lay the cloth on it, guided by the notches, and smooth it without pulling."]
source = "common practice"

[[way]]
name = "folded edge"
steps = ["Hoop the stabilizer alone, its sticky face up.",
         "Fold the cloth on a straight line at the place, lay the fold along the ring's straight inner side, open it."]
source = "common practice"

[finishing]
first = ["Remove the basting from the back."]
last = ["Press from the back, face down on a towel."]
source = "common practice"
)";
}

}  // namespace app
