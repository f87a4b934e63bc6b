// Sentences of the records view.
#pragma once

#include <string>
#include <vector>

#include "app/views/records/records_ask.h"

namespace app {

// "today", "the last 4 weeks".
std::string span_words(RecordsSpan span);
// What the figures tell, and what not: short paragraphs.
std::vector<std::string> about_the_figures();
// What the signs on the dart board mean.
std::string board_legend();

}  // namespace app
