#include "tests/bench/rig_pipeline.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <charconv>
#include <cstring>
#include <sched.h>
#include <sys/resource.h>
#include <thread>
#include <vector>

#include "rig/acquisition/latched_decoder.hpp"
#include "rig/acquisition/replay_events.hpp"
#include "rig/acquisition/rig_connection.hpp"
#include "tests/bench/rig_peers.hpp"
#include "tests/cli/program.hpp"

namespace lobewright::bench {
namespace {

constexpr std::uint32_t lines_in_memory = 1'000'000;
constexpr std::size_t piece = 4096;  // what a read of a terminal gives at most
constexpr int turns = 7;

std::string many_lines(std::uint32_t count) {
    std::string text;
    for (std::uint32_t i = 1; i <= count; ++i) add_sample(text, i);
    return text;
}

/// No framing across pieces, no sequence, no clock: the least that reading these lines can cost.
std::int64_t bare(std::string_view text) {
    std::int64_t sum = 0;
    while (!text.empty()) {
        const auto* const end = static_cast<const char*>(std::memchr(text.data(), '\n', text.size()));
        const char* at = text.data() + 2;
        const char* const star = end - 5;
        unsigned said = 0;
        std::from_chars(star + 1, end, said, 16);
        if (crc16(text.data(), static_cast<std::size_t>(star - text.data())) == said) {
            for (int field = 0; field < 5; ++field) {
                std::int64_t value = 0;
                at = std::from_chars(at, star, value).ptr + 1;
                sum += value;
            }
        }
        text.remove_prefix(static_cast<std::size_t>(end + 1 - text.data()));
    }
    return sum;
}

std::int64_t decoded(std::string_view text) {
    std::int64_t sum = 0;
    LatchedDecoder decoder([&sum](const RigEvent& event) {
        if (const auto* reading = std::get_if<RigReading>(&event)) sum += reading->count;
    });
    decoder.bytes(1, hello_line(14400));
    for (std::size_t at = 0; at < text.size(); at += piece) decoder.bytes(2, text.substr(at, piece));
    return sum;
}

template <class Work>
double ns_a_line(double best_ns, Work&& work) {
    const auto start = std::chrono::steady_clock::now();
    const std::int64_t sum = work();
    const std::chrono::duration<double, std::nano> took = std::chrono::steady_clock::now() - start;
    if (sum == 0) throw std::runtime_error("nothing was read");
    return std::min(best_ns, took.count() / lines_in_memory);
}

void keep_to_core(int core) {
    cpu_set_t set;
    CPU_ZERO(&set);
    CPU_SET(static_cast<unsigned>(core), &set);
    ::sched_setaffinity(0, sizeof set, &set);
}

void send_lines(int master, std::uint32_t lines) {
    keep_to_core(1);
    answer_until(master, "start*", hello_line(14400));
    std::string text;
    for (std::uint32_t i = 1; i <= lines; ++i) {
        add_sample(text, i);
        if (text.size() < 32'768 && i < lines) continue;
        write_all(master, text);
        text.clear();
    }
    for (;;) ::pause();
}

std::int64_t bytes_of(std::uint32_t lines) {
    std::string text;
    std::int64_t bytes = 0;
    for (std::uint32_t i = 1; i <= lines; ++i, text.clear()) {
        add_sample(text, i);
        bytes += static_cast<std::int64_t>(text.size());
    }
    return bytes;
}

/// Bytes read from a terminal that is still there.
std::int64_t read_some(int port, std::vector<char>& bytes) {
    const ssize_t got = ::read(port, bytes.data(), bytes.size());
    if (got <= 0) throw std::runtime_error("the terminal is gone");
    return got;
}

double seconds(const timeval& time) {
    return static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
}

}  // namespace

DecodeCost decode_cost() {
    const std::string text = many_lines(lines_in_memory);
    DecodeCost cost{1e9, 1e9};
    for (int i = 0; i < turns; ++i) {
        cost.bare_ns = ns_a_line(cost.bare_ns, [&] { return bare(text); });
        cost.decoder_ns = ns_a_line(cost.decoder_ns, [&] { return decoded(text); });
    }
    return cost;
}

double terminal_alone(std::uint32_t lines) {
    Peer peer([lines](int master) { send_lines(master, lines); });
    keep_to_core(0);
    const int port = ::open(peer.port().c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC);
    std::int64_t left = bytes_of(lines) + static_cast<std::int64_t>(hello_line(14400).size());
    std::vector<char> bytes(65'536);
    // The hello's answer stands first, so that the clock starts with the lines.
    write_all(port, "hello*\n");
    left -= read_some(port, bytes);
    const std::int64_t begun = clock_us();
    write_all(port, "start*\n");
    while (left > 0) left -= read_some(port, bytes);
    const double wall_s = 1e-6 * static_cast<double>(clock_us() - begun);
    ::close(port);
    return lines / wall_s;
}

Pipeline pipeline(std::uint32_t lines) {
    const tests::TempFolder folder;
    Peer peer([lines](int master) { send_lines(master, lines); });
    keep_to_core(0);
    Pipeline found;
    found.lines = lines;
    std::atomic<bool> early{false}, all{false};
    std::uint32_t seen = 0;
    const auto hears = [&](const RigEvent& event) {
        if (const auto* trouble = std::get_if<RigTrouble>(&event)) found.lost += trouble->amount;
        if (!std::holds_alternative<RigReading>(event)) return;
        ++seen;
        if (seen == lines / 10) early = true;
        if (seen + found.lost >= lines) all = true;
    };
    const auto wait_for = [](const std::atomic<bool>& what) {
        while (!what) std::this_thread::sleep_for(std::chrono::milliseconds(1));
    };
    rusage before{}, after{};
    const std::string file = folder / "bench.cap";
    {
        const RigDescription rig = controller_on(peer.port());
        RigConnection connection(rig, std::make_shared<CaptureRecorder>(file, rig), hears);
        ::getrusage(RUSAGE_SELF, &before);
        const std::int64_t begun = clock_us();
        connection.send({RigOrder::Kind::start});
        wait_for(early);
        ::getrusage(RUSAGE_SELF, &after);
        found.early_kb = after.ru_maxrss;
        wait_for(all);
        found.wall_s = 1e-6 * static_cast<double>(clock_us() - begun);
        ::getrusage(RUSAGE_SELF, &after);
    }
    found.events = seen;
    found.late_kb = after.ru_maxrss;
    found.user_s = seconds(after.ru_utime) - seconds(before.ru_utime);
    found.cpu_s = found.user_s + seconds(after.ru_stime) - seconds(before.ru_stime);
    replay_events(file, [&](const RigEvent& event) {
        found.replayed += std::holds_alternative<RigReading>(event) ? 1 : 0;
    });
    return found;
}

}  // namespace lobewright::bench
