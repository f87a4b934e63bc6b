// Where this build's files lie. These names are kept off the compiler's command line: a compiler cache then knows a
// test's object again in another folder.
#pragma once

namespace places {

extern const char* const kSourceDir;             // the project's folder
extern const char* const kProgram;               // hoopgauge
extern const char* const kUnit;                  // its systemd unit, as installed
extern const char* const kVirtualCameraLibrary;  // tests/station/virtual_camera.c

}  // namespace places

#define HOOPGAUGE_SOURCE_DIR places::kSourceDir
#define HOOPGAUGE_PROGRAM places::kProgram
#define HOOPGAUGE_UNIT places::kUnit
#define HOOPGAUGE_VIRTUAL_CAMERA_LIBRARY places::kVirtualCameraLibrary
