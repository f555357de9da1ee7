#include "tests/bench/rig_screen.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <map>
#include <memory>
#include <sstream>
#include <sys/mman.h>
#include <vector>

#include <fmt/format.h>

#include "cli/big_figures.hpp"
#include "cli/present_sweep.hpp"
#include "tests/bench/rig_peers.hpp"
#include "tests/cli/program.hpp"
#include "tests/cli/pty_program.hpp"
#include "tests/cli/pty_rig.hpp"

namespace lobewright::bench {
namespace {

using tests::PtyProgram;
using tests::TempFolder;

void sleep_until(std::int64_t us) {
    const timespec at{us / 1'000'000, us % 1'000'000 * 1000};
    while (::clock_nanosleep(CLOCK_MONOTONIC, TIMER_ABSTIME, &at, nullptr) != 0) {
    }
}

std::vector<std::string> sweep_words(const std::string& run, const char* option, const std::string& rig) {
    std::vector<std::string> words{"sweep", run, option, rig};
    const auto fresh = tests::new_run_words();
    words.insert(words.end(), fresh.begin(), fresh.end());
    return words;
}

void want(PtyProgram& program, const std::string& what) {
    if (!program.shows(what)) throw std::runtime_error("never shown: " + what + "\nbut: " + program.shown());
}

struct Use {
    double cpu_s = 0.0;
    long kb = 0;
};

/// What the process has used so far, of /proc.
Use use_of(pid_t process) {
    Use use;
    std::string stat = tests::text_of(fmt::format("/proc/{}/stat", process));
    std::istringstream fields(stat.substr(stat.rfind(')') + 2));
    std::string skipped;
    for (int i = 0; i < 11; ++i) fields >> skipped;
    double user = 0.0, system = 0.0;
    fields >> user >> system;
    use.cpu_s = (user + system) / static_cast<double>(::sysconf(_SC_CLK_TCK));
    std::istringstream pages(tests::text_of(fmt::format("/proc/{}/statm", process)));
    long size = 0, resident = 0;
    pages >> size >> resident;
    use.kb = resident * (::sysconf(_SC_PAGESIZE) / 1024);
    return use;
}

// Three ports.

constexpr std::int64_t counts_per_rev = 72'000;
constexpr double full_line_per_s = 921'600.0 / 10.0;  // bytes: a start bit, eight, a stop bit
constexpr std::int64_t piece_us = 5'000;

enum class Device { counter, front, rear };

/// Line after line, without end, at the pace of a full line; the cam turns at 5 deg/s from the first moment on.
void send_readings(int master, Device device) {
    const std::int64_t begun = clock_us();
    double sent = 0.0;
    std::string text;
    std::int64_t marks = 0;
    for (std::int64_t now = begun;; sleep_until(now += piece_us)) {
        const double turned_deg = 5e-6 * static_cast<double>(now - begun);
        const auto count = static_cast<std::int64_t>(turned_deg / 360.0 * counts_per_rev);
        const double mm = 6.0 + 3.0 * std::cos(turned_deg * 3.14159265358979323846 / 180.0);
        text.clear();
        while (sent + static_cast<double>(text.size()) <
               1e-6 * full_line_per_s * static_cast<double>(now - begun)) {
            if (device != Device::counter) {
                fmt::format_to(std::back_inserter(text), "{:+09.4f}\r\n",
                               device == Device::front ? mm : mm + 0.01);
            } else if (count / counts_per_rev >= marks) {
                fmt::format_to(std::back_inserter(text), "Z {:+08d}\r\n", counts_per_rev * marks++);
            } else {
                fmt::format_to(std::back_inserter(text), "C {:+08d}\r\n", count);
            }
        }
        sent += static_cast<double>(text.size());
        write_all(master, text);
    }
}

std::string rig_toml(const std::string& counter, const std::string& front, const std::string& rear) {
    return fmt::format(
        "format = \"lobewright-rig/1\"\n[counter]\nport = \"{}\"\nbaud = 921600\npattern = 'C "
        "([+-]\\d+)'\nindex_pattern = 'Z ([+-]\\d+)'\n"
        "counts_per_rev = {}\n[front]\nport = \"{}\"\nbaud = 921600\npattern = '([+-]\\d+\\.\\d+)'\nunit = "
        "\"mm\"\n"
        "[rear]\nport = \"{}\"\nbaud = 921600\npattern = '([+-]\\d+\\.\\d+)'\nunit = \"mm\"\n",
        counter, counts_per_rev, front, rear);
}

/// Reads the terminal for so long, as a terminal does.
void watch(PtyProgram& program, double seconds) {
    const std::int64_t end = clock_us() + static_cast<std::int64_t>(1e6 * seconds);
    while (clock_us() < end) {
        program.shown();
        sleep_until(clock_us() + 10'000);
    }
}

// The delay.

constexpr std::int64_t sample_us = 1000;

/// Sample `i` shows i thousandths of a millimetre at the front.
void send_samples(int master, std::size_t samples, std::int64_t* sent_us) {
    answer_until(master, "start*", hello_line(counts_per_rev));
    std::string text;
    // The index mark, so that angles are true.
    text = "X,1,1000,0";
    close_line(text, 0);
    write_all(master, text);
    std::int64_t next = clock_us();
    for (std::size_t i = 1; i <= samples; ++i) {
        sleep_until(next += sample_us);
        text.clear();
        const auto steps = static_cast<std::int64_t>(2 * i);
        add_sample(text, static_cast<std::uint32_t>(i + 1), static_cast<std::uint32_t>(1000 * (i + 1)),
                   static_cast<std::int64_t>(i), steps, steps + 20);
        sent_us[i] = clock_us();
        write_all(master, text);
    }
    for (;;) ::pause();
}

/// A terminal's rows, as far as the bench's screen needs one: rows set by number, or all cleared.
class Rows {
public:
    void take(std::string_view bytes) {
        text_ += bytes;
        for (;;) {
            const std::size_t begin = text_.find("\x1b[");
            if (begin == std::string::npos) return;
            std::size_t at = begin + 2;
            while (at < text_.size() && (text_[at] < '@' || text_[at] > '~')) ++at;
            if (at >= text_.size()) return;
            if (text_[at] != 'H') {
                text_.erase(0, at + 1);
                continue;
            }
            const std::size_t end = text_.find("\x1b[K", at);
            if (end == std::string::npos) return;
            rows_[std::atoi(text_.c_str() + begin + 2)] = text_.substr(at + 1, end - at - 1);
            text_.erase(0, end + 3);
        }
    }
    /// Whether these lines begin some rows one below the other.
    [[nodiscard]] bool show(const std::array<std::string, big_lines>& figure) const {
        for (const auto& [number, row] : rows_) {
            bool all = true;
            for (std::size_t i = 0; all && i < big_lines; ++i) {
                const auto at = rows_.find(number + static_cast<int>(i));
                all = at != rows_.end() && at->second.compare(0, figure[i].size() + 2, "  " + figure[i]) == 0;
            }
            if (all) return true;
        }
        return false;
    }

private:
    std::string text_;
    std::map<int, std::string> rows_;
};

std::array<std::string, big_lines> shown_as(std::size_t sample) {
    const auto text = [](std::size_t i) { return reading_text(1e-3 * static_cast<double>(i), Units::mm); };
    const bool wide = std::max(big_width(text(sample), true), big_width(text(sample + 10), true)) + 2 <= 40;
    return big_figures(text(sample), wide, true);
}

}  // namespace

ThreePorts three_ports(double seconds) {
    const TempFolder folder;
    Peer counter([](int master) { send_readings(master, Device::counter); });
    Peer front([](int master) { send_readings(master, Device::front); });
    Peer rear([](int master) { send_readings(master, Device::rear); });
    const std::string toml = folder / "rig.toml";
    std::ofstream(toml) << rig_toml(counter.port(), front.port(), rear.port());
    PtyProgram program(sweep_words(folder / "run", "--rig", toml));
    want(program, "Enter when set");
    ThreePorts found;
    found.seconds = seconds;
    const auto share = [&](double& into) {
        const Use before = use_of(program.process());
        const std::int64_t since = clock_us();
        watch(program, seconds);
        const Use after = use_of(program.process());
        into = (after.cpu_s - before.cpu_s) / (1e-6 * static_cast<double>(clock_us() - since));
        return std::pair(before.kb, after.kb);
    };
    watch(program, 2.0);
    std::tie(found.waiting_early_kb, found.waiting_late_kb) = share(found.share_waiting);
    program.press("\n");
    want(program, "missing:");
    found.sweeping_kb = share(found.share_sweeping).second;
    program.press("q");
    program.ends();
    return found;
}

ScreenDelay screen_delay(std::size_t samples) {
    const TempFolder folder;
    const std::size_t size = (samples + 1) * sizeof(std::int64_t);
    auto* const sent_us = static_cast<std::int64_t*>(
        ::mmap(nullptr, size, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0));
    Peer peer([&](int master) { send_samples(master, samples, sent_us); });
    PtyProgram program(sweep_words(folder / "run", "--port", peer.port()));
    want(program, "Enter when set");
    program.press("\n");
    want(program, "missing:");
    Rows rows;
    std::vector<double> delays_ms;
    std::size_t read = 0, shown = 0;
    while (shown < samples) {
        pollfd waits{program.terminal(), POLLIN, 0};
        if (::poll(&waits, 1, 2000) <= 0) break;
        const std::string& all = program.shown();
        const std::int64_t now = clock_us();
        rows.take(std::string_view(all).substr(read));
        read = all.size();
        std::size_t newest = shown;
        while (newest < samples && sent_us[newest + 1] != 0) ++newest;
        while (newest > shown && !rows.show(shown_as(newest))) --newest;
        // What had been sent before the screen was looked at first has no known delay.
        for (std::size_t i = shown + 1; i <= newest && shown > 0; ++i)
            delays_ms.push_back(1e-3 * static_cast<double>(now - sent_us[i]));
        shown = newest;
    }
    ::munmap(sent_us, size);
    program.press("q");
    program.ends();
    std::sort(delays_ms.begin(), delays_ms.end());
    ScreenDelay found;
    found.samples = delays_ms.size();
    if (delays_ms.empty()) return found;
    const auto part = [&](double share) {
        return delays_ms[static_cast<std::size_t>(share * static_cast<double>(delays_ms.size() - 1))];
    };
    found.median_ms = part(0.5);
    found.p99_ms = part(0.99);
    found.worst_ms = delays_ms.back();
    found.within_50_ms =
        static_cast<double>(std::lower_bound(delays_ms.begin(), delays_ms.end(), 50.0) - delays_ms.begin()) /
        static_cast<double>(delays_ms.size());
    return found;
}

}  // namespace lobewright::bench
