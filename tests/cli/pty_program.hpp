// pty_program.hpp: the real program on a terminal of its own: what it shows, keys pressed, signals sent. A test waits for
// what it wants to see; the time limit only ends a test that has failed.
#pragma once

#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <fcntl.h>
#include <functional>
#include <poll.h>
#include <stdexcept>
#include <string>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <termios.h>
#include <thread>
#include <unistd.h>
#include <vector>

#include <catch2/catch.hpp>

namespace lobewright::tests {

/// Waits until `holds`, half a minute at most; false when it never did.
inline bool comes_true(const std::function<bool()>& holds) {
    const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(30);
    while (!holds()) {
        if (std::chrono::steady_clock::now() > until) return false;
        std::this_thread::sleep_for(
            std::chrono::milliseconds(2));  // a look every so often, not a wait for time to pass
    }
    return true;
}

class PtyProgram {
public:
    explicit PtyProgram(const std::vector<std::string>& arguments, const std::string& term = "xterm",
                        const std::string& lang = "C.UTF-8", unsigned short columns = 80,
                        unsigned short lines = 24) {
        master_ = ::posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC);
        if (master_ < 0 || ::grantpt(master_) != 0 || ::unlockpt(master_) != 0)
            throw std::runtime_error("no pseudo-terminal");
        const std::string name = ::ptsname(master_);
        slave_ = ::open(name.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC);
        const winsize size{lines, columns, 0, 0};
        ::ioctl(slave_, TIOCSWINSZ, &size);
        ::tcgetattr(slave_, &before_);
        std::vector<char*> argv{const_cast<char*>(LOBEWRIGHT_PROGRAM)};
        for (const std::string& argument : arguments) argv.push_back(const_cast<char*>(argument.c_str()));
        argv.push_back(nullptr);
        child_ = ::fork();
        if (child_ == 0) {
            ::setsid();
            const int terminal = ::open(name.c_str(), O_RDWR);
            ::ioctl(terminal, TIOCSCTTY, 0);
            ::dup2(terminal, STDIN_FILENO);
            ::dup2(terminal, STDOUT_FILENO);
            ::dup2(terminal, STDERR_FILENO);
            ::setenv("TERM", term.c_str(), 1);
            ::setenv("LC_ALL", lang.c_str(), 1);
            ::execv(LOBEWRIGHT_PROGRAM, argv.data());
            ::_exit(127);
        }
        if (child_ < 0) throw std::runtime_error("the program didn't run");
    }
    ~PtyProgram() {
        if (child_ > 0) {
            ::kill(child_, SIGKILL);
            ::waitpid(child_, nullptr, 0);
        }
        if (master_ >= 0) ::close(master_);
        if (slave_ >= 0) ::close(slave_);
    }
    PtyProgram(const PtyProgram&) = delete;
    PtyProgram& operator=(const PtyProgram&) = delete;

    /// All that it has shown so far.
    const std::string& shown() {
        char bytes[4096];
        pollfd waits{master_, POLLIN, 0};
        while (master_ >= 0 && ::poll(&waits, 1, 0) > 0) {
            const ssize_t got = ::read(master_, bytes, sizeof bytes);
            if (got <= 0) break;
            shown_.append(bytes, static_cast<std::size_t>(got));
        }
        return shown_;
    }
    /// Whether it shows this, from where the last such wait ended.
    bool shows(const std::string& words) {
        const bool seen = comes_true([&] { return shown().find(words, from_) != std::string::npos; });
        if (seen) from_ = shown_.find(words, from_) + words.size();
        if (!seen) UNSCOPED_INFO("shown since: " << shown_.substr(from_));
        return seen;
    }
    void press(const std::string& keys) { static_cast<void>(::write(master_, keys.data(), keys.size())); }
    [[nodiscard]] pid_t process() const { return child_; }
    /// The terminal's other end.
    [[nodiscard]] int terminal() const { return master_; }
    void signal(int number) const { ::kill(child_, number); }
    /// The terminal goes away.
    void hang_up() {
        ::close(slave_);
        ::close(master_);
        master_ = slave_ = -1;
    }
    /// Exit status, or minus the signal that ended it; -1000 when it runs on.
    int ends() {
        int status = 0;
        const bool ended = comes_true([&] {
            if (master_ >= 0) shown();
            return ::waitpid(child_, &status, WNOHANG) == child_;
        });
        if (!ended) return -1000;
        child_ = -1;
        return WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status);
    }
    [[nodiscard]] bool terminal_is_as_before() const {
        termios now{};
        ::tcgetattr(slave_, &now);
        return now.c_lflag == before_.c_lflag && now.c_iflag == before_.c_iflag &&
               now.c_oflag == before_.c_oflag;
    }

private:
    int master_ = -1, slave_ = -1;
    pid_t child_ = -1;
    termios before_{};
    std::string shown_;
    std::size_t from_ = 0;
};

}  // namespace lobewright::tests
