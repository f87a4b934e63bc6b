#include "app/guide/stages.h"

namespace app {
namespace {

Stage mount() {
  return {StageId::mount,
          "Camera",
          "Mount the camera",
          "Everything is measured from where the camera hangs, so it has to hang still.",
          {"Put it on a stiff post, about 650 mm above the board: measure from the lens to the board.",
           "Point it straight down, within a few degrees.",
           "Look at the picture: the board fills it, edge along edge, and its far side is at the top.",
           "Tighten every screw. Lead the cable so that nobody pulls at it."},
          {"lens"}};
}

Stage light() {
  return {StageId::light,
          "Light",
          "Light the board evenly",
          "Glare and hard shadows hide the ring's edge and the marks.",
          {"Put a lamp on the left and one on the right, with frosted covers, lower than the camera.",
           "Lay a white sheet on the board: no bright spot, no hard shadow, all of it about equally bright.",
           "Lay a hoop down: where it shines, move the lamps outward.",
           "Keep daylight off the board, for it changes by the hour."},
          {"lens"}};
}

Stage focus() {
  return {StageId::focus,
          "Focus",
          "Lock focus and exposure",
          "A lens that focuses anew is another lens: what was measured of it no longer holds.",
          {"A camera that focuses by itself: nothing to do, the program holds it at 650 mm.",
           "A lens with a ring: lay print on the board, turn the ring until it is sharp, then lock its screw.",
           "Leave the lamps on at one brightness, so that the exposure stays as it is.",
           "Do not touch the lens again. If it was touched, measure it again."},
          {"lens"}};
}

Stage print() {
  return {StageId::print,
          "Sheets",
          "Print the sheets",
          "Every millimetre that the station knows comes from these sheets.",
          {"Make the file and print it at 100 %, on plain white paper, never 'fit to page'.",
           "Measure the 100 mm bar with a steel ruler, from outer edge to outer edge.",
           "If it is not 100.0 mm, tell the station: hoopgauge print scale --bar 99.4",
           "Glue the calibration sheet flat onto stiff board or glass: a bent sheet is of no use."},
          {"print", "setup"}};
}

Stage stick() {
  return {StageId::stick,
          "Board marks",
          "Stick the board marks",
          "By them the station knows in every frame where the board is, and notices a knock.",
          {"Cut out four or more of them, six are better. Leave the white border on.",
           "Stick them flat near the board's rim, all around it, where no garment and no hoop covers them.",
           "Their places need not be exact: the station finds out where they are.",
           "Never stick one number twice. Do not cover them with glossy tape: it shines."},
          {}};
}

Stage lens() {
  return {StageId::lens,
          "Lens",
          "Measure the lens",
          "Every lens bends straight lines a little. The station takes that out of each picture.",
          {"Take the stiff calibration sheet in both hands.",
           "Hold it before the camera where the screen wants it, tilted as it says. Keep still until it flashes.",
           "It takes its pictures by itself, some twenty in a few minutes, and then computes.",
           "Once it is done, leave focus and camera as they are."},
          {"lens"}};
}

Stage board() {
  return {StageId::board,
          "Board",
          "Survey the board",
          "Now the station learns where you stuck the marks.",
          {"Lay the calibration sheet flat in the middle of the board, its top away from you.",
           "Its first place becomes the board's middle and its straight.",
           "When the screen flashes, move the sheet: left, right, near, far, so that it comes close to every mark.",
           "No mark may be covered for good. A mark that is bent or askew is named: stick a new one."},
          {"board"}};
}

Stage hoop() {
  return {StageId::hoop,
          "Hoops",
          "Teach your hoops",
          "The station recognises a hoop by its rim and its four notches.",
          {"Lay the two rings, put together, without cloth, on the bare board.",
           "Measure with a ruler how high the rim stands above the board, and type that in.",
           "Check the outlines and notches on the picture, and say which one is north.",
           "Then shift and turn the hoop three times, so that the station shows that it finds it again."},
          {"hoop", "teach"}};
}

Stage proof() {
  return {StageId::proof,
          "Proof",
          "Prove the station",
          "Trust it once it has shown on a known sheet how right it measures.",
          {"Lay the proof sheet flat on the board, at the place that the screen shows.",
           "Turn it by half a turn when it says so: that tells the sheet's error from the station's.",
           "Do so at all the places. At the end it says in plain words whether the station is good.",
           "Prove it again every month, after a knock, and after a new survey of the board."},
          {"prove"}};
}

}  // namespace

const std::vector<Stage>& stages() {
  static const std::vector<Stage> all{mount(), light(), focus(), print(), stick(), lens(), board(), hoop(), proof()};
  return all;
}

}  // namespace app
