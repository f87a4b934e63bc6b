// Catch2 2 (Debian 12) and 3 (Debian 13) under one roof: include this, nothing else of Catch2.
#pragma once

#if __has_include(<catch2/catch_all.hpp>)
#include <catch2/catch_all.hpp>
#else
#include <catch2/catch.hpp>
#endif

#if __has_include(<catch2/catch_all.hpp>)
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
#else
using Catch::WithinAbs;
using Catch::WithinRel;
#endif

#include "tests/places.h"
