// Every test begins in English, whatever the machine's language, and whatever the test before it spoke.
#include <cstdlib>

#include "app/words/words.h"
#include "tests/catch_listener.h"

namespace {

class BeginInEnglish : public ListenerBase {
 public:
  using ListenerBase::ListenerBase;
  void testCaseStarting(const Catch::TestCaseInfo& test) override {
    ListenerBase::testCaseStarting(test);
    ::setenv("LC_ALL", "C", 1);
    app::set_language("en");
  }
};

}  // namespace

CATCH_REGISTER_LISTENER(BeginInEnglish)
