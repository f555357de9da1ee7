// bench_trace.hpp: what has been read so far of the sweep in hand, a degree a cell, for the traces of the bench's page. The
// sweep itself is kept elsewhere, whole.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <limits>

namespace lobewright {

struct BenchTrace {
    static constexpr std::size_t cells = 360;

    // The last reading in each degree of the turn, mm; NaN where none was.
    std::array<double, cells> front_mm, rear_mm;

    BenchTrace() { clear(); }

    void clear() {
        front_mm.fill(std::numeric_limits<double>::quiet_NaN());
        rear_mm.fill(std::numeric_limits<double>::quiet_NaN());
    }

    void add(double angle_deg, double front, double rear) {
        const double turn = std::fmod(std::fmod(angle_deg, 360.0) + 360.0, 360.0);
        const std::size_t cell = static_cast<std::size_t>(turn) % cells;
        front_mm[cell] = front;
        rear_mm[cell] = rear;
    }
};

}  // namespace lobewright
