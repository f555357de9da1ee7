#include "cli/signals.hpp"

#include <cerrno>
#include <fcntl.h>
#include <unistd.h>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"

namespace lobewright {
namespace {

int ends[2] = {-1, -1};  // a handler can reach nothing else

void hand_on(int number) {
    const int kept = errno;
    const auto byte = static_cast<unsigned char>(number);
    static_cast<void>(::write(ends[1], &byte, 1) == 1);
    errno = kept;
}

}  // namespace

Signals::Signals() {
    if (::pipe2(ends, O_CLOEXEC | O_NONBLOCK) != 0) throw IoError(with_cause("no pipe for signals", errno));
    for (const int number : {SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGTSTP, SIGCONT, SIGWINCH}) {
        struct sigaction action {};
        struct sigaction before {};
        action.sa_handler = hand_on;
        action.sa_flags = SA_RESTART;
        sigemptyset(&action.sa_mask);
        ::sigaction(number, &action, &before);
        before_.emplace_back(number, before);
    }
}

Signals::~Signals() {
    for (const auto& [number, action] : before_) ::sigaction(number, &action, nullptr);
    ::close(ends[0]);
    ::close(ends[1]);
}

int Signals::descriptor() const {
    return ends[0];
}

std::vector<int> Signals::take() {
    std::vector<int> numbers;
    unsigned char byte = 0;
    while (::read(ends[0], &byte, 1) == 1) numbers.push_back(byte);
    return numbers;
}

}  // namespace lobewright
