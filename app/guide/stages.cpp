#include "app/guide/stages.h"

#include "app/words/words.h"

namespace app {
namespace {

Stage mount() {
  return {StageId::mount,
          noop("Camera"),
          noop("Mount the camera"),
          noop("Everything is measured from where the camera hangs, so it has to hang still."),
          {noop("Put it on a stiff post, about 650 mm above the board: measure from the lens to the board."),
           noop("Point it straight down, within a few degrees."),
           noop("Look at the picture: the board fills it, edge along edge, and its far side is at the top."),
           noop("Tighten every screw. Lead the cable so that nobody pulls at it.")},
          {"lens"}};
}

Stage light() {
  return {StageId::light,
          noop("Light"),
          noop("Light the board evenly"),
          noop("Glare and hard shadows hide the ring's edge and the marks."),
          {noop("Put a lamp on the left and one on the right, with frosted covers, lower than the camera."),
           noop("Lay a white sheet on the board: no bright spot, no hard shadow, all of it about equally bright."),
           noop("Lay a hoop down: where it shines, move the lamps outward."),
           noop("Keep daylight off the board, for it changes by the hour.")},
          {"lens"}};
}

Stage focus() {
  return {StageId::focus,
          noop("Focus"),
          noop("Lock focus and exposure"),
          noop("A lens that focuses anew is another lens: what was measured of it no longer holds."),
          {noop("A camera that focuses by itself: nothing to do, the program holds it at 650 mm."),
           noop("A lens with a ring: lay print on the board, turn the ring until it is sharp, then lock its screw."),
           noop("Leave the lamps on at one brightness, so that the exposure stays as it is."),
           noop("Do not touch the lens again. If it was touched, measure it again.")},
          {"lens"}};
}

Stage print() {
  return {StageId::print,
          noop("Sheets"),
          noop("Print the sheets"),
          noop("Every millimetre that the station knows comes from these sheets."),
          {noop("Make the file and print it at 100 %, on plain white paper, never 'fit to page'."),
           noop("Measure the 100 mm bar with a steel ruler, from outer edge to outer edge."),
           noop("If it is not 100.0 mm, tell the station: hoopgauge print scale --bar 99.4"),
           noop("Glue the calibration sheet flat onto stiff board or glass: a bent sheet is of no use.")},
          {"print", "setup"}};
}

Stage stick() {
  return {StageId::stick,
          noop("Board marks"),
          noop("Stick the board marks"),
          noop("By them the station knows in every frame where the board is, and notices a knock."),
          {noop("Cut out four or more of them, six are better. Leave the white border on."),
           noop("Stick them flat near the board's rim, all around it, where no garment and no hoop covers them."),
           noop("Their places need not be exact: the station finds out where they are."),
           noop("Never stick one number twice. Do not cover them with glossy tape: it shines.")},
          {}};
}

Stage lens() {
  return {StageId::lens,
          noop("Lens"),
          noop("Measure the lens"),
          noop("Every lens bends straight lines a little. The station takes that out of each picture."),
          {noop("Take the stiff calibration sheet in both hands."),
           noop("Hold it before the camera where the screen wants it, tilted as it says. Keep still until it flashes."),
           noop("It takes its pictures by itself, some twenty in a few minutes, and then computes."),
           noop("Once it is done, leave focus and camera as they are.")},
          {"lens"}};
}

Stage board() {
  return {
      StageId::board,
      noop("Board"),
      noop("Survey the board"),
      noop("Now the station learns where you stuck the marks."),
      {noop("Lay the calibration sheet flat in the middle of the board, its top away from you."),
       noop("Its first place sets the board's middle and what counts as straight."),
       noop("When the screen flashes, move the sheet: left, right, near, far, so that it comes close to every mark."),
       noop("No mark may be covered for good. A mark that is bent or askew is named: stick a new one.")},
      {"board"}};
}

Stage hoop() {
  return {StageId::hoop,
          noop("Hoops"),
          noop("Teach your hoops"),
          noop("The station recognises a hoop by its rim and its four notches."),
          {noop("Lay the two rings, put together, without cloth, on the bare board."),
           noop("Measure with a ruler how high the rim stands above the board, and type that in."),
           noop("Check the outlines and notches on the picture, and say which one is north."),
           noop("Then shift and turn the hoop three times, so that the station shows that it finds it again.")},
          {"hoop", "teach"}};
}

Stage proof() {
  return {StageId::proof,
          noop("Proof"),
          noop("Prove the station"),
          noop("Trust it once it has shown on a known sheet how right it measures."),
          {noop("Lay the proof sheet flat on the board, at the place that the screen shows."),
           noop("Turn it by half a turn when it says so: that tells the sheet's error from the station's."),
           noop("Do so at all the places. At the end it says in plain words whether the station is good."),
           noop("Prove it again every month, after a knock, and after a new survey of the board.")},
          {"prove"}};
}

}  // namespace

const std::vector<Stage>& stages() {
  static const std::vector<Stage> all{mount(), light(), focus(), print(), stick(), lens(), board(), hoop(), proof()};
  return all;
}

}  // namespace app
