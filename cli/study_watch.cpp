#include "cli/study_watch.hpp"

#include <cerrno>
#include <cmath>
#include <csignal>
#include <cstdio>
#include <fcntl.h>
#include <poll.h>
#include <unistd.h>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"

namespace lobewright {
namespace {

constexpr int terminal_ms = 250;
constexpr int elsewhere_ms = 60000;
constexpr std::size_t bar_width = 20;
constexpr auto clear_line = "\r\x1b[K";
constexpr int ended_at_once = 130;  // as a shell has it for a program that Ctrl-C ended

std::string said_of(std::size_t done, std::size_t runs, std::size_t failed) {
    return fmt::format("{} of {} runs{}", done, runs,
                       failed > 0 ? fmt::format(", {} not judged", failed) : "");
}

}  // namespace

std::string say_seconds(double seconds) {
    const auto whole = static_cast<long>(std::ceil(seconds));
    if (whole >= 3600) return fmt::format("{} h {} min", whole / 3600, whole % 3600 / 60);
    if (whole >= 60) return fmt::format("{} min {} s", whole / 60, whole % 60);
    return fmt::format("{} s", whole);
}

std::string study_bar(std::size_t done, std::size_t runs, std::size_t failed, double seconds_so_far) {
    const std::size_t full = runs == 0 ? bar_width : bar_width * done / runs;
    std::string out =
        fmt::format("[{}{}] {:3} %  {}", std::string(full, '#'), std::string(bar_width - full, '.'),
                    runs == 0 ? 100 : 100 * done / runs, said_of(done, runs, failed));
    if (done > 0 && done < runs) {
        const double each = seconds_so_far / static_cast<double>(done);
        out += fmt::format(", {} left", say_seconds(each * static_cast<double>(runs - done)));
    }
    return out;
}

StudyWatch::StudyWatch(std::size_t runs)
    : runs_(runs), terminal_(::isatty(STDERR_FILENO) == 1), begun_(std::chrono::steady_clock::now()) {
    if (::pipe2(end_, O_CLOEXEC) != 0) throw IoError(with_cause("no pipe for the study's watch", errno));
    thread_ = std::thread(&StudyWatch::watch, this);
}

StudyWatch::~StudyWatch() {
    static_cast<void>(::write(end_[1], "", 1) == 1);
    thread_.join();
    ::close(end_[0]);
    ::close(end_[1]);
}

void StudyWatch::count(bool failed) {
    if (failed) ++failed_;
    ++done_;
}

std::string StudyWatch::said() const {
    return said_of(done_, runs_, failed_);
}

void StudyWatch::watch() {
    for (;;) {
        pollfd watched[2] = {{end_[0], POLLIN, 0}, {signals_.descriptor(), POLLIN, 0}};
        const int ready = ::poll(watched, 2, terminal_ ? terminal_ms : elsewhere_ms);
        if (watched[0].revents != 0) break;
        take_signals();
        if (ready == 0) show();
    }
    if (terminal_) std::fputs(clear_line, stderr);
}

void StudyWatch::take_signals() {
    for (const int number : signals_.take()) {
        if (number == SIGTSTP) static_cast<void>(std::raise(SIGSTOP));
        if (number == SIGTSTP || number == SIGCONT || number == SIGWINCH) continue;
        if (stop_) ::_exit(ended_at_once);  // every line that was begun is a single write
        stop_ = true;
        fmt::print(stderr, "{}ending after the runs in hand; once more ends at once\n",
                   terminal_ ? clear_line : "");
    }
}

void StudyWatch::show() {
    const double so_far = std::chrono::duration<double>(std::chrono::steady_clock::now() - begun_).count();
    const std::string bar = study_bar(done_, runs_, failed_, so_far);
    fmt::print(stderr, "{}{}{}", terminal_ ? clear_line : "", bar, terminal_ ? "" : "\n");
    std::fflush(stderr);
}

}  // namespace lobewright
