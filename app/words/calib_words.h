// Whole sentences and words that are made where the command line uses them as well, most of them in the room calib, for
// the catalogues: the screen shows tr() of them. Sentences with numbers in them stay English.
#pragma once

#include <array>

#include "app/words/words.h"

namespace app {

inline constexpr std::array kCalibWords{
    // TeachFault
    noop("The ring and its notches were found."),
    noop("Fewer than three board marks were seen in their places: clear the marks, or survey the board again."),
    noop("No ring was found: lay the assembled empty rings on the bare board, within the picture."),
    noop("More than one ring was seen: leave only the hoop that is to be taught on the board."),
    noop("The ring reaches beyond the picture: move it towards the board's middle."),
    noop("A part of the ring is hidden: take hands, cloth and tools away from it."),
    noop("Fewer than three of the four notches were found: show where they are on the picture."),
    // RingShape
    noop("round"),
    noop("oval"),
    noop("square"),
    noop("rectangle"),
    noop("other"),
    // HeightFault
    noop("The rim height was found."),
    noop("The ring and the foot of its inner wall were seen in fewer than two pictures: take more, well lit."),
    noop("The places are too close together to tell the height: shift the hoop by 100 mm or more between pictures."),
    noop("The pictures do not agree: use the same hoop in all of them, and let go of it before each."),
    // Doubts about a ring
    noop("No gap between two rings was seen: look whether the outer line lies on the ring that garments show, the "
         "inner one."),
    noop("The edge of the opening is hardly to be seen: look whether the inner line lies on it."),
    noop("A part of the outer line was not seen; look whether something lies on the ring."),
    noop("The ring is neither round nor oval nor a rounded rectangle; look along its outlines."),
    noop("The notches do not stand in the middle of the sides; look whether they were found rightly."),
    noop("The north notch was seen off the ring's axis; look whether it is one, and drag it if it is."),
    noop("The east notch was seen off the ring's axis; look whether it is one, and drag it if it is."),
    noop("The south notch was seen off the ring's axis; look whether it is one, and drag it if it is."),
    noop("The west notch was seen off the ring's axis; look whether it is one, and drag it if it is."),
    // A hoop found again
    noop("The hoop was not found in this picture: clear it of hands, and keep all of it in view."),
    noop("The hoop lies as before: shift it by a few centimetres and turn it."),
    noop("The hoop was found, of the size and with the notches that were taught."),
    noop("The hoop was found only in part: clear it, and light it evenly."),
    // LensFault
    noop("too few pictures show the calibration sheet well enough; take more, each at another place and tilt"),
    noop("the pictures are too much alike to tell the lens; tilt the sheet to all sides and bring it to the rim"),
    noop("the pictures do not fit one another; check that the focus is locked, the sheet flat and held still"),
    noop("the pictures lead to a lens that cannot be; check the sheet against its print, and take new pictures"),
    // Survey and proof
    noop("no board mark lies still and flat in the pictures; press the marks down and take new pictures"),
    noop("the pictures do not determine the marks; take more of them, the sheet at other places"),
    noop("the pictures do not fit together; take them again"),
    noop(
        "the sheet was measured at no place both upright and turned by half a turn; turn it by half a turn at the same "
        "place and measure it again"),
    // A name that does not do (app/names.h)
    noop("a hoop needs a name; write what is printed on it"),
    noop("the name is longer than 100 bytes; write a shorter one"),
    noop("the name is not UTF-8 text; write it with letters, digits and signs"),
    noop("the name holds a control character; write it in one line without tabs"),
    // Catalogue of hoop sizes
    noop("common practice"),
};

}  // namespace app
