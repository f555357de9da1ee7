// serve.hpp: serves a virtual rig on real ports until it is told to end: paced by absolute deadlines of the steady clock, so
// that nothing adds up, or as fast as the host takes what is sent.
#pragma once

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "rig/virtual/outlet.hpp"
#include "rig/virtual/virtual_controller.hpp"
#include "rig/virtual/virtual_devices.hpp"

namespace lobewright::virtual_rig {

/// What served ports need of a rig, a controller or stand-alone devices: one channel for each line to the host.
struct Served {
    std::size_t channels = 1;
    std::function<void(std::int64_t us)> advance;
    std::function<void(std::size_t channel, std::string_view bytes)> receive;
    std::function<std::string(std::size_t channel)> take;
    std::function<void(std::size_t channel, bool opened)> opened;  // or closed
    std::function<void(std::size_t bytes)> set_room;
    std::function<bool()> plugged;
    VirtualBench* bench = nullptr;
};
Served served(VirtualController& rig);
Served served(VirtualDevices& rig);

struct ServeOptions {
    double speed = 1.0;             // of the rig's clock against ours; 0: as fast as the host takes it
    std::filesystem::path control;  // a pipe that orders are read from, made and removed; empty: none
    int keys = -1;                  // a terminal that keys are read from, or -1
    std::function<void(const std::string& line)> say;  // what happens, for the screen
    std::string greeting;                              // said once all stands
};

/// One outlet that a channel goes out at; several may share one.
struct Plugged {
    std::size_t channel = 0;
    Outlet outlet;
};

/// Serves until `end` becomes true, `quit` is ordered, or the key q pressed. Throws IoError when the control pipe can't be
/// made.
void serve(const Served& rig, std::vector<Plugged>& outlets, const ServeOptions& options,
           const std::atomic<bool>& end);

/// The order that a key stands for, or none; a help text of the keys.
std::optional<BenchOrder> order_of_key(char key, const VirtualHand& hand);
extern const char* const keys_help;

}  // namespace lobewright::virtual_rig
