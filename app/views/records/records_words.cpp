#include "app/views/records/records_words.h"

#include "app/words/words.h"

namespace app {

std::string span_words(RecordsSpan span) {
  switch (span) {
    case RecordsSpan::today:
      return tr("today");
    case RecordsSpan::four_weeks:
      return tr("the last 4 weeks");
    case RecordsSpan::thirteen_weeks:
      return tr("the last 13 weeks");
    case RecordsSpan::year:
      return tr("the last year");
  }
  return "";
}

std::vector<std::string> about_the_figures() {
  return {
      tr("They tell how far off the cloth was when the hoop was lifted: under that day's cloth, hoop and hurry. They "
         "do not measure a person."),
      tr("Few pieces say little. The figures after \"of many more\", \"give or take\" and the bands in the drawings "
         "say "
         "how far the same hands could differ by chance alone."),
      tr("The station errs too, and that is part of every figure. A proof of the station says how much."),
      tr("What is no more than chance is not called better, worse or a habit."),
      tr("A try or a sample need not count: open the piece and say so. Nothing is overwritten; it can be taken back."),
      tr("The chosen operator's own figures come first. Everyone at this station can choose to see them; names can be "
         "left out of every report and export.")};
}

std::string board_legend() {
  return tr(
      "White circle: the tolerance. Disc: within; triangle: outside, or turned too far. Ringed: the newest. Cross: the "
      "mean, with its doubt. Dashed: holds 95 of 100.");
}

}  // namespace app
