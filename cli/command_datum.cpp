#include "cli/command_datum.hpp"

#include <charconv>
#include <cmath>
#include <memory>
#include <string_view>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/datum/datum_by_bar.hpp"
#include "analysis/datum/datum_report.hpp"
#include "analysis/run/datum_write.hpp"
#include "analysis/run/run_folder.hpp"
#include "analysis/units.hpp"
#include "cli/common_options.hpp"
#include "cli/datum_take.hpp"
#include "cli/output.hpp"
#include "cli/present_datum.hpp"
#include "cli/progress.hpp"
#include "rig/session/recover.hpp"

namespace lobewright {
namespace {

constexpr auto datum_examples =
    R"(The front-to-rear zero is what the rear indicator reads more than the front one
on a true parallel. Taper is as good as it. Shown are all findings that the runs
hold, whether they agree, what they say together, and the lines for run.toml.

Examples:
  lobewright datum launch-4-new
      is the zero still right? by the run's own journals and lobes
  lobewright datum launch-4-new --turned launch-4-new-turned
      by the cam swept, turned end for end, and swept again: in the second run
      front_z and rear_z have changed places, as the indicators have on the lobe
  lobewright datum launch-4-new --bar 0.0011,0.0004 --bar 0.0013,0.0004
      two more readings on a parallel, each with its standard uncertainty, in
      the run's units
  lobewright datum launch-4-new --turned launch-4-new-turned --write
      the same, and what they say together goes into run.toml
  lobewright datum launch-4-new --take --port /dev/ttyUSB0
      at the bench: reads a parallel laid five times under both tips, and writes
      [datum] with its u into run.toml; the old run.toml is kept beside it

Exit status: 0 done; 64 usage; 65 bad data; 66 no such input; 69 no device; 74
input or output failed.)";

constexpr int least_seatings = 2, most_seatings = 50;

/// "VALUE,U" as an estimate, in units of `per` mm.
DatumEstimate bar_of(const std::string& text, double per) {
    double value = 0.0, u = 0.0;
    const char* const end = text.data() + text.size();
    const auto first = std::from_chars(text.data(), end, value);
    const bool comma = first.ec == std::errc{} && first.ptr != end && *first.ptr == ',';
    const auto second = comma ? std::from_chars(first.ptr + 1, end, u) : first;
    if (!comma || second.ec != std::errc{} || second.ptr != end || !std::isfinite(value) ||
        !std::isfinite(u) || u <= 0.0) {
        throw UsageError(
            fmt::format("--bar {}: give the reading and its standard uncertainty, more than 0, as VALUE,U",
                        one_line(text)));
    }
    return {"bar", value * per, u * per};
}

void check_datum_options(const DatumCommandOptions& options) {
    for (const std::string& bar : options.bars) bar_of(bar, 1.0);
    const bool rig = !options.rig.port.empty() || !options.rig.rig.empty();
    if (!options.take) {
        if (rig) throw UsageError("--port and --rig go with --take, which takes the zero at the rig");
        return;
    }
    check_rig_side_options(options.rig);
    if (options.json || !options.bars.empty() || !options.turned.empty() || !options.setup.empty())
        throw UsageError(
            "--take asks and answers at the bench: it doesn't go with --json, --bar, --turned or --setup");
    if (options.seatings < least_seatings || options.seatings > most_seatings)
        throw UsageError(
            fmt::format("--seatings {}: {} up to {}", options.seatings, least_seatings, most_seatings));
}

void write_and_tell(const std::string& folder, const DatumInfo& datum) {
    const auto kept = write_datum(folder, datum);
    write_stdout(fmt::format("[datum] is written into {}/run.toml; what stood there is kept in {}\n", folder,
                             kept.string()));
}

Exit run_take(const DatumCommandOptions& options) {
    const Run run = read_run(options.run);
    const RunLock lock(options.run);
    const auto seatings = take_seatings(run, options.rig, options.seatings);
    std::vector<double> differences;
    differences.reserve(seatings.size());
    for (const Seating& seating : seatings) differences.push_back(seating.rear_minus_front_mm);
    const DatumEstimate zero = datum_by_bar(differences, run.rig.resolution_mm.value_or(0.0));
    write_stdout("\n" + present_seatings(seatings, zero, run));
    write_and_tell(options.run, {DatumMethod::bar, zero.rear_minus_front_mm, zero.u_mm});
    return Exit::fit;
}

}  // namespace

void setup_datum(CLI::App& app, Action& action) {
    auto options = std::make_shared<DatumCommandOptions>();
    CLI::App* command = app.add_subcommand("datum", "Find or check the front-to-rear zero");
    command->add_option("RUN", options->run, "run of the cam")->type_name("FOLDER")->required();
    command->add_option("--turned", options->turned, "run of the cam turned end for end")
        ->type_name("FOLDER");
    command->add_option("--bar", options->bars, "reading on a parallel; may be repeated")
        ->type_name("VALUE,U")
        ->allow_extra_args(false);
    add_setup_option(*command, options->setup);
    command->add_flag("--take", options->take, "take it at the rig, on a parallel, and write it");
    command->add_option("--seatings", options->seatings, "times that the parallel is laid, 5 unless given")
        ->type_name("N");
    add_rig_side_options(*command, options->rig);
    command->add_flag("--write", options->write, "write what the findings say together into run.toml");
    add_json_option(*command, options->json);
    command->group("Commands");
    command->footer(datum_examples);
    command->callback([options, &action] {
        check_datum_options(*options);
        action = [options] { return run_datum(*options); };
    });
}

Exit run_datum(const DatumCommandOptions& options) {
    if (options.take) return run_take(options);
    const BenchSetUp set_up = set_up_of(options.setup);
    const DatumReport report = [&] {
        const Progress progress(fmt::format("measuring {}", options.run));
        const Run run = read_run(options.run);
        std::vector<DatumEstimate> bars;
        for (const std::string& bar : options.bars) bars.push_back(bar_of(bar, mm_per(run.units)));
        if (options.turned.empty()) return datum_report(run, nullptr, bars, set_up);
        const Run turned = read_run(options.turned);
        return datum_report(run, &turned, bars, set_up);
    }();
    if (options.write && !report.together)
        throw DataError(
            fmt::format("{}: nothing is known of its zero to be written; --bar, --turned or --take finds it",
                        options.run));
    write_stdout(options.json ? present_datum_json(report) : present_datum(report));
    if (options.write) {
        const DatumInfo datum{report.method, report.together->rear_minus_front_mm, report.together->u_mm};
        if (options.json)
            write_datum(options.run, datum);
        else
            write_and_tell(options.run, datum);
    }
    return Exit::fit;
}

}  // namespace lobewright
