// watched_sweep.hpp: a sweep as browsers watch it: the bench's loop tells it what came and what is shown, it keeps the traces
// and hands whole states to the page. Without a page it does nothing.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "cli/bench/bench_page.hpp"
#include "cli/bench/bench_trace.hpp"
#include "cli/shown_sweep.hpp"
#include "rig/session/sweep_session.hpp"

namespace lobewright {

class WatchedSweep {
public:
    /// `page` may be none; it must outlive this. `is_done`: whether a lobe or journal has a whole sweep.
    WatchedSweep(BenchPage* page, std::vector<BenchPlace> places,
                 std::function<bool(const std::string&)> is_done);

    [[nodiscard]] bool is_served() const { return page_ != nullptr; }
    /// To wait on; -1 without a page.
    [[nodiscard]] int descriptor() const { return page_ != nullptr ? page_->descriptor() : -1; }

    /// The session has taken something: the newest reading goes into its degree; a new sweep begins with an empty trace.
    void follow(const SweepSession& session);

    void show(const SweepView& view, bool confirming_motor, std::int64_t heard_us);

    /// What is to be said at the bench, and the keys that buttons stand for, since the last call.
    std::vector<std::string> news();
    std::vector<char> keys();

private:
    BenchPage* page_;
    std::vector<BenchPlace> places_;
    std::function<bool(const std::string&)> is_done_;
    BenchTrace trace_;
    bool trace_is_old_ = true;
};

}  // namespace lobewright
