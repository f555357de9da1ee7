#include "cli/progress.hpp"

#include <chrono>
#include <cstdio>
#include <unistd.h>

#include "cli/output.hpp"

namespace lobewright {
namespace {

// Long enough that an ordinary cam never shows it, short enough that nobody wonders.
constexpr std::chrono::seconds patience{1};
constexpr auto wipe = "\r\x1b[K";  // back to the line's start and clear it

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
    changed_.notify_one();
    watcher_.join();
}

void Progress::update(std::string what) {
    const std::lock_guard lock(mutex_);
    what_ = std::move(what);
    said_ = false;
    changed_.notify_one();
}

void Progress::wait_and_say() {
    std::unique_lock lock(mutex_);
    if (changed_.wait_for(lock, patience, [this] { return end_; })) return;
    while (!end_) {
        std::fprintf(stderr, "%s%s ...", wipe, one_line(what_).c_str());
        std::fflush(stderr);
        said_ = true;
        changed_.wait(lock, [this] { return end_ || !said_; });
    }
    std::fputs(wipe, stderr);
    std::fflush(stderr);
}

}  // namespace lobewright
