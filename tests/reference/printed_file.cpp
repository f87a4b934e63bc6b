#include "tests/reference/printed_file.h"

#include <array>
#include <cstdio>
#include <opencv2/imgcodecs.hpp>
#include <sstream>

#include "tests/catch.h"

namespace reference {

std::string output_of(const std::string& command) {
  FILE* pipe = ::popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::string said;
  std::array<char, 4096> buffer{};
  while (const std::size_t count = std::fread(buffer.data(), 1, buffer.size(), pipe)) said.append(buffer.data(), count);
  INFO(command);
  REQUIRE(::pclose(pipe) == 0);
  return said;
}

PrintedFile::PrintedFile(app::PrintOptions options) : file_((folder_.path / "sheet.pdf").string()) {
  options.out_file = file_;
  std::ostringstream out, err;
  exit_code_ = app::run_print(options, out, err);
  errors_ = err.str();
}

std::vector<cv::Size2d> PrintedFile::page_sizes_mm() const {
  constexpr double kMmPerPoint = 25.4 / 72.0;
  std::istringstream lines(output_of("pdfinfo -f 1 -l 1000 " + file_));
  std::vector<cv::Size2d> sizes;
  for (std::string line; std::getline(lines, line);) {
    double width = 0.0, height = 0.0;
    if (std::sscanf(line.c_str(), "Page %*d size: %lf x %lf pts", &width, &height) == 2)
      sizes.push_back(cv::Size2d(width, height) * kMmPerPoint);
  }
  return sizes;
}

cv::Mat1b PrintedFile::page(int number, int dpi) const {
  const std::string picture = (folder_.path / "page").string(), n = std::to_string(number);
  output_of("pdftoppm -gray -singlefile -r " + std::to_string(dpi) + " -f " + n + " -l " + n + ' ' + file_ + ' ' +
            picture);
  cv::Mat1b grey = cv::imread(picture + ".pgm", cv::IMREAD_GRAYSCALE);
  REQUIRE(!grey.empty());
  return grey;
}

std::vector<std::string> PrintedFile::table(const std::string& command) const {
  std::istringstream lines(output_of(command + ' ' + file_));
  std::vector<std::string> rows;
  for (std::string line; std::getline(lines, line);) rows.push_back(line);
  REQUIRE(rows.size() >= 2);  // the head and a line below it
  rows.erase(rows.begin(), rows.begin() + 2);
  return rows;
}

std::vector<std::string> PrintedFile::images() const { return table("pdfimages -list"); }
std::vector<std::string> PrintedFile::fonts() const { return table("pdffonts"); }

}  // namespace reference
