// lobewright_rig_bench: what the way from a port to events costs. A forked writer fills a pseudo-terminal; this process
// reads, stamps, records, frames, checks, decodes. Speeds are by the reader's own processor time as well as by the clock,
// so that a busy machine still tells the first. Prints docs/rig-speed.md's table. Usage: lobewright_rig_bench [LINES]
#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <fcntl.h>
#include <filesystem>
#include <memory>
#include <poll.h>
#include <string>
#include <sys/resource.h>
#include <sys/wait.h>
#include <termios.h>
#include <unistd.h>
#include <vector>

#include <fmt/format.h>

#include "rig/acquisition/event_decoder.hpp"
#include "rig/capture/capture_format.hpp"
#include "rig/capture/capture_recorder.hpp"
#include "rig/framing/crc16.hpp"

namespace {

using namespace lobewright;

double wall_s() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

/// Of this thread.
double cpu_s() {
    timespec now{};
    ::clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) + static_cast<double>(now.tv_nsec) * 1e-9;
}

void append_line(std::string& out, const std::string& payload) {
    fmt::format_to(std::back_inserter(out), "{}*{:04X}\n", payload, crc16(payload.data(), payload.size()));
}

std::string some_lines(std::uint32_t first, std::uint32_t number) {
    std::string out;
    for (std::uint32_t i = first; i < first + number; ++i) {
        append_line(out, fmt::format("S,{},{},{},{},{}", i, i * 400U,
                                     static_cast<std::int32_t>(i % 1'000'000'000), i % 9000, i % 7919));
    }
    return out;
}

struct Pty {
    int master = -1, slave = -1;
    Pty() {
        master = ::posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC);
        ::grantpt(master);
        ::unlockpt(master);
        slave = ::open(::ptsname(master), O_RDWR | O_NOCTTY | O_CLOEXEC);
        termios raw{};
        ::tcgetattr(slave, &raw);
        ::cfmakeraw(&raw);
        raw.c_cc[VMIN] = 1;
        ::tcsetattr(slave, TCSANOW, &raw);
    }
};

void write_all(int file, const std::string& bytes) {
    std::size_t at = 0;
    while (at < bytes.size()) {
        const ssize_t sent = ::write(file, bytes.data() + at, bytes.size() - at);
        if (sent <= 0) std::_Exit(1);
        at += static_cast<std::size_t>(sent);
    }
}

/// The child writes `lines` numbered lines to `master`, `a_second` of them when that isn't 0.
pid_t forked_writer(int master, std::uint32_t lines, std::uint32_t a_second) {
    const pid_t child = ::fork();
    if (child != 0) return child;
    std::string hello;
    append_line(hello, "H,1,bench,14400,500,-");
    write_all(master, hello);
    const std::uint32_t block = a_second == 0 ? 4096 : std::max(1U, a_second / 50);
    const double begin = wall_s();
    for (std::uint32_t at = 0; at < lines; at += block) {
        write_all(master, some_lines(at, std::min(block, lines - at)));
        if (a_second == 0) continue;
        const double ahead = begin + static_cast<double>(at + block) / a_second - wall_s();
        if (ahead > 0.0) ::usleep(static_cast<useconds_t>(ahead * 1e6));
    }
    std::_Exit(0);
}

struct Heard {
    std::uint64_t readings = 0, lost = 0, damaged = 0;
    RigListener listener() {
        return [this](const RigEvent& event) {
            if (std::holds_alternative<RigReading>(event)) ++readings;
            if (const auto* trouble = std::get_if<RigTrouble>(&event)) {
                (trouble->kind == TroubleKind::lines_lost ? lost : damaged) += trouble->amount;
            }
        };
    }
};

/// Everything between port and event, until as many readings came as were sent.
void pipeline(std::uint32_t lines) {
    const Pty pty;
    const auto file = std::filesystem::temp_directory_path() / fmt::format("rig-bench-{}.cap", ::getpid());
    Heard heard;
    EventDecoder decoder(controller_on("bench"), heard.listener(), {});
    const pid_t writer = forked_writer(pty.master, lines, 0);
    {
        CaptureRecorder recorder(file, controller_on("bench"));
        std::vector<char> buffer(65536);
        const double wall = wall_s(), cpu = cpu_s();
        std::uint64_t bytes = 0;
        while (heard.readings + heard.lost < lines) {
            const ssize_t size = ::read(pty.slave, buffer.data(), buffer.size());
            if (size <= 0) break;
            const std::int64_t host_us = steady_now_us();
            const std::string_view got(buffer.data(), static_cast<std::size_t>(size));
            recorder.record(host_us, "controller", got);
            decoder.bytes(host_us, "controller", got);
            bytes += got.size();
        }
        const double took = wall_s() - wall, cost = cpu_s() - cpu;
        rusage use{};
        ::getrusage(RUSAGE_SELF, &use);
        fmt::print(
            "pty to events, recorded: {} lines, {} lost, {} damaged; {:.2f} M lines/s by the clock, {:.2f} M "
            "lines "
            "for each second of the reader's core; {:.0f} MB/s; {} MB at most in memory\n",
            heard.readings, heard.lost, heard.damaged, lines / took / 1e6, lines / cost / 1e6,
            static_cast<double>(bytes) / took / 1e6, use.ru_maxrss / 1024);
    }
    std::filesystem::remove(file);
    ::waitpid(writer, nullptr, 0);
}

/// The least that could be done with a line: find its end, sum it up, convert its fields.
std::uint64_t bare_loop(const std::string& bytes) {
    std::uint64_t sum = 0;
    const char* at = bytes.data();
    const char* const end = at + bytes.size();
    while (const void* found = std::memchr(at, '\n', static_cast<std::size_t>(end - at))) {
        const char* const line_end = static_cast<const char*>(found);
        const char* const star = line_end - 5;
        unsigned said = 0;
        std::from_chars(star + 1, line_end, said, 16);
        if (crc16(at, static_cast<std::size_t>(star - at)) == said) {
            const char* field = at + 2;
            for (int i = 0; i < 5; ++i) {
                std::int64_t value = 0;
                field = std::from_chars(field, star, value).ptr + 1;
                sum += static_cast<std::uint64_t>(value);
            }
        }
        at = line_end + 1;
        if (at == end) break;
    }
    return sum;
}

void decode_ratio() {
    constexpr std::uint32_t lines = 200'000;
    std::string hello;
    append_line(hello, "H,1,bench,14400,500,-");
    const std::string bytes = some_lines(0, lines);
    double bare = 1e9, full = 1e9;
    std::uint64_t sum = 0;
    for (int pass = 0; pass < 15; ++pass) {
        double begin = cpu_s();
        sum += bare_loop(bytes);
        bare = std::min(bare, cpu_s() - begin);
        Heard heard;
        EventDecoder decoder(controller_on("bench"), heard.listener(), {});
        decoder.bytes(0, "controller", hello);
        begin = cpu_s();
        for (std::size_t at = 0; at < bytes.size(); at += 4096)
            decoder.bytes(0, "controller", std::string_view(bytes).substr(at, 4096));
        full = std::min(full, cpu_s() - begin);
        if (heard.readings != lines) std::abort();
    }
    fmt::print(
        "decoding to events: {:.0f} ns a line; bare scan, check sum and conversion: {:.0f} ns; ratio {:.2f} "
        "(sum {})\n",
        full / lines * 1e9, bare / lines * 1e9, full / bare, sum % 10);
}

/// Three ports, each with as many lines as 921600 baud carries.
void three_ports() {
    constexpr std::uint32_t a_second = 2304;
    constexpr std::uint32_t seconds = 10;
    std::array<Pty, 3> ptys;
    std::array<Heard, 3> heard;
    std::vector<pid_t> writers;
    std::vector<std::unique_ptr<EventDecoder>> decoders;
    for (std::size_t i = 0; i < ptys.size(); ++i) {
        writers.push_back(forked_writer(ptys[i].master, a_second * seconds, a_second));
        decoders.push_back(
            std::make_unique<EventDecoder>(controller_on("bench"), heard[i].listener(), NoteListener{}));
    }
    const auto file = std::filesystem::temp_directory_path() / fmt::format("rig-bench-{}.cap", ::getpid());
    CaptureRecorder recorder(file, controller_on("bench"));
    std::array<char, 65536> buffer{};
    const double wall = wall_s(), cpu = cpu_s();
    const auto all_in = [&heard] {
        return std::all_of(heard.begin(), heard.end(),
                           [](const Heard& h) { return h.readings >= a_second * seconds; });
    };
    while (!all_in()) {
        std::array<pollfd, 3> ready{};
        for (std::size_t i = 0; i < ptys.size(); ++i) ready[i] = {ptys[i].slave, POLLIN, 0};
        if (::poll(ready.data(), ready.size(), 1000) <= 0) break;
        for (std::size_t i = 0; i < ptys.size(); ++i) {
            if ((ready[i].revents & POLLIN) == 0) continue;
            const ssize_t size = ::read(ptys[i].slave, buffer.data(), buffer.size());
            const std::string_view got(buffer.data(), static_cast<std::size_t>(std::max<ssize_t>(0, size)));
            recorder.record(steady_now_us(), "controller", got);
            decoders[i]->bytes(steady_now_us(), "controller", got);
        }
    }
    fmt::print("three ports at {} lines a second: {:.2f} % of one core\n", a_second,
               (cpu_s() - cpu) / (wall_s() - wall) * 100.0);
    for (const pid_t writer : writers) ::waitpid(writer, nullptr, 0);
    std::filesystem::remove(file);
}

}  // namespace

int main(int argc, char** argv) {
    const auto lines =
        static_cast<std::uint32_t>(argc > 1 ? std::strtoul(argv[1], nullptr, 10) : 10'000'000UL);
    decode_ratio();
    three_ports();
    pipeline(lines);
}
