// rig_peers.hpp: what stands at the other end of a pseudo-terminal while speed is measured: a process of its own, so that
// the time it takes isn't ours, and the lines that it sends.
#pragma once

#include <charconv>
#include <chrono>
#include <csignal>
#include <cstdint>
#include <cstdlib>
#include <fcntl.h>
#include <functional>
#include <poll.h>
#include <stdexcept>
#include <string>
#include <string_view>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <termios.h>
#include <unistd.h>

#include "rig/framing/crc16.hpp"

namespace lobewright::bench {

inline std::int64_t clock_us() {
    return std::chrono::duration_cast<std::chrono::microseconds>(
               std::chrono::steady_clock::now().time_since_epoch())
        .count();
}

/// A process that has the master's end of a pseudo-terminal; ended with the object.
class Peer {
public:
    /// `acts(master)` runs in the new process, which ends when it returns. No thread may run yet.
    explicit Peer(const std::function<void(int master)>& acts) {
        const int master = ::posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC);
        if (master < 0 || ::grantpt(master) != 0 || ::unlockpt(master) != 0)
            throw std::runtime_error("no pseudo-terminal");
        port_ = ::ptsname(master);
        slave_ = ::open(port_.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC);  // keeps what was sent alive
        termios raw{};
        ::tcgetattr(slave_, &raw);
        ::cfmakeraw(&raw);
        ::tcsetattr(slave_, TCSANOW, &raw);
        child_ = ::fork();
        if (child_ < 0) throw std::runtime_error("no process");
        if (child_ == 0) {
            ::prctl(PR_SET_PDEATHSIG, SIGKILL);
            acts(master);
            ::_exit(0);
        }
        ::close(master);
    }
    ~Peer() {
        ::kill(child_, SIGKILL);
        ::waitpid(child_, nullptr, 0);
        ::close(slave_);
    }
    Peer(const Peer&) = delete;
    Peer& operator=(const Peer&) = delete;

    [[nodiscard]] const std::string& port() const { return port_; }

private:
    std::string port_;
    int slave_ = -1;
    pid_t child_ = -1;
};

inline void write_all(int to, std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t put = ::write(to, bytes.data(), bytes.size());
        if (put <= 0) ::_exit(1);
        bytes.remove_prefix(static_cast<std::size_t>(put));
    }
}

/// Waits, in the peer, until an order holds `word`; answers each `hello` on the way.
inline void answer_until(int master, const std::string& word, const std::string& hello) {
    std::string heard;
    char bytes[256];
    while (heard.find(word) == std::string::npos) {
        const ssize_t got = ::read(master, bytes, sizeof bytes);
        if (got <= 0) ::_exit(1);
        heard.append(bytes, static_cast<std::size_t>(got));
        for (std::size_t at = heard.find("hello*"); at != std::string::npos; at = heard.find("hello*")) {
            heard.erase(0, at + 6);
            write_all(master, hello);
        }
    }
}

inline void close_line(std::string& text, std::size_t begin) {
    static constexpr char hex[] = "0123456789ABCDEF";
    const unsigned crc = crc16(text.data() + begin, text.size() - begin);
    text += '*';
    for (unsigned shift = 12; shift <= 12; shift -= 4) text += hex[crc >> shift & 15U];
    text += '\n';
}

inline std::string hello_line(std::int64_t counts_per_rev) {
    std::string line = "H,1,bench," + std::to_string(counts_per_rev) + ",500,-";
    close_line(line, 0);
    return line;
}

/// Appends the controller's line for a sample.
inline void add_sample(std::string& text, std::uint32_t seq, std::uint32_t t_us, std::int64_t count,
                       std::int64_t front, std::int64_t rear) {
    const std::size_t begin = text.size();
    char digits[24];
    const auto field = [&](std::int64_t value) {
        text += ',';
        text.append(digits, std::to_chars(digits, digits + sizeof digits, value).ptr);
    };
    text += 'S';
    for (const std::int64_t value : {std::int64_t{seq}, std::int64_t{t_us}, count, front, rear}) field(value);
    close_line(text, begin);
}

/// The `i`-th of the lines that speed is measured with: 1 kHz, 4 counts each, a lobe's size of readings.
inline void add_sample(std::string& text, std::uint32_t i) {
    const std::int64_t reading = 12'000 + static_cast<std::int64_t>(i * 7919U % 8000U);
    add_sample(text, i, i * 1000U, std::int64_t{4} * i % 2'000'000'000, reading, reading - 13);
}

}  // namespace lobewright::bench
