// pty_controller.hpp: a controller on a real pseudo-terminal, in the test's own program: answers hello, notes what it is told,
// sends what the test has it send, and can be unplugged and plugged in again behind the same name.
#pragma once

#include <atomic>
#include <condition_variable>
#include <cstdlib>
#include <fcntl.h>
#include <mutex>
#include <poll.h>
#include <string>
#include <termios.h>
#include <thread>
#include <unistd.h>
#include <vector>

#include "tests/cli/program.hpp"
#include "tests/rig/rig_lines.hpp"

namespace lobewright::tests {

class PtyController {
public:
    /// `link`: the name that it is plugged in under. `greeting`: what it says to hello.
    explicit PtyController(std::string link, std::string greeting = hello_line())
        : link_(std::move(link)), greeting_(std::move(greeting)) {
        plug();
    }
    ~PtyController() { unplug(); }
    PtyController(const PtyController&) = delete;
    PtyController& operator=(const PtyController&) = delete;

    void plug() {
        master_ = ::posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC);
        if (master_ < 0 || ::grantpt(master_) != 0 || ::unlockpt(master_) != 0)
            throw std::runtime_error("no pty");
        const std::string name = ::ptsname(master_);
        // Held open and raw, so that nothing is echoed and reading doesn't fail before anybody has opened it.
        slave_ = ::open(name.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC);
        termios raw{};
        ::tcgetattr(slave_, &raw);
        ::cfmakeraw(&raw);
        ::tcsetattr(slave_, TCSANOW, &raw);
        ::unlink(link_.c_str());
        std::filesystem::create_symlink(name, link_);
        ending_ = false;
        thread_ = std::thread([this] { listen(); });
    }
    void unplug() {
        if (master_ < 0) return;
        ending_ = true;
        thread_.join();
        ::close(slave_);
        ::close(master_);
        ::unlink(link_.c_str());
        master_ = -1;
    }
    void send(std::string_view bytes) const {
        while (!bytes.empty()) {
            const ssize_t sent = ::write(master_, bytes.data(), bytes.size());
            if (sent <= 0) throw std::runtime_error("the pty takes no more");
            bytes.remove_prefix(static_cast<std::size_t>(sent));
        }
    }
    /// Waits until it has been told this payload `times` times; false after 10 s.
    bool was_told(const std::string& payload, int times = 1) {
        std::unique_lock<std::mutex> lock(mutex_);
        return wake_.wait_for(lock, std::chrono::seconds(10), [&] {
            return std::count(told_.begin(), told_.end(), rig_text(payload)) >= times;
        });
    }

private:
    void listen() {
        std::string text;
        while (!ending_) {
            pollfd ready{master_, POLLIN, 0};
            if (::poll(&ready, 1, 10) <= 0) continue;
            char buffer[512];
            const ssize_t size = ::read(master_, buffer, sizeof buffer);
            if (size <= 0) continue;
            text.append(buffer, static_cast<std::size_t>(size));
            for (std::size_t end = text.find('\n'); end != std::string::npos; end = text.find('\n')) {
                const std::string line = text.substr(0, end);
                text.erase(0, end + 1);
                if (line == rig_text("hello")) send(greeting_);
                const std::lock_guard<std::mutex> lock(mutex_);
                told_.push_back(line);
                wake_.notify_all();
            }
        }
    }

    std::string link_, greeting_;
    int master_ = -1, slave_ = -1;
    std::thread thread_;
    std::atomic<bool> ending_{false};
    std::mutex mutex_;
    std::condition_variable wake_;
    std::vector<std::string> told_;
};

/// Events that come on another thread, to wait for.
class LiveEvents {
public:
    RigListener listener() {
        return [this](const RigEvent& event) {
            const std::lock_guard<std::mutex> lock(mutex_);
            list_.events.push_back(event);
            wake_.notify_all();
        };
    }
    /// Waits until `enough` says so of what has come; false after 10 s.
    template <class Enough>
    bool wait(Enough enough) {
        std::unique_lock<std::mutex> lock(mutex_);
        return wake_.wait_for(lock, std::chrono::seconds(10), [&] { return enough(list_); });
    }
    EventList list() {
        const std::lock_guard<std::mutex> lock(mutex_);
        return list_;
    }

private:
    std::mutex mutex_;
    std::condition_variable wake_;
    EventList list_;
};

}  // namespace lobewright::tests
