// A job while it is being changed on the screen, with a way back step by step.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "app/design/design.h"
#include "app/desk/desk.h"
#include "app/jobs/job_advice.h"

namespace app {

class JobDraft {
 public:
  JobDraft() = default;
  // Of the job of this name; a new one where there is none.
  JobDraft(const std::string& name, const Desk& desk);

  const Job& job() const { return job_; }
  const std::string& stored_name() const { return stored_name_; }  // empty: never saved
  const std::optional<Design>& design() const { return design_; }
  const JobAdvice& advice() const { return advice_; }
  bool unsaved() const;
  bool can_undo() const { return !before_.empty(); }

  void change(const Desk& desk, const std::function<void(Job&)>& change);
  void undo(const Desk& desk);
  // It is in its file now.
  void saved();
  // Design and advice anew: guides, hoops or units may have changed.
  void look_again(const Desk& desk);

 private:
  Job job_;
  std::string stored_name_, stored_text_;
  std::vector<Job> before_;
  std::optional<Design> design_;
  JobAdvice advice_;
};

// The garment is another one: its usual cloth where none is said, and a place that it does not have goes.
void take_garment(Job& job, const std::string& garment, const PlaceGuide& guide);
// The place with its usual figures, to be changed by the person.
void take_place(Job& job, const std::string& place, const PlaceGuide& guide);

}  // namespace app
