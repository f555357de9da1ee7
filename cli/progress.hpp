// progress.hpp: a sign of life on standard error while something takes long.
#pragma once

#include <condition_variable>
#include <mutex>
#include <string>
#include <thread>

namespace lobewright {

/// Says `what` on standard error when it is a terminal and this object lives longer than a second, and wipes
/// it off again at the end. Otherwise nothing is printed.
class Progress {
public:
    explicit Progress(std::string what);
    ~Progress();
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;

    /// Says this instead from now on; from any thread.
    void update(std::string what);

private:
    void wait_and_say();

    std::string what_;
    std::mutex mutex_;
    std::condition_variable changed_;
    bool end_ = false;
    bool said_ = true;     // `what_` as it is now
    std::thread watcher_;  // runs only when standard error is a terminal
};

}  // namespace lobewright
