// Names of hoops, jobs and operators, as people write them, and the names of their files.
#pragma once

#include <string>
#include <string_view>

namespace app {

// The name without spaces at its ends and with single ones inside.
std::string tidy_name(std::string_view name);

// What is wrong with a tidy name, in a sentence that says what to write instead; empty when it is fit. Any letters of
// UTF-8 will do, up to 100 bytes, without control characters.
std::string fault_of_name(std::string_view name,
                          std::string_view when_empty = "a hoop needs a name; write what is printed on it");
// The same for a line of text that may be empty and is called `what` in the sentence.
std::string fault_of_line(std::string_view line, std::string_view what, std::size_t longest_bytes);

// Of UTF-8.
std::size_t characters_in(std::string_view text);

// Names that people would take for the same: without regard to the case of letters and to spaces.
bool same_name(std::string_view a, std::string_view b);

// A file's name without its ending: small letters a to z, digits and single hyphens, at most 60, never empty. Letters
// with accents give their base, other signs a hyphen: "Größe 5/7" becomes "groesse-5-7"; where no letter is left,
// `otherwise`. Two names may give one stem.
std::string file_stem(std::string_view name, std::string_view otherwise = "hoop");

// For sorting as people count: "90" before "120", without regard to case.
bool name_before(std::string_view a, std::string_view b);

}  // namespace app
