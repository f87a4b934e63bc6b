#include "app/commands/job.h"

#include <algorithm>
#include <functional>
#include <ostream>

#include "app/crew/crew.h"
#include "app/hoops/hoop_store.h"
#include "app/in_quotes.h"
#include "app/jobs/job_advice.h"
#include "app/jobs/job_file.h"
#include "app/jobs/job_store.h"
#include "app/machine/machine_store.h"
#include "app/names.h"
#include "app/places.h"
#include "app/sheets/job_ticket.h"
#include "app/sheets/job_ticket_text.h"
#include "app/sheets/sheet_bytes.h"
#include "app/sheets/sheet_error.h"
#include "calib/atomic_write.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

namespace fs = std::filesystem;

constexpr int kFound = 1, kUsage = 2;

// What a job is looked at with, as it lies beside the station file.
class Shop {
 public:
  explicit Shop(const fs::path& station_file)
      : store(job_folder(station_file)),
        cloths_(ClothGuide::of_station(station_file)),
        places_(PlaceGuide::of_station(station_file)) {
    for (const StoredHoop& one : HoopStore(hoop_folder(station_file)).list().hoops) hoops_.push_back(one.hoop);
    for (const StoredMachine& one : MachineStore(machine_folder(station_file)).list().machines)
      machines_.push_back(one.machine.name);
  }
  JobSurroundings surroundings() const { return {cloths_, places_, hoops_, machines_}; }
  // By its name, else its file.
  StoredJob find(const std::string& job) const {
    if (const auto stored = store.find(job)) return *stored;
    const fs::path file = job;
    if (file.extension() == ".toml") return {file, job_from_text(calib::text_of_file(file), file.string())};
    std::string known;
    for (const StoredJob& one : store.list().jobs) known += (known.empty() ? "" : ", ") + in_quotes(one.job.name);
    throw calib::FileError("there is no job " + in_quotes(job) +
                           (known.empty() ? "; make one with hoopgauge job new" : "; there are " + known));
  }

  JobStore store;

 private:
  ClothGuide cloths_;
  PlaceGuide places_;
  std::vector<vision::Hoop> hoops_;
  std::vector<std::string> machines_;
};

int told(std::ostream& err, const std::function<int()>& work) {
  try {
    return work();
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
  } catch (const SheetError& error) {
    err << "hoopgauge: " << error.what() << '\n';
  }
  return kUsage;
}

std::optional<Design> design_of_stored(const StoredJob& stored) {
  return design_of(stored.job, stored.file.parent_path());
}

void say_advice(const JobAdvice& advice, std::ostream& out) {
  for (const std::string& one : advice.warnings) out << "look at:  " << one << '\n';
  for (const std::string& one : advice.proposals) out << "proposed: " << one << '\n';
}

int say_damaged(const JobList& all, std::ostream& err) {
  for (const DamagedJob& one : all.damaged) err << "hoopgauge: cannot be used: " << one.message << '\n';
  return all.damaged.empty() ? 0 : kFound;
}

int check_one(const StoredJob& stored, const Shop& shop, std::ostream& out) {
  std::vector<std::string> found;
  std::optional<Design> design;
  try {
    design = design_of_stored(stored);
  } catch (const calib::FileError& error) {
    found.emplace_back(error.what());
  }
  const JobAdvice advice = job_advice(stored.job, design, shop.surroundings(), Units::mm);
  found.insert(found.end(), advice.warnings.begin(), advice.warnings.end());
  out << stored.job.name << (found.empty() ? ": nothing found\n" : ":\n");
  for (const std::string& one : found) out << "  " << one << '\n';
  return found.empty() ? 0 : kFound;
}

}  // namespace

