// session_queue.hpp: from the rig's thread to the one that draws: never waits for it, and wakes it through a descriptor
// that poll() can watch together with the keyboard.
#pragma once

#include <mutex>
#include <vector>

#include "rig/session/sweep_session.hpp"

namespace lobewright {

class SessionQueue {
public:
    /// Throws IoError when the system has no pipe left.
    SessionQueue();
    ~SessionQueue();
    SessionQueue(const SessionQueue&) = delete;
    SessionQueue& operator=(const SessionQueue&) = delete;

    /// From any thread.
    void push(SessionItem item);
    /// All that came since, in order.
    std::vector<SessionItem> take();
    /// Readable while something waits.
    [[nodiscard]] int descriptor() const { return ends_[0]; }

private:
    std::mutex mutex_;
    std::vector<SessionItem> waiting_;
    int ends_[2] = {-1, -1};
};

}  // namespace lobewright
