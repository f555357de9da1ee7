#include "rig/session/session_queue.hpp"

#include <cerrno>
#include <fcntl.h>
#include <unistd.h>
#include <utility>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"

namespace lobewright {

SessionQueue::SessionQueue() {
    if (::pipe2(ends_, O_CLOEXEC | O_NONBLOCK) != 0)
        throw IoError(with_cause("no pipe to the rig's thread", errno));
}

SessionQueue::~SessionQueue() {
    ::close(ends_[0]);
    ::close(ends_[1]);
}

void SessionQueue::push(SessionItem item) {
    const std::lock_guard lock(mutex_);
    const bool wake = waiting_.empty();
    waiting_.push_back(std::move(item));
    const char byte = 0;
    // A full pipe is as good a wake as one byte more.
    if (wake) static_cast<void>(::write(ends_[1], &byte, 1) == 1);
}

std::vector<SessionItem> SessionQueue::take() {
    const std::lock_guard lock(mutex_);
    char bytes[64];
    while (::read(ends_[0], bytes, sizeof bytes) > 0) {
    }
    return std::exchange(waiting_, {});
}

}  // namespace lobewright
