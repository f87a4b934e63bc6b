#include "calib/files.h"
