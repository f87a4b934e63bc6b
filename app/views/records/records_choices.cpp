// The lists of the records view: whose pieces, how far back, which hoop; and who or which job a piece is corrected to.
#include "app/format.h"
#include "app/records/correction.h"
#include "app/views/records/records_view.h"
#include "app/views/records/records_words.h"
#include "app/words/words.h"

namespace app {
namespace {

struct Choice {
  std::string label, detail;
  bool on = false;
};

std::vector<Button> list_of(const std::vector<Choice>& choices, int first_id) {
  std::vector<Button> all;
  for (const Choice& one : choices) {
    const auto place = static_cast<int>(all.size());
    all.push_back(view_button(first_id + place, one.label, place < 9 ? SDLK_1 + place : 0));
    all.back().detail = one.detail;
    all.back().row = true;
    all.back().selected = one.on;
    if (one.on) all.back().note = tr("chosen");
  }
  return all;
}

// "All", then the names.
std::vector<Choice> names_or_all(const char* all, const std::vector<std::string>& names,
                                 const std::optional<std::string>& chosen) {
  std::vector<Choice> out{{all, "", !chosen}};
  for (const std::string& name : names) out.push_back({name, "", chosen == name});
  return out;
}

std::optional<std::string> name_at(const std::vector<std::string>& names, std::size_t index) {
  if (index == 0 || index > names.size()) return std::nullopt;
  return names[index - 1];
}

// Own first, then everyone, then the others.
std::vector<std::optional<std::string>> people(const RecordsSeen* seen, const std::string& own) {
  std::vector<std::optional<std::string>> out;
  if (!own.empty()) out.emplace_back(own);
  out.emplace_back(std::nullopt);
  if (seen != nullptr)
    for (const std::string& name : seen->operators)
      if (name != own) out.emplace_back(name);
  return out;
}

}  // namespace

std::vector<Button> RecordsView::choices(const Desk& desk) const {
  static const std::vector<std::string> kNone;
  const auto of = [this](std::vector<std::string> RecordsSeen::*member) -> const std::vector<std::string>& {
    return seen_ ? (*seen_).*member : kNone;
  };
  std::vector<Choice> all;
  switch (subs_.back()) {
    case Sub::shown:
      return list_of({{tr("Whose pieces"), whose_.value_or(tr("Everyone"))},
                      {tr("How far back"), span_words(wanted().span)},
                      {tr("Hoop"), hoop_.value_or(tr("all hoops"))},
                      {tr("Cloth"), cloth_.value_or(tr("all cloths"))},
                      {tr("Job"), job_.value_or(tr("all jobs"))}},
                     kFirstEntry);
    case Sub::whose:
      for (const auto& name : people(seen_.get(), own_))
        all.push_back({name.value_or(tr("Everyone")),
                       !name           ? tr("the whole shop together, without names")
                       : *name == own_ ? tr("your own")
                                       : "",
                       name == whose_});
      break;
    case Sub::span:
      for (int i = 0; i < kRecordsSpans; ++i)
        all.push_back({span_words(static_cast<RecordsSpan>(i)), "", static_cast<int>(wanted().span) == i});
      break;
    case Sub::hoop:
      all = names_or_all(tr("All hoops"), of(&RecordsSeen::hoops), hoop_);
      break;
    case Sub::cloth:
      all = names_or_all(tr("All cloths"), of(&RecordsSeen::cloths), cloth_);
      break;
    case Sub::job:
      all = names_or_all(tr("All jobs"), of(&RecordsSeen::jobs), job_);
      break;
    case Sub::its_operator:
      all.push_back({tr("Nobody"), ""});
      for (const Operator& one : desk.crew().operators()) all.push_back({one.name, ""});
      break;
    case Sub::its_job:
      all.push_back({tr("No job"), ""});
      for (const StoredJob& one : desk.jobs().jobs) all.push_back({one.job.name, ""});
      break;
    default:
      break;
  }
  return list_of(all, kFirstEntry);
}

void RecordsView::choose(std::size_t index, Desk& desk) {
  const Sub sub = subs_.back();
  constexpr Sub kShownPages[] = {Sub::whose, Sub::span, Sub::hoop, Sub::cloth, Sub::job};
  if (sub == Sub::shown) {
    if (index < std::size(kShownPages)) open(kShownPages[index]);
    return;
  }
  const bool correction = sub == Sub::its_operator || sub == Sub::its_job;
  subs_.pop_back();
  if (!correction) subs_.clear();
  list_.show(0);
  if (sub == Sub::span) {
    spans_[static_cast<std::size_t>(page_)] = static_cast<RecordsSpan>(index);
  } else if (sub == Sub::whose) {
    const auto all = people(seen_.get(), own_);
    if (index < all.size()) whose_ = all[index];
  } else if (correction && answered() && seen_->opened) {
    const bool person = sub == Sub::its_operator;
    std::string name;
    if (person && index > 0) name = desk.crew().operators().at(index - 1).name;
    if (!person && index > 0) name = desk.jobs().jobs.at(index - 1).job.name;
    const PieceRow& row = seen_->opened->row;
    const std::string before = seen_->name(person ? row.operator_name : row.job);
    if (name == before) return;
    const std::string shown = !name.empty() ? name : person ? tr("nobody") : tr("none");
    correct(desk, person ? "operator" : "job", name, before,
            format(person ? tr("Noted: the operator was %s.") : tr("Noted: the job was %s."), shown));
  } else if (seen_) {
    if (sub == Sub::hoop) hoop_ = name_at(seen_->hoops, index);
    if (sub == Sub::cloth) cloth_ = name_at(seen_->cloths, index);
    if (sub == Sub::job) job_ = name_at(seen_->jobs, index);
  }
}

}  // namespace app
