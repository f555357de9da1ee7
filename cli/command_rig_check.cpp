#include "cli/command_rig_check.hpp"

#include <chrono>
#include <condition_variable>
#include <cstdio>
#include <memory>
#include <mutex>
#include <poll.h>
#include <unistd.h>
#include <vector>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "cli/common_options.hpp"
#include "cli/output.hpp"
#include "cli/present_rig_check.hpp"
#include "rig/acquisition/replay_events.hpp"
#include "rig/acquisition/rig_connection.hpp"
#include "rig/check/check_guide.hpp"

namespace lobewright {
namespace {

constexpr auto examples = R"(Says step by step how to turn the cam, a lobe under the indicators, and then what
the rig has shown: slipped counts, noise, drift, play, late readings, lost lines.
Enter goes on to the next step, done or not.

Keep fingers and sleeves clear of lobes and indicators while the cam turns.

Examples:
  lobewright rig-check --port /dev/ttyUSB0
      a controller that latches encoder and indicators together
  lobewright rig-check --rig bench.toml --record check.cap
      stand-alone devices as bench.toml describes them; keep what they sent
  lobewright rig-check --capture check.cap --json
      the same figures from what was recorded

Exit status: 0 nothing to look at; 1 look at what is marked; 2 too little was
turned to tell; 64 usage; 65 bad data; 66 no such input; 69 no device; 74 input
or output failed.)";

/// Events of a live rig, to take from another thread.
class Hearing {
public:
    void hear(const RigEvent& event) {
        const std::lock_guard<std::mutex> lock(mutex_);
        fresh_.push_back(event);
    }
    std::vector<RigEvent> take() {
        const std::lock_guard<std::mutex> lock(mutex_);
        return std::exchange(fresh_, {});
    }

private:
    std::mutex mutex_;
    std::vector<RigEvent> fresh_;
};

enum class Key { none, enter, closed };

/// Waits a moment for a line on standard input.
Key key_within(int milliseconds) {
    pollfd input{STDIN_FILENO, POLLIN, 0};
    if (::poll(&input, 1, milliseconds) <= 0) return Key::none;
    char byte = 0;
    for (;;) {
        if (::read(STDIN_FILENO, &byte, 1) <= 0) return Key::closed;
        if (byte == '\n') return Key::enter;
    }
}

/// Talk goes to standard error, so that --json stays pure.
void say(const std::string& text) {
    std::fputs(text.c_str(), stderr);
    std::fflush(stderr);
}

RigDescription rig_of(const RigCheckOptions& options) {
    return options.rig.empty() ? controller_on(options.port, options.baud)
                               : read_rig_description(options.rig);
}

/// One step, until it is done or Enter was pressed.
void guide(const CheckStep& step, Hearing& hearing, std::int64_t counts_per_rev,
           std::vector<RigEvent>& events) {
    const bool terminal = ::isatty(STDERR_FILENO) == 1;
    StepProgress progress(step, counts_per_rev);
    say(step.says + "\n");
    Key key = Key::none;
    while (progress.done() < 1.0 && key != Key::enter) {
        // With nobody to press Enter the steps end when they are done.
        key = key == Key::closed ? (::poll(nullptr, 0, 100), Key::closed) : key_within(100);
        for (const RigEvent& event : hearing.take()) {
            progress.take(event);
            if (const auto* trouble = std::get_if<RigTrouble>(&event))
                say("\r  " + one_line(trouble->says) + "\n");
            events.push_back(event);
        }
        if (terminal) say(fmt::format("\r  {:3.0f} %", progress.done() * 100.0));
    }
    if (terminal) say("\r  done \a\n");
}

std::vector<RigEvent> turned_by_hand(const RigCheckOptions& options) {
    const RigDescription rig = rig_of(options);
    std::shared_ptr<CaptureRecorder> recorder;
    if (!options.record.empty()) recorder = std::make_shared<CaptureRecorder>(options.record, rig);
    Hearing hearing;
    std::vector<RigEvent> events;
    {
        RigConnection connection(rig, recorder, [&hearing](const RigEvent& event) { hearing.hear(event); });
        const std::int64_t counts_per_rev = connection.rig().counts_per_rev;
        constexpr std::int64_t samples_a_turn = 3600;
        connection.send({RigOrder::Kind::every, std::max<std::int64_t>(1, counts_per_rev / samples_a_turn)});
        connection.send({RigOrder::Kind::start});
        say(fmt::format("{}: {} counts a turn\n", one_line(connection.rig().name), counts_per_rev));
        for (const CheckStep& step : check_steps()) guide(step, hearing, counts_per_rev, events);
    }
    for (const RigEvent& event : hearing.take()) events.push_back(event);
    return events;
}

std::vector<RigEvent> recorded(const std::string& capture) {
    std::vector<RigEvent> events;
    const CaptureContents contents =
        replay_events(capture, [&events](const RigEvent& event) { events.push_back(event); });
    for (const std::string& note : contents.notes) say("lobewright: " + one_line(note) + "\n");
    return events;
}

void check_options(const RigCheckOptions& options) {
    const int sources =
        (options.port.empty() ? 0 : 1) + (options.rig.empty() ? 0 : 1) + (options.capture.empty() ? 0 : 1);
    if (sources != 1)
        throw UsageError("give one of --port, --rig and --capture (see lobewright rig-check --help)");
    if (!options.capture.empty() && !options.record.empty())
        throw UsageError("--record keeps what a rig sends; --capture reads what was kept: give one of them");
}

}  // namespace

void setup_rig_check(CLI::App& app, Action& action) {
    auto options = std::make_shared<RigCheckOptions>();
    CLI::App* command = app.add_subcommand("rig-check", "Prove the rig before it measures");
    command->add_option("--port", options->port, "port of a controller")->type_name("PORT");
    command->add_option("--baud", options->baud, "its speed, 921600 unless given")
        ->type_name("N")
        ->check(CLI::Range(50, 12'000'000));
    command->add_option("--rig", options->rig, "description of the rig")->type_name("FILE");
    command->add_option("--record", options->record, "keep what the rig sends")->type_name("FILE");
    command->add_option("--capture", options->capture, "look at what was kept")->type_name("FILE");
    add_json_option(*command, options->json);
    command->group("Commands");
    command->footer(examples);
    command->callback([options, &action] {
        check_options(*options);
        action = [options] { return run_rig_check(*options); };
    });
}

Exit run_rig_check(const RigCheckOptions& options) {
    const std::vector<RigEvent> events =
        options.capture.empty() ? turned_by_hand(options) : recorded(options.capture);
    const RigFigures figures = rig_figures(events);
    if (figures.counts_per_rev == 0)
        throw DataError(fmt::format("{}: no rig has answered in it", one_line(options.capture)));
    const std::vector<CheckRow> rows = check_rows(figures);
    write_stdout(options.json ? present_rig_check_json(figures, rows)
                              : present_rig_check(figures, rows, stdout_takes_colour()));
    return exit_of(rows);
}

}  // namespace lobewright
