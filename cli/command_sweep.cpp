#include "cli/command_sweep.hpp"

#include <algorithm>
#include <filesystem>
#include <memory>
#include <unistd.h>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/run/message_text.hpp"
#include "analysis/run/run_folder.hpp"
#include "cli/output.hpp"
#include "cli/sweep_loop.hpp"
#include "cli/sweep_view.hpp"
#include "rig/session/recover.hpp"
#include "rig/session/sweep_session.hpp"

namespace lobewright {
namespace {

namespace fs = std::filesystem;

constexpr double fastest_turn_deg_per_s = 60.0;  // beyond it nobody can take a hand or a rag away in time
constexpr double turns_by_motor = 2.2;           // a turn to the index mark, the whole turn, and some overlap

constexpr auto sweep_examples = R"(Guides through all lobes and journals from front to rear, or those named.
While the cam is turned the screen shows angle, both readings, what is still
missing of the turn, and every trouble as it happens; a bell tells that a sweep
is whole. A sweep ends by itself. Nothing is lost: bytes go to the run's
captures as they come, sweeps appear whole or not at all, and after a power cut
the next start says what was saved and goes on. docs/sweeping.md walks through
it.

Examples:
  lobewright sweep launch-4-used --port /dev/ttyUSB0 --like launch-4-new \
      --set run.condition=used
      a new run of the same engine's cam, on the same rig
  lobewright sweep my-cam --port usb:A10K2X
      asks for what a new run needs, then sweeps
  lobewright sweep launch-4-used 3E 3I --port tcp:bench-2:4001
      these two alone; lobes that have a sweep get another pass
  lobewright sweep pump --rig rig.toml
      stand-alone counter and indicators
  lobewright sweep launch-4-used --port /dev/ttyUSB0 --turn
      the rig's motor turns the cam, after a warning and a typed yes

Turning parts catch fingers, sleeves and rags; a cam is heavy and its edges are
sharp. Unplug any drive before setting up. Local shop-safety rules come first.

Exit status: 0 everything named has a whole sweep; 2 something is still open;
64 usage; 65 bad data; 66 no such input; 69 no device; 74 input or output
failed.)";

bool is_there(const fs::path& folder) {
    std::error_code ignored;
    return fs::exists(folder / "run.toml", ignored);
}

void check_sweep_options(const SweepCommandOptions& options) {
    if (!options.page && (options.page_at.port != 0 || options.page_at.address != BenchPageOptions{}.address))
        throw UsageError("--page-port and --page-at go with --page");
    check_rig_side_options(options.rig);
    if (options.turn && (::isatty(STDIN_FILENO) != 1 || ::isatty(STDOUT_FILENO) != 1))
        throw UsageError("--turn needs a terminal: any key must be able to halt the motor");
    if (options.turn_deg_per_s <= 0.0 || options.turn_deg_per_s > fastest_turn_deg_per_s)
        throw UsageError(fmt::format("--turn-speed {}: more than 0 and up to {} deg/s",
                                     options.turn_deg_per_s, fastest_turn_deg_per_s));
    if (options.overlap_deg && (*options.overlap_deg < 0.0 || *options.overlap_deg > 360.0))
        throw UsageError(fmt::format("--overlap {}: 0 up to 360 degrees", *options.overlap_deg));
}

/// Writes the run that isn't there yet, with what the rig says of itself where nothing else was said.
void write_new_run(Run run, const RigBack& rig, const fs::path& folder) {
    if (!run.rig.counts_per_rev && rig.counts_per_rev > 0) run.rig.counts_per_rev = rig.counts_per_rev;
    if (!run.rig.resolution_mm && rig.step_mm) run.rig.resolution_mm = rig.step_mm;
    write_run(run, folder);
    write_stdout(fmt::format("{}: made, {} lobes and {} journals\n", place(folder / "run.toml"),
                             run.lobes.size(), run.journals.size()));
}

/// Throws when run and rig don't count alike.
void check_counts(const Run& run, const RigBack& rig) {
    const std::string file = place(run.folder / "run.toml");
    if (!run.rig.counts_per_rev)
        throw DataError(fmt::format("{}: counts_per_rev isn't given in [rig]; the rig says {}: put that in",
                                    file, rig.counts_per_rev));
    if (rig.counts_per_rev > 0 && *run.rig.counts_per_rev != rig.counts_per_rev)
        throw DataError(
            fmt::format("{}: counts_per_rev is {}, but the rig counts {} a turn; mend the one or the other",
                        file, *run.rig.counts_per_rev, rig.counts_per_rev));
}

SweepPlan plan_for(const Run& run, const RigDescription& rig, const SweepCommandOptions& options,
                   std::int64_t step) {
    SweepPlan plan;
    plan.units = run.units;
    plan.resolution_mm = run.rig.resolution_mm;
    plan.counts_per_rev = *run.rig.counts_per_rev;
    plan.direction = run.rig.direction;
    plan.zero_deg = run.rig.zero_deg;
    plan.index = has_index(rig);
    if (options.overlap_deg) plan.overlap_deg = *options.overlap_deg;
    plan.most_deg_per_s = fastest_deg_per_s(plan.counts_per_rev, step, plan.most_gap_deg, rig);
    return plan;
}

void tell_recovered(const Recovered& recovered) {
    for (const std::string& says : recovered.says) write_stdout(says + "\n");
    if (recovered.sweeps.empty()) return;
    write_stdout("The last session was cut off. Saved from its capture:\n");
    for (const SweepOutcome& outcome : recovered.sweeps)
        for (const std::string& words : outcome_words(outcome)) write_stdout("  " + words + "\n");
    write_stdout("Going on at the first lobe or journal without a whole sweep.\n");
}

std::optional<MotorWish> motor_wish(const SweepCommandOptions& options, const Run& run, const RigBack& rig) {
    if (!options.turn) return std::nullopt;
    if (!rig.turns)
        throw DeviceError(fmt::format("{}: the rig says that it has no motor; sweep by hand, without --turn",
                                      rig_name(options.rig)));
    const auto per_rev = static_cast<double>(*run.rig.counts_per_rev);
    return MotorWish{static_cast<std::int64_t>(turns_by_motor * per_rev) * run.rig.direction,
                     static_cast<std::int64_t>(options.turn_deg_per_s * per_rev / 360.0)};
}

}  // namespace

