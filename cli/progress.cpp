#include "cli/progress.hpp"

#include <chrono>
#include <cstdio>
#include <unistd.h>

namespace lobewright {
namespace {

// Long enough that an ordinary cam never shows it, short enough that nobody wonders.
constexpr std::chrono::seconds patience{1};

}  // namespace

Progress::Progress(std::string what) : what_(std::move(what)) {
    if (::isatty(STDERR_FILENO) == 1) watcher_ = std::thread(&Progress::wait_and_say, this);
}

Progress::~Progress() {
    if (!watcher_.joinable()) return;
    {
        const std::lock_guard lock(mutex_);
        end_ = true;
    }
    ended_.notify_one();
    watcher_.join();
}

void Progress::wait_and_say() {
    std::unique_lock lock(mutex_);
    if (ended_.wait_for(lock, patience, [this] { return end_; })) return;
    std::fprintf(stderr, "%s ...", what_.c_str());
    std::fflush(stderr);
    ended_.wait(lock, [this] { return end_; });
    std::fputs("\r\x1b[K", stderr);  // back to the line's start and wipe it
    std::fflush(stderr);
}

}  // namespace lobewright
