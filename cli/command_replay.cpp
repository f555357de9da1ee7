#include "cli/command_replay.hpp"

#include <filesystem>
#include <memory>
#include <system_error>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/run/file_bytes.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/run/sweep_file.hpp"
#include "cli/output.hpp"
#include "cli/present_replay.hpp"
#include "cli/progress.hpp"

namespace lobewright {
namespace {

namespace fs = std::filesystem;

constexpr auto replay_examples =
    R"(A capture holds the raw bytes that came from the rig and what was asked of the
operator. From them the same sweeps are made again, by the decoder that made
them at the bench, to the same files byte for byte.

Examples:
  lobewright replay launch-4-used/captures/20260203T101500Z.cap
      what it holds: each sweep, how it ended, every trouble
  lobewright replay CAPTURE --of 1E --to 1E.csv
      that lobe's sweep alone, into a file
  lobewright replay CAPTURE --to remade
      all of them, into a new folder

Exit status: 0 done; 64 usage; 65 bad data; 66 no such input; 74 input or output
failed.)";

/// The sweeps that have rows, as files.
void write_sweeps(const ReplayedCapture& replayed, const ReplayCommandOptions& options) {
    std::vector<const TakenSweep*> written;
    for (const ReplayedSweep& sweep : replayed.sweeps)
        if (sweep.taken.sweep.rows() > 0) written.push_back(&sweep.taken);
    if (written.empty())
        throw DataError(fmt::format("{}: holds no sweep with rows to write", place(options.capture)));
    const auto text_of = [](const TakenSweep& taken) {
        return sweep_file_text(taken.sweep, taken.plan.units, taken.plan.resolution_mm);
    };
    if (written.size() == 1) return write_new_file(options.to, text_of(*written.front()));
    std::error_code problem;
    if (!fs::create_directory(options.to, problem))
        throw IoError(problem ? with_cause(place(options.to) + ": can't be made", problem.value())
                              : place(options.to) + ": is there already; name a new folder for the sweeps");
    for (std::size_t i = 0; i < written.size(); ++i) {
        std::string name = fmt::format("{:03}-{}-{}.csv", i + 1, written[i]->plan.of, written[i]->plan.pass);
        for (char& c : name)
            if (c == '/') c = '_';
        write_new_file(fs::path(options.to) / name, text_of(*written[i]));
    }
    sync_folder(options.to);
}

}  // namespace

void setup_replay(CLI::App& app, Action& action) {
    auto options = std::make_shared<ReplayCommandOptions>();
    CLI::App* command = app.add_subcommand("replay", "Remake sweeps from a capture's bytes");
    command->add_option("CAPTURE", options->capture, "a run's captures/*.cap")->type_name("FILE")->required();
    command->add_option("--to", options->to, "file for one sweep, new folder for several")->type_name("PATH");
    command->add_option("--of", options->of, "of this lobe or journal alone")->type_name("NAME");
    command->add_flag("--past-damage", options->past_damage, "read what lies before and behind damage");
    command->add_flag("--json", options->json, "print one JSON object and nothing else");
    command->group("Commands");
    command->footer(replay_examples);
    command->callback([options, &action] { action = [options] { return run_replay(*options); }; });
}

Exit run_replay(const ReplayCommandOptions& options) {
    ReplayedCapture replayed = [&] {
        const Progress progress(fmt::format("replaying {}", options.capture));
        return replay_sweeps(options.capture, options.past_damage ? PastDamage::read_on : PastDamage::refuse);
    }();
    if (!options.of.empty())
        std::erase_if(replayed.sweeps,
                      [&](const ReplayedSweep& sweep) { return sweep.taken.plan.of != options.of; });
    if (!options.of.empty() && replayed.sweeps.empty())
        throw UsageError(fmt::format("--of {}: the capture holds no sweep of it", in_quotes(options.of)));
    if (!options.to.empty()) write_sweeps(replayed, options);
    write_stdout(options.json ? present_replay_json(replayed) : present_replay(options.capture, replayed));
    return Exit::fit;
}

}  // namespace lobewright