namespace {

std::shared_ptr<SweepCommandOptions> add_sweep_command(CLI::App& app, Action& action, const std::string& name,
                                                       const std::string& says) {
    auto options = std::make_shared<SweepCommandOptions>();
    CLI::App* command = app.add_subcommand(name, says);
    command->add_option("RUN", options->run, "run folder; made when it isn't there")
        ->type_name("FOLDER")
        ->required();
    command->add_option("PLACE", options->places, "lobes and journals; all of them unless named")
        ->type_name("NAME");
    add_rig_side_options(*command, options->rig);
    command->add_option("--like", options->fresh.like, "new run: cam, rig and lobes as in this one")
        ->type_name("RUN");
    command->add_option("--set", options->fresh.settings, "new run: a key of run.toml; may be repeated")
        ->type_name("KEY=VALUE")
        ->allow_extra_args(false);
    command->add_option("--lobe", options->fresh.lobes, "new run: a lobe; may be repeated")
        ->type_name("NAME,KIND,Z,WIDTH")
        ->allow_extra_args(false);
    command->add_option("--journal", options->fresh.journals, "new run: a journal; may be repeated")
        ->type_name("NAME,Z")
        ->allow_extra_args(false);
    command->add_option("--overlap", options->overlap_deg, "degrees to be read twice, 10 unless given")
        ->type_name("DEG");
    command->add_flag("--turn", options->turn, "let the rig's motor turn the cam; asks first");
    command->add_option("--turn-speed", options->turn_deg_per_s, "of the motor, 10 deg/s unless given")
        ->type_name("DEG_PER_S");
    command->add_flag("--page", options->page, "serve the bench's page to a browser on this machine");
    command->add_option("--page-port", options->page_at.port, "of the page; any that is free unless given")
        ->type_name("N");
    command->add_option("--page-at", options->page_at.address, "serve it to others too, at this address")
        ->type_name("ADDRESS");
    command->add_flag("--plain", options->plain, "one live line instead of a full screen");
    command->add_flag("--no-color", options->no_colour, "no colour");
    command->group("Commands");
    command->footer(sweep_examples);
    command->callback([options, &action] {
        check_sweep_options(*options);
        action = [options] { return run_sweep(*options); };
    });
    return options;
}

}  // namespace

void setup_sweep(CLI::App& app, Action& action) {
    add_sweep_command(app, action, "sweep", "Sweep a cam on the rig, lobe by lobe");
}

void setup_bench(CLI::App& app, Action& action) {
    add_sweep_command(app, action, "bench", "Sweep with the bench's page in a browser")->page = true;
}

Exit run_sweep(const SweepCommandOptions& options) {
    const fs::path folder = options.run;
    const RigDescription rig = rig_of(options.rig);
    std::optional<Run> fresh;
    if (!is_there(folder)) {
        fresh = new_run(folder, options.fresh);
    } else if (options.fresh.any()) {
        throw UsageError(fmt::format(
            "{}: is there already; --like, --set, --lobe and --journal are for a new run", place(folder)));
    } else {
        bench_order(read_run(folder), options.places);  // a wrong name is told before the rig is asked
    }
    std::optional<BenchPage> page;
    if (options.page) {
        page.emplace(options.page_at);
        write_stdout(fmt::format("The bench's page: {}\n", page->address()));
    }
    std::error_code problem;
    fs::create_directories(folder, problem);
    if (problem) throw IoError(fmt::format("{}: can't be made: {}", place(folder), problem.message()));
    const RunLock lock(folder);
    if (!fresh) {
        SweepStore before(folder);
        tell_recovered(recover_sweeps(before, folder));
    }
    SessionQueue queue;
    RigSide side(rig, new_capture(folder), queue);
    if (fresh) write_new_run(*fresh, side.rig(), folder);
    SweepStore store(folder);
    check_counts(store.run(), side.rig());
    const std::int64_t step = sample_step(*store.run().rig.counts_per_rev, rig);
    const SweepPlan plan = plan_for(store.run(), rig, options, step);
    const auto places = bench_order(store.run(), options.places);
    SweepSession session(store, places, plan, [&](const SessionNote& note) { side.note(note); });
    side.start(step);
    SweepLoop loop;
    loop.page = page ? &*page : nullptr;
    loop.is_done = [&store](const std::string& name) { return store.has_whole(name); };
    loop.places = places;
    loop.run = &store.run();
    loop.queue = &queue;
    loop.session = &session;
    loop.motor = side.motor();
    loop.wish = motor_wish(options, store.run(), side.rig());
    loop.port = rig_name(options.rig);
    loop.most_deg_per_s = plan.most_deg_per_s;
    loop.plain = options.plain;
    loop.no_colour = options.no_colour;
    run_sweep_loop(loop);
    if (!side.close()) throw IoError("the capture isn't on the disk; the sweeps are");
    const bool whole = std::all_of(places.begin(), places.end(),
                                   [&](const BenchPlace& place) { return store.has_whole(place.name); });
    return whole ? Exit::fit : Exit::undecided;
}

}  // namespace lobewright
