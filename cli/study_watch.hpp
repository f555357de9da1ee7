// study_watch.hpp: how far a study is, on standard error, and the signals that end it early.
#pragma once

#include <atomic>
#include <chrono>
#include <cstddef>
#include <string>
#include <thread>

#include "cli/signals.hpp"

namespace lobewright {

/// While it lives: on a terminal a bar with the time left, elsewhere a line a minute. The first Ctrl-C (TERM, HUP, QUIT)
/// sets `stop()`, the second ends the program at once.
class StudyWatch {
public:
    explicit StudyWatch(std::size_t runs);
    ~StudyWatch();
    StudyWatch(const StudyWatch&) = delete;
    StudyWatch& operator=(const StudyWatch&) = delete;

    [[nodiscard]] const std::atomic<bool>& stop() const { return stop_; }
    /// One more run is done; from any thread.
    void count(bool failed);
    /// "12 of 40 runs, 1 not judged".
    [[nodiscard]] std::string said() const;

private:
    void watch();
    void take_signals();
    void show();

    std::size_t runs_;
    std::atomic<std::size_t> done_{0};
    std::atomic<std::size_t> failed_{0};
    std::atomic<bool> stop_{false};
    bool terminal_;
    std::chrono::steady_clock::time_point begun_;
    Signals signals_;
    int end_[2] = {-1, -1};  // a byte here ends the thread
    std::thread thread_;
};

/// "1 h 20 min", "3 min 10 s", "12 s".
std::string say_seconds(double seconds);

/// The bar: "[#####.....] 50 %  20 of 40 runs, 1 not judged, 3 min 10 s left".
std::string study_bar(std::size_t done, std::size_t runs, std::size_t failed, double seconds_so_far);

}  // namespace lobewright
