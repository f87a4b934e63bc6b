// Where the station keeps what it knows: one folder, the same for every command that is given no other.
#pragma once

#include <filesystem>
#include <string>

namespace app {

// DIR/station.toml, and beside it DIR/hoops/*.toml and DIR/proof. DIR is $STATE_DIRECTORY (set by systemd for a
// service), else $XDG_DATA_HOME/hoopgauge, else $HOME/.local/share/hoopgauge. Nothing is created here.
// With `rendered` it is DIR/rendered/station.toml: what is tried on the rendered station stays away from the real one.
// Throws calib::FileError when the environment names no such place.
std::filesystem::path default_station_file(bool rendered = false);

// What belongs to a station lies beside its file.
std::filesystem::path hoop_folder(const std::filesystem::path& station_file);
std::filesystem::path proof_folder(const std::filesystem::path& station_file);

// Creates the folder in which `file` shall be. Throws calib::FileError.
void make_room_for(const std::filesystem::path& file);

// Now, UTC, as it stands in file names: 2026-01-31T120000.
std::string utc_for_files();

// `start` with the time (UTC) behind it, and a number where there is such a file already.
std::filesystem::path dated_name(const std::string& start);

// A copy of `file` beside it, named after the time (UTC) such as station.toml.2026-01-31T120000, a number added where
// that is taken; gives the copy's name, or nothing where there is no such file yet. Throws calib::FileError.
std::filesystem::path keep_old(const std::filesystem::path& file);

}  // namespace app
