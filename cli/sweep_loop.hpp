// sweep_loop.hpp: the one loop at the bench: what the rig tells, keys, signals and time go in; the screen, the bell and the
// motor's `keep` come out. It waits in one place and never for the terminal of another thread; the rig's own thread never
// waits for it.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "analysis/run/run.hpp"
#include "cli/bench/bench_page.hpp"
#include "cli/bench_motor.hpp"
#include "rig/session/session_queue.hpp"
#include "rig/session/sweep_session.hpp"

namespace lobewright {

struct SweepLoop {
    const Run* run = nullptr;
    SessionQueue* queue = nullptr;
    SweepSession* session = nullptr;
    TurnOrders motor;
    std::optional<MotorWish> wish;
    std::string port;
    std::optional<double> most_deg_per_s;
    BenchPage* page = nullptr;                        // none: the terminal alone
    std::function<bool(const std::string&)> is_done;  // whether a lobe or journal has a whole sweep
    std::vector<BenchPlace> places;
    bool plain = false;  // a live line where a screen would do
    bool no_colour = false;
};

/// Runs until the operator quits or a signal ends it. Returns the signal, 0 when there was none. The terminal is as it was,
/// also when something is thrown (IoError when a sweep can't be written).
int run_sweep_loop(const SweepLoop& loop);

}  // namespace lobewright
