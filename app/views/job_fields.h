// What can be said of a job, field by field, as the screen shows it and lets it be chosen.
#pragma once

#include <string>
#include <vector>

#include "app/views/job_draft.h"
#include "app/views/quantities.h"

namespace app {

enum class JobField {
  name,
  garment,
  place,
  measures,
  cloth,
  stabilizer,
  topping,
  way,
  design,
  drawing,
  hoop,
  machine,
  stickers,
  tolerance,
  stretch,
  pieces,
  ticket,
  note,
};
inline constexpr int kJobFieldCount = 18;

std::string job_field_name(JobField field);
// "not said" where it says nothing.
std::string job_field_value(JobField field, const JobDraft& draft, const Desk& desk);

// What is chosen from a list. An empty value is "not said".
struct JobChoice {
  std::string value;  // as the job keeps it
  std::string label;  // as it is shown
  std::string detail, note;
};
bool chosen_from_list(JobField field);
std::vector<JobChoice> job_choices(JobField field, const JobDraft& draft, const Desk& desk);
// Where another text than those of the list will do.
bool may_be_typed(JobField field);
// The text that the field has now; of fields that are chosen or typed.
std::string job_text(JobField field, const Job& job);
void set_job_text(JobField field, Job& job, const std::string& value, const PlaceGuide& guide);

// What is typed as numbers.
bool typed_as_numbers(JobField field);
Quantities job_quantities(JobField field, const JobDraft& draft, const Desk& desk, Quantities::Keep keep);
void set_job_values(JobField field, Job& job, const std::vector<std::optional<double>>& values);

// "14: 50 mm left, 0 mm up, turned 90°".
std::string placed_sticker_words(const PlacedSticker& sticker, Units units);

}  // namespace app
