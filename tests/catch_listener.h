// What hears of every test case, in Catch2 2 (Debian 12) and 3 (Debian 13); include this before tests/catch.h.
#pragma once

#define CATCH_CONFIG_EXTERNAL_INTERFACES
#include "tests/catch.h"

#if __has_include(<catch2/catch_all.hpp>)
using ListenerBase = Catch::EventListenerBase;
#else
using ListenerBase = Catch::TestEventListenerBase;
#endif
