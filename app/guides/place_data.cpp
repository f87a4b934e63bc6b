#include "app/guides/place_guide.h"

namespace app {

std::string_view PlaceGuide::built_in_text() {
  return R"(# Garments, and where designs usually sit on them. A place here takes the place
# of the built-in one of the same name for its garments. Millimetres, a range or
# twice the same figure; the words have {} where the length stands. The
# widths are from memory and serve the drawing alone.

[[garment]]
name = "polo, adult"
cloth = "knit"
shape = "polo"
width_mm = 540.0

[[garment]]
name = "tee, adult"
cloth = "knit"
shape = "shirt"
width_mm = 540.0

[[garment]]
name = "polo, youth"
cloth = "knit"
shape = "polo"
width_mm = 400.0

[[garment]]
name = "tee, youth"
cloth = "knit"
shape = "shirt"
width_mm = 400.0

[[garment]]
name = "sweatshirt"
cloth = "knit"
shape = "sweatshirt"
width_mm = 580.0

[[garment]]
name = "bath towel"
cloth = "towel"
shape = "towel"
width_mm = 700.0

[[garment]]
name = "hand towel"
cloth = "towel"
shape = "towel"
width_mm = 450.0

[[garment]]
name = "napkin"
cloth = "stable woven"
shape = "napkin"
width_mm = 450.0

[[garment]]
name = "apron"
cloth = "stable woven"
shape = "apron"
width_mm = 700.0

[[place]]
garments = ["polo, adult", "tee, adult"]
name = "left chest"
down_mm = [180.0, 230.0]
down_words = "{} down from the shoulder seam at the neck"
across_mm = [100.0, 150.0]
across_words = "{} from the centre line, on the wearer's left"
source = "from memory"

[[place]]
garments = ["polo, youth", "tee, youth"]
name = "left chest"
down_mm = [130.0, 165.0]
down_words = "{} down from the shoulder seam at the neck"
across_mm = [75.0, 100.0]
across_words = "{} from the centre line, on the wearer's left"
source = "from memory"

[[place]]
garments = ["tee, adult", "sweatshirt"]
name = "full front"
to = "top"
down_mm = [75.0, 100.0]
down_words = "{} down from the neck rib"
across_mm = [0.0, 0.0]
across_words = "{} from the centre line"
source = "from memory"

[[place]]
garments = ["bath towel"]
name = "above the border"
to = "bottom"
down_mm = [50.0, 50.0]
down_words = "{} up from the border or hem"
across_mm = [0.0, 0.0]
across_words = "{} from the middle"
source = "from memory"

[[place]]
garments = ["hand towel"]
name = "above the border"
to = "bottom"
down_mm = [40.0, 40.0]
down_words = "{} up from the border or hem"
across_mm = [0.0, 0.0]
across_words = "{} from the middle"
source = "from memory"

[[place]]
garments = ["napkin"]
name = "corner"
down_mm = [60.0, 75.0]
down_words = "{} from the corner along the diagonal"
across_mm = [0.0, 0.0]
across_words = "{} from the diagonal"
source = "from memory"

[[place]]
garments = ["apron"]
name = "bib"
down_mm = [75.0, 100.0]
down_words = "{} down from the top edge"
across_mm = [0.0, 0.0]
across_words = "{} from the middle"
source = "from memory"
)";
}

}  // namespace app
