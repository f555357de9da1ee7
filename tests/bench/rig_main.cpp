// Makes docs/rig-speed.md: lobewright_rig_bench > docs/rig-speed.md. Run by hand, on a machine with nothing else to do:
// what is measured is reported, never asserted.
//   lobewright_rig_bench [decode|pipeline|ports|screen] [AMOUNT]
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <string>
#include <sys/resource.h>
#include <thread>

#include <fmt/format.h>

#include "tests/bench/rig_pipeline.hpp"
#include "tests/bench/rig_screen.hpp"

namespace {

using namespace lobewright::bench;

void print(const std::string& text) {
    std::fputs(text.c_str(), stdout);
    std::fflush(stdout);
}

/// What the page says before its table: how each figure was taken, and how busy the machine was with other things.
void tell_how() {
    double load[1] = {0.0};
    ::getloadavg(load, 1);
    print(fmt::format(
        "# What the rig side costs\n\n"
        "Made by `lobewright_rig_bench` with the program as it is shipped. {} cores; {:.1f} other programs "
        "wanted one "
        "when it\nbegan, {}.\n\n"
        "- *byte in to figure on screen*: `sweep` on a terminal of 80 x 24, its controller sends 1000 "
        "samples a second; "
        "from\n  before a sample's bytes are written to its port until the full screen with its reading, or "
        "a later "
        "one, is read from\n  the terminal\n"
        "- *three ports*: a counter and two indicators, each sending 92 160 bytes a second (what 921 600 "
        "baud carry, some "
        "8000\n  lines), swept live at 5 degrees a second; user and system time of the process. While a "
        "sweep is in hand "
        "it holds every\n  row, so memory grows with its rows\n"
        "- *line decoder*: framing, check sum, fields, sequence, clock, count and event, against a bare loop "
        "over the same\n"
        "  million lines in the same run: look for the line's end, check sum, five numbers converted\n"
        "- *pipeline*: ten million lines of a controller through a pseudo-terminal into a recorded "
        "connection: read, "
        "stamped,\n  written to the capture, framed, checked, decoded, told. The receiving side is kept to "
        "one core, the "
        "sender to the\n  other; the capture is replayed afterwards. What isn't on the disk yet is kept in "
        "memory\n  too: "
        "half a second's worth, 20 MB at this rate, and more while the disk lets wait\n\n"
        "| what | measured | bar |\n| --- | --- | --- |\n",
        std::thread::hardware_concurrency(), load[0],
        ::getpriority(PRIO_PROCESS, 0) < 0 ? "but it went before them (`nice -n -15`)"
                                           : "which slows what is timed by the clock"));
}

void tell_decode() {
    const DecodeCost cost = decode_cost();
    print(
        fmt::format("| line decoder, a line | {:.0f} ns | |\n"
                    "| bare loop over the same bytes | {:.0f} ns | |\n"
                    "| ratio | {:.2f} | 1.5 at most |\n",
                    cost.decoder_ns, cost.bare_ns, cost.decoder_ns / cost.bare_ns));
}

void tell_pipeline(std::uint32_t lines) {
    const double alone = terminal_alone(lines);
    const Pipeline p = pipeline(lines);
    const double millions = 1e-6 * lines;
    print(fmt::format(
        "| lines sent, told as readings, in the capture | {}, {}, {} | all |\n"
        "| lost or damaged | {} | 0 |\n"
        "| lines a second, receiving side on one core | {:.2f} million | 1 million |\n"
        "| the terminal alone, read and thrown away | {:.2f} million | |\n"
        "| lines a second of processor time (user alone) | {:.2f} million ({:.2f}) | |\n"
        "| most memory after a tenth, after all | {:.1f} MB, {:.1f} MB | flat |\n",
        p.lines, p.events, p.replayed, p.lost, millions / p.wall_s, 1e-6 * alone, millions / p.cpu_s,
        millions / p.user_s, 1e-3 * static_cast<double>(p.early_kb), 1e-3 * static_cast<double>(p.late_kb)));
}

void tell_ports(double seconds) {
    const ThreePorts t = three_ports(seconds);
    print(fmt::format(
        "| three ports full, live view: share of one core, at a place | {:.1f} % | 10 % |\n"
        "| the same, sweeping | {:.1f} % | 10 % |\n"
        "| memory at a place, before and after {:.0f} s | {:.1f} MB, {:.1f} MB | flat |\n"
        "| memory after {:.0f} s of sweeping | {:.1f} MB | |\n",
        100.0 * t.share_waiting, 100.0 * t.share_sweeping, seconds,
        1e-3 * static_cast<double>(t.waiting_early_kb), 1e-3 * static_cast<double>(t.waiting_late_kb),
        seconds, 1e-3 * static_cast<double>(t.sweeping_kb)));
}

void tell_screen(std::size_t samples) {
    const ScreenDelay d = screen_delay(samples);
    print(
        fmt::format("| byte in to figure on screen, {} samples: median, 99 %, worst | {:.1f} ms, {:.1f} ms, "
                    "{:.1f} ms | |\n"
                    "| within 50 ms | {:.2f} % | 99 % |\n",
                    d.samples, d.median_ms, d.p99_ms, d.worst_ms, 100.0 * d.within_50_ms));
}

}  // namespace

int main(int argc, char** argv) try {
    const std::string what = argc > 1 ? argv[1] : "";
    const double amount = argc > 2 ? std::atof(argv[2]) : 0.0;
    const auto or_else = [amount](double usual) { return amount > 0.0 ? amount : usual; };
    if (what.empty()) tell_how();
    if (what.empty() || what == "screen") tell_screen(static_cast<std::size_t>(or_else(30'000)));
    if (what.empty() || what == "ports") tell_ports(or_else(30.0));
    if (what.empty() || what == "decode") tell_decode();
    if (what.empty() || what == "pipeline") tell_pipeline(static_cast<std::uint32_t>(or_else(10'000'000)));
    return 0;
} catch (const std::exception& problem) {
    std::fprintf(stderr, "%s\n", problem.what());
    return 2;
}
