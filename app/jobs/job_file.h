// A job as the text of its file: what the store does, without the disk.
#pragma once

#include <string>
#include <string_view>

#include "app/jobs/job.h"
#include "calib/toml_reader.h"

namespace app {

// What a job's figures may be; both ends belong to it.
namespace job_limits {
inline constexpr calib::Range kTolerance_mm{0.1, 20.0};      // below is finer than any reading, above is no aim
inline constexpr calib::Range kTolerance_deg{0.1, 180.0};    // 180: any way round, where the machine turns it straight
inline constexpr calib::Range kStretch_percent{0.1, 20.0};   // likewise
inline constexpr calib::Range kDesignSide_mm{1.0, 1000.0};   // a letter, and more than any field
inline constexpr calib::Range kDown_mm{0.0, 2000.0};         // more than any garment
inline constexpr calib::Range kAcross_mm{-1000.0, 1000.0};   // likewise, to both sides
inline constexpr calib::Range kStickerAt_mm{-500.0, 500.0};  // beyond any hoop that a camera sees whole
inline constexpr calib::Range kStickerTurn_deg{-180.0, 180.0};
inline constexpr int kMostPieces = 100000;
}  // namespace job_limits

// `file` is the name that messages carry. Unknown keys, wrong types and values outside their range throw
// calib::FileError.
Job job_from_text(std::string_view text, const std::string& file);

// Only what is said; numbers read back as the same double. Nothing is checked here.
std::string text_of(const Job& job);

}  // namespace app
