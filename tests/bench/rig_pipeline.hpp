// rig_pipeline.hpp: what it costs to take in a controller's lines: decoding alone, and all from the port to the events.
#pragma once

#include <cstdint>

namespace lobewright::bench {

struct DecodeCost {
    double decoder_ns = 0.0;  // a line
    double bare_ns = 0.0;     // the same bytes: line ends looked for, check sum, five numbers converted
};

/// Best of several turns, both by turns in one run.
DecodeCost decode_cost();

struct Pipeline {
    std::uint64_t lines = 0;
    std::uint64_t events = 0;    // readings told
    std::uint64_t lost = 0;      // lines that the decoder missed, or found damaged
    std::uint64_t replayed = 0;  // readings in the capture afterwards
    double wall_s = 0.0;
    double cpu_s = 0.0;  // of all threads of the receiving side, user and system
    double user_s = 0.0;
    long early_kb = 0, late_kb = 0;  // most memory so far: after a tenth of the lines, and after all
};

/// Sends so many lines through a pseudo-terminal into a connection that records them; the receiving side has one core.
Pipeline pipeline(std::uint32_t lines);

/// Lines a second that such a terminal carries to a program that reads them and throws them away.
double terminal_alone(std::uint32_t lines);

}  // namespace lobewright::bench
