// signals.hpp: signals as something that poll() can wait for, so that a program at the bench ends in good order.
#pragma once

#include <csignal>
#include <vector>

namespace lobewright {

/// While it lives, INT, TERM, HUP, QUIT, TSTP, CONT and WINCH come here instead of acting; afterwards they act as before. One at
/// a time. Throws IoError when the system has no pipe left.
class Signals {
public:
    Signals();
    ~Signals();
    Signals(const Signals&) = delete;
    Signals& operator=(const Signals&) = delete;

    /// Readable when a signal has come.
    [[nodiscard]] int descriptor() const;
    /// Those that came since, in order.
    std::vector<int> take();

private:
    std::vector<std::pair<int, struct sigaction>> before_;
};

}  // namespace lobewright