int run_job_new(const fs::path& station_file, const Job& job, bool replace, std::ostream& out, std::ostream& err) {
  return told(err, [&] {
    const Shop shop(station_file);
    const auto before = shop.store.find(tidy_name(job.name));
    if (before && !replace)
      throw calib::FileError("there is a job " + in_quotes(before->job.name) + " already in " + before->file.string() +
                             "; choose another name, or add --replace");
    const Crew crew(crew_file(station_file));
    if (const Operator* owner = job.ticket ? crew.of_badge(*job.ticket) : nullptr)
      throw calib::FileError("ticket " + std::to_string(*job.ticket) + " is the badge of " + in_quotes(owner->name) +
                             "; choose another ticket");
    // A drawing that cannot be used is said before anything is written.
    const auto design = design_of(job, shop.store.folder());
    const fs::path file = shop.store.save(job);
    out << file.string() << ": written\n";
    say_advice(job_advice(job, design, shop.surroundings(), Units::mm), out);
    return 0;
  });
}

int run_job_list(const fs::path& station_file, std::ostream& out, std::ostream& err) {
  return told(err, [&] {
    const JobStore store(job_folder(station_file));
    const JobList all = store.list();
    if (all.jobs.empty() && all.damaged.empty())
      out << "No job is there yet in " << store.folder().string() << "; see hoopgauge job new --help\n";
    for (const StoredJob& one : all.jobs) {
      const Job& job = one.job;
      out << job.name;
      for (const std::string& part : {job.garment, job.place.name, job.hoop})
        if (!part.empty()) out << " | " << part;
      if (job.ticket) out << " | ticket " << *job.ticket;
      if (job.pieces > 0) out << " | " << job.pieces << (job.pieces == 1 ? " piece" : " pieces");
      out << " | " << one.file.filename().string() << '\n';
    }
    return say_damaged(all, err);
  });
}

int run_job_show(const fs::path& station_file, const std::string& job, std::ostream& out, std::ostream& err) {
  return told(err, [&] {
    const Shop shop(station_file);
    const StoredJob stored = shop.find(job);
    std::optional<Design> design;
    try {
      design = design_of_stored(stored);
    } catch (const calib::FileError& error) {
      err << "hoopgauge: " << error.what() << '\n';
    }
    const JobTicketText text = job_ticket_text({stored.job, design, shop.surroundings()});
    out << text.name << '\n';
    if (text.tag) out << "  Ticket: " << *text.tag << '\n';
    for (const auto& [caption, value] : text.facts) out << "  " << caption << ": " << value << '\n';
    for (const std::string& one : text.place) out << one << '\n';
    say_advice(job_advice(stored.job, design, shop.surroundings(), Units::mm), out);
    out << "file: " << stored.file.string() << '\n';
    return 0;
  });
}

int run_job_check(const fs::path& station_file, const std::vector<std::string>& jobs, std::ostream& out,
                  std::ostream& err) {
  return told(err, [&] {
    const Shop shop(station_file);
    int found = 0;
    if (!jobs.empty()) {
      for (const std::string& job : jobs) found = std::max(found, check_one(shop.find(job), shop, out));
      return found;
    }
    JobList all = shop.store.list();
    drop_badges(all, Crew(crew_file(station_file)));
    for (const StoredJob& one : all.jobs) found = std::max(found, check_one(one, shop, out));
    if (all.jobs.empty() && all.damaged.empty())
      out << "No job is there yet in " << shop.store.folder().string() << '\n';
    return std::max(found, say_damaged(all, err));
  });
}

int run_job_print(const fs::path& station_file, const JobPrintOptions& options, std::ostream& out, std::ostream& err) {
  return told(err, [&] {
    const Shop shop(station_file);
    const StoredJob stored = shop.find(options.job);
    const std::string paper = options.paper == Paper::a4 ? "-a4.pdf" : "-letter.pdf";
    const fs::path file = options.out_file.value_or("job-" + file_stem(stored.job.name, "job") + paper);
    if (file.extension() != ".pdf") throw SheetError(file.string() + ": end the file's name with .pdf");
    std::error_code ignored;
    if (fs::exists(file, ignored) && !options.replace)
      throw SheetError(file.string() + ": is there already; name another file with --out, or add --replace");
    const Document sheet = job_ticket(options.paper, {stored.job, design_of_stored(stored), shop.surroundings()});
    calib::write_atomically(file, pdf_bytes(sheet));
    out << file.string() << ": 1 page " << paper_name(options.paper)
        << "; print at 100 %, not \"fit to page\", then lay a ruler on the 100 mm bar\n";
    return 0;
  });
}

}  // namespace app
