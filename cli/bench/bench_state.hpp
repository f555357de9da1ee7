// bench_state.hpp: what the bench's page shows, as the JSON text that goes to it: the same value that the terminal's screen
// is drawn from, the traces, and the list of lobes and journals. Whole each time, so that a page that was reloaded, or that
// couldn't keep pace, lacks nothing.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "cli/bench/bench_trace.hpp"
#include "cli/shown_sweep.hpp"

namespace lobewright {

/// A lobe or journal in the list.
struct ShownPlace {
    std::string name;
    bool journal = false;
    bool done = false;  // it has a whole sweep
};

/// `heard_us`: the bench's steady clock when the newest reading came, for whoever measures how long it took to the page.
std::string bench_state(const SweepView& view, const BenchTrace& trace, const std::vector<ShownPlace>& places,
                        bool confirming_motor, std::int64_t heard_us);

}  // namespace lobewright
