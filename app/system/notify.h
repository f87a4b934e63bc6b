// What the service manager is told (sd_notify). Nothing happens where none listens: without NOTIFY_SOCKET.
#pragma once

#include <chrono>
#include <optional>
#include <string>

namespace app {

// Something stands on the screen. Told once, whatever comes after.
void notify_ready();
// One line for `systemctl status`; told when it changes.
void notify_status(const std::string& status);
// An orderly end has begun.
void notify_stopping();

// The longest silence that the unit allows (WatchdogSec=); nothing when it watches nothing.
std::optional<std::chrono::duration<double>> watchdog_limit();
// From here on the manager expects a beat within that limit, or none at all: what asks a person, as the set-up does,
// is not watched.
void notify_watched(bool on);
void notify_beat();

}  // namespace app
