// The command `hoopgauge job`: jobs made, listed, shown, checked and printed.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "app/jobs/job.h"
#include "app/sheets/paper.h"

namespace app {

struct JobPrintOptions {
  std::string job;  // its name or its file
  Paper paper = Paper::a4;
  std::optional<std::filesystem::path> out_file;  // .pdf; left out: named after the job, in this folder
  bool replace = false;                           // a file that is there already
};

// All return 0; 1 where something is to be looked at (`job check` found a fault, a listed file cannot be used); 2 when
// names, options or files cannot be used: then `err` says what to write instead and nothing is written.

// `replace`: a job of this name may be there, and this one takes its place.
int run_job_new(const std::filesystem::path& station_file, const Job& job, bool replace, std::ostream& out,
                std::ostream& err);
int run_job_list(const std::filesystem::path& station_file, std::ostream& out, std::ostream& err);
int run_job_show(const std::filesystem::path& station_file, const std::string& job, std::ostream& out,
                 std::ostream& err);
// By name or file; all of the station's where none is named.
int run_job_check(const std::filesystem::path& station_file, const std::vector<std::string>& jobs, std::ostream& out,
                  std::ostream& err);
int run_job_print(const std::filesystem::path& station_file, const JobPrintOptions& options, std::ostream& out,
                  std::ostream& err);

}  // namespace app
