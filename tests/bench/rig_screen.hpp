// rig_screen.hpp: the shipped `sweep` on a terminal of its own, watched while bytes come in: what it takes of the processor
// and of memory, and how long a figure is on its way to the screen.
#pragma once

#include <cstddef>

namespace lobewright::bench {

struct ThreePorts {
    double seconds = 0.0;
    double share_waiting = 0.0, share_sweeping = 0.0;  // of one core, at a place and within a sweep
    long waiting_early_kb = 0, waiting_late_kb = 0;    // resident, at a place
    long sweeping_kb = 0;                              // and at the end of the sweep's stretch
};

/// A counter and two indicators, each sending as much as 921 600 baud carry, for so long at a place and again sweeping.
ThreePorts three_ports(double seconds);

struct ScreenDelay {
    std::size_t samples = 0;
    double median_ms = 0.0, p99_ms = 0.0, worst_ms = 0.0;
    double within_50_ms = 0.0;  // share of samples
};

/// From the moment before a sample's bytes are written to the port until the full screen that shows it, or a later one, is
/// read from the terminal; a controller at 1 kHz.
ScreenDelay screen_delay(std::size_t samples);

}  // namespace lobewright::bench
