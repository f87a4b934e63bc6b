// The acceptance of a station from its readings of the proof sheet.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "calib/proof_reversal.h"
#include "calib/proof_scatter.h"
#include "calib/proof_tolerance.h"
#include "calib/proof_verdict.h"

namespace calib {

// What a proof should have.
struct ProofPlan {
  int places = 5;
  int readings = 20;  // in either turn at each place
};

// A value and its standard uncertainty with the degrees of freedom of that; u is NaN where it is not known.
struct ProofValue {
  double value = 0.0;
  double u = 0.0, dof = 0.0;
  double expanded() const;  // U = k u, 95.45 %
};

// Mean and standard uncertainty of the mean.
struct SheetError {
  ProofValue x_mm, y_mm;    // sheet frame
  ProofValue rotation_deg;  // less the mean of the five, which cannot be told from the station's
};

// The largest error of a reading, held against the tolerance after JCGM 106: uncertainty and what cannot be told apart
// count against the station.
struct ProofLimit {
  double certain = 0.0;   // the station's own bias
  double shared = 0.0;    // the station's or the sheet's
  double expanded = 0.0;  // U of a new reading less its bias; NaN with less than two places
  double scatter = 0.0;   // the same for a study without end: what is surely the station's
  double effective_dof = 0.0, coverage_factor = 0.0;
  double tolerance = 0.0;

  double most() const { return certain + shared + expanded; }
  double surely() const { return certain + scatter; }
  ProofVerdict verdict() const;
};

struct Proof {
  std::vector<ReversedPlace> places;
  ProofValue bias_x_mm, bias_y_mm;  // the station's, board frame
  ProofValue bias_rotation_deg;     // the part of it that a turn can tell
  ProofValue shared_rotation_deg;   // the rest, the station's or the sheet's
  LinearError shared;               // of the offsets
  std::array<SheetError, kProofStickerCount> sheet;
  ProofScatter x_mm, y_mm, rotation_deg;
  ProofLimit offset_mm, rotation_limit_deg;
  // Share of the deviations, sheet and shared part taken off, that lie within what the readings stated (k = 2).
  double stated_covers_offset = 0.0, stated_covers_rotation = 0.0;
  long readings = 0;                 // five a frame
  std::vector<std::string> missing;  // of the plan, in plain words
  ProofVerdict verdict = ProofVerdict::undecided;
};

// What of the plan is not there yet.
std::vector<std::string> missing_of(const ProofReadings& readings, const ProofPlan& plan);

// Whatever there is, is used; a small study has a large uncertainty. Throws std::invalid_argument where no place was
// measured both ways.
Proof prove(const ProofReadings& readings, double print_scale, const ProofTolerance& tolerance, const ProofPlan& plan);

}  // namespace calib
