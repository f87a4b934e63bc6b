// What a refused file or change says.
#pragma once

#include <string>

#include "calib/files.h"

template <class Action>
std::string error_of(Action action) {
  try {
    action();
  } catch (const calib::FileError& error) {
    return error.what();
  }
  return "no error";
}

inline bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }
