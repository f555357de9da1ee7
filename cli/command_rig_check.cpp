#include "cli/command_rig_check.hpp"

#include <cerrno>
#include <csignal>
#include <cstdio>
#include <memory>
#include <poll.h>
#include <string_view>
#include <unistd.h>
#include <vector>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "cli/common_options.hpp"
#include "cli/output.hpp"
#include "cli/present_rig_check.hpp"
#include "cli/progress.hpp"
#include "cli/signals.hpp"
#include "rig/acquisition/replay_events.hpp"
#include "rig/check/check_guide.hpp"
#include "rig/check/rig_check.hpp"
#include "rig/session/session_queue.hpp"

namespace lobewright {
namespace {

constexpr auto rig_check_examples =
    R"(Put both tips on one lobe. The check leads through it: stand still (where the
rig sends readings then), turn two turns slowly in the running direction, two
more about twice as fast, two back. Ctrl-C ends it early with what was seen.
docs/rig-check.md says what each row means.

Examples:
  lobewright rig-check --port /dev/ttyUSB0
      a controller
  lobewright rig-check --rig rig.toml --record proof.cap
      stand-alone devices; the bytes are kept
  lobewright rig-check --capture proof.cap --json
      the same figures from the bytes, for a program

Turning parts catch fingers, sleeves and rags; a cam is heavy and its edges are
sharp. Unplug any drive before setting up. Local shop-safety rules come first.

Exit status: 0 every row passes; 1 something wants a look; 2 something couldn't
be told; 64 usage; 65 bad data; 66 no such input; 69 no device; 74 input or
output failed.)";

constexpr std::int64_t samples_a_turn =
    1440;  // four a degree: fine enough for noise on the heel, slow for any link
constexpr int redraw_ms = 200;

void check_options(const RigCheckCommandOptions& options) {
    if (options.capture.empty()) {
        if (options.past_damage) throw UsageError("--past-damage goes with --capture");
        return check_rig_side_options(options.rig);
    }
    if (!options.rig.port.empty() || !options.rig.rig.empty())
        throw UsageError("--capture is judged without a rig: leave --port and --rig out");
    if (!options.record.empty())
        throw UsageError("--record keeps a connected rig's bytes; --capture has them already");
}

std::string_view asks(CheckStep step) {
    switch (step) {
        case CheckStep::rest:
            return "Leave the cam alone for ten seconds, both tips on the heel.";
        case CheckStep::slow:
            return "Turn the cam two turns in its running direction, slowly: a turn in 20 s.";
        case CheckStep::fast:
            return "Go on the same way, two turns about twice as fast.";
        case CheckStep::back:
            return "Now two turns back, evenly.";
        case CheckStep::done:
            break;
    }
    return "Done.";
}

/// What the operator is told, on standard error: standard output holds the result alone.
class Guidance {
public:
    void show(const CheckGuide& guide) {
        if (!said_ || guide.step() != step_) {
            say(std::string(asks(guide.step())));
            step_ = guide.step();
            said_ = true;
        }
        if (!live_ || guide.step() == CheckStep::done) return;
        const int percent = static_cast<int>(100.0 * guide.share());
        if (percent == percent_) return;
        percent_ = percent;
        std::fputs(fmt::format("\r  {:3} %", percent).c_str(), stderr);
        std::fflush(stderr);
    }
    void say(const std::string& line) {
        std::fputs(fmt::format("{}{}\n", live_ ? "\r" : "", one_line(line)).c_str(), stderr);
        percent_ = -1;
    }

private:
    bool live_ = ::isatty(STDERR_FILENO) == 1;
    bool said_ = false;
    CheckStep step_ = CheckStep::rest;
    int percent_ = -1;
};

void take_items(SessionQueue& queue, CheckRecord& record, CheckGuide& guide, Guidance& guidance) {
    for (const SessionItem& item : queue.take()) {
        const auto* event = std::get_if<RigEvent>(&item);
        if (event == nullptr) continue;
        add_event(record, *event);
        guide.take(*event);
        if (const auto* trouble = std::get_if<RigTrouble>(event)) guidance.say("! " + trouble->says);
    }
}

/// The rig's own events, until every step is done or a signal ends it.
CheckRecord from_rig(const RigCheckCommandOptions& options) {
    const RigDescription rig = rig_of(options.rig);
    SessionQueue queue;
    Signals signals;
    RigSide side(rig, options.record, queue);
    CheckRecord record;
    CheckGuide guide(side.rig().counts_per_rev, !rig.latched());
    Guidance guidance;
    side.start(std::max<std::int64_t>(1, side.rig().counts_per_rev / samples_a_turn));
    bool ended = false;
    while (!ended && guide.step() != CheckStep::done) {
        guidance.show(guide);
        pollfd watched[2] = {{queue.descriptor(), POLLIN, 0}, {signals.descriptor(), POLLIN, 0}};
        if (::poll(watched, 2, redraw_ms) < 0 && errno != EINTR) throw IoError("waiting for the rig failed");
        for (const int number : signals.take()) ended = ended || (number != SIGWINCH && number != SIGCONT);
        take_items(queue, record, guide, guidance);
    }
    if (ended) guidance.say("Ended early: judged from what was seen.");
    if (!side.close()) guidance.say("! the capture isn't whole on the disk");
    take_items(queue, record, guide, guidance);
    if (!ended) guidance.show(guide);
    return record;
}

CheckRecord from_capture(const RigCheckCommandOptions& options, std::vector<std::string>& notes) {
    const Progress progress(fmt::format("reading {}", options.capture));
    CheckRecord record;
    const CaptureContents contents = replay_events(
        options.capture, [&](const RigEvent& event) { add_event(record, event); }, {},
        options.past_damage ? PastDamage::read_on : PastDamage::refuse);
    notes = contents.notes;
    return record;
}

}  // namespace

void setup_rig_check(CLI::App& app, Action& action) {
    auto options = std::make_shared<RigCheckCommandOptions>();
    CLI::App* command = app.add_subcommand("rig-check", "Prove the rig before it measures");
    add_rig_side_options(*command, options->rig);
    command->add_option("--record", options->record, "keep the bytes in this new capture")->type_name("FILE");
    command->add_option("--capture", options->capture, "judge this capture; no rig is needed")
        ->type_name("FILE");
    command->add_flag("--past-damage", options->past_damage, "read what lies before and behind its damage");
    add_units_option(*command, options->units, "mm");
    add_json_option(*command, options->json);
    command->group("Commands");
    command->footer(rig_check_examples);
    command->callback([options, &action] {
        check_options(*options);
        action = [options] { return run_rig_check(*options); };
    });
}

Exit run_rig_check(const RigCheckCommandOptions& options) {
    std::vector<std::string> notes;
    const CheckRecord record = options.capture.empty() ? from_rig(options) : from_capture(options, notes);
    const RigCheck check = check_rig(record);
    const Units units = units_or(options.units, Units::mm);
    write_stdout(options.json ? present_rig_check_json(check, notes, units)
                              : present_rig_check(check, notes, units));
    switch (check.verdict) {
        case CheckVerdict::pass:
            return Exit::fit;
        case CheckVerdict::look:
            return Exit::unfit;
        case CheckVerdict::unknown:
            break;
    }
    return Exit::undecided;
}

}  // namespace lobewright
