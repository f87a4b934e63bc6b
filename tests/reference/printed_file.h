// A sheet that the command print wrote, as poppler reads and renders it (Debian's package poppler-utils).
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "app/commands/print.h"
#include "tests/temporary_folder.h"

namespace reference {

class PrintedFile {
 public:
  explicit PrintedFile(app::PrintOptions options);

  int exit_code() const { return exit_code_; }
  const std::string& errors() const { return errors_; }
  // Of every page, mm, as pdfinfo tells it.
  std::vector<cv::Size2d> page_sizes_mm() const;
  // A page, counted from 1, in grey.
  cv::Mat1b page(int number, int dpi) const;
  // Lines of the tables that pdfimages and pdffonts write, without their heads.
  std::vector<std::string> images() const;
  std::vector<std::string> fonts() const;

 private:
  std::vector<std::string> table(const std::string& command) const;

  TemporaryFolder folder_;
  std::string file_, errors_;
  int exit_code_ = -1;
};

// What a program writes to its standard output; fails the test when it cannot be run.
std::string output_of(const std::string& command);

}  // namespace reference
