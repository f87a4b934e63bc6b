// Takes of the rendered station: random scenes of all kinds, made from a seed, with exact truth.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>

#include "tests/bench/contestants.h"

namespace bench {

using NextTake = std::function<std::optional<Take>()>;

// `count` scenes of mixed kinds, the first from `seed`, the next from seed + 1 and so on. Each take's name is its seed,
// so that one scene can be made again.
NextTake rendered_takes(int count, std::uint64_t seed);

// One scene of every kind, all from this seed.
NextTake rendered_kinds(std::uint64_t seed);

}  // namespace bench
