#include "cli/command_study.hpp"

#include <algorithm>
#include <atomic>
#include <iostream>
#include <iterator>
#include <memory>
#include <utility>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/run/file_bytes.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/study/study.hpp"
#include "analysis/study/study_plan.hpp"
#include "cli/output.hpp"
#include "cli/present_study.hpp"
#include "cli/present_study_json.hpp"
#include "cli/progress.hpp"
#include "cli/report/write_report.hpp"
#include "cli/study_file.hpp"
#include "cli/study_line.hpp"
#include "cli/study_read.hpp"
#include "cli/study_watch.hpp"

namespace lobewright {
namespace {

constexpr auto study_examples =
    R"(Judges every run in and below the folders, on all cores: a line of JSON each, in
the order in which they end. A used run is compared with the new run of its cam
that stands beside it, and inspected where there is none (docs/study.md says how
one is found; --plan shows it). A run that can't be judged is a line with its
error; the study goes on.

Examples:
  lobewright study cams --out cams.ndjson
      ten years of cams in a folder
  lobewright study cams --out cams.ndjson --resume
      carry on after a power cut, or with what was measured since
  lobewright study cams --plan > list; lobewright study --list list
      the same in two steps; the list can be edited, or split over machines
  lobewright study --summary cams.ndjson
      verdicts, wear by part, by hours and by place along the cam
  lobewright study --summary cams.ndjson --report cams.html
      the same as a page

Exit status: 0 every run was judged, whatever the verdicts; otherwise the
highest status among those that weren't (65 bad data; 66 no such input; 74 input
or output failed); 2 ended early by Ctrl-C; 64 usage.)";

/// A list of more bytes names tens of millions of runs.
constexpr std::size_t most_list_bytes = std::size_t{1} << 30;

void check_study_options(const StudyCommandOptions& options) {
    const bool summary = !options.summary.empty();
    if (summary &&
        (!options.folders.empty() || !options.list.empty() || options.plan || !options.out.empty()))
        throw UsageError(
            "--summary reads lines that were written: no FOLDER, --list, --plan or --out beside it");
    if (!summary && options.folders.empty() && options.list.empty())
        throw UsageError(
            "FOLDER is required, or --list FILE, or --summary FILE (see lobewright study --help)");
    if (!options.folders.empty() && !options.list.empty())
        throw UsageError("either FOLDER or --list, not both");
    if (!summary && (options.json || !options.page.file.empty()))
        throw UsageError("--json and --report go with --summary; the lines are JSON anyway");
    if (options.resume && options.out.empty()) throw UsageError("--resume carries on a file: say --out FILE");
    if (options.resume && options.page.overwrite)
        throw UsageError("either --resume or --overwrite, not both");
    if (options.page.overwrite && options.out.empty() && options.page.file.empty())
        throw UsageError("--overwrite goes with --out or --report");
}

std::vector<StudyItem> planned_items(const StudyCommandOptions& options) {
    const Progress progress("looking for runs");
    std::vector<StudyItem> items;
    if (options.list.empty()) {
        items = find_runs({options.folders.begin(), options.folders.end()});
        if (items.empty())
            throw NoInputError(place(options.folders.front()) +
                               ": no run in or below it; a run holds run.toml");
    } else {
        std::string text;
        if (options.list == "-") {
            text.assign(std::istreambuf_iterator<char>(std::cin), {});
        } else {
            read_file(options.list, text, most_list_bytes);
        }
        items = listed_runs(text, options.list == "-" ? "standard input" : options.list);
    }
    pair_runs(items, options.threads);
    return items;
}

/// The list that --list takes.
Exit print_plan(const std::vector<StudyItem>& items) {
    std::string out;
    for (const StudyItem& item : items) {
        for (const auto& path : {item.path, item.reference}) {
            if (path.string().find_first_of("\t\r\n") != std::string::npos)
                throw DataError(place(path) + ": a list can't hold this name; rename the folder");
        }
        if (!item.reference.empty()) out += item.reference.string() + "\t";
        out += item.path.string() + "\n";
    }
    write_stdout(out);
    return Exit::fit;
}

void say(const std::string& text) {
    fmt::print(stderr, "lobewright: {}\n", one_line(text));
}

/// A line couldn't say which run it is of.
void refuse_unsayable(std::vector<StudyItem>& items) {
    for (StudyItem& item : items) {
        for (const auto& path : {item.path, item.reference}) {
            if (!is_utf8(path.string()))
                item.failure = DataError(place(path) + ": its name isn't UTF-8; rename the folder");
        }
    }
}

void leave_out_done(std::vector<StudyItem>& items, const StudyFile& file, const std::string& name) {
    if (file.dropped() > 0)
        say(fmt::format("{}: its last line was cut off; dropped, its run is judged again", name));
    const std::size_t all = items.size();
    items.erase(std::remove_if(items.begin(), items.end(),
                               [&](const StudyItem& item) { return file.done().count(study_key(item)) > 0; }),
                items.end());
    if (items.size() < all)
        say(fmt::format("{}: holds {} of {} runs already", name, all - items.size(), all));
}

Exit judge_all(std::vector<StudyItem> items, const StudyCommandOptions& options) {
    StudyOptions study_options;
    if (!options.limits.empty()) study_options.limits = read_limits(options.limits);
    if (!options.units.empty()) study_options.units = units_or(options.units, Units::mm);
    study_options.used = set_up_of(options.setup);
    study_options.reference = set_up_of(options.reference_setup);
    study_options.threads = options.threads;
    refuse_unsayable(items);
    StudyFile file(options.out, options.resume, options.page.overwrite);
    leave_out_done(items, file, options.out);
    std::atomic<int> worst{0};
    std::string said;
    bool early = false;
    {
        StudyWatch watch(items.size());
        std::atomic<std::size_t> done{0};
        study(
            items, study_options,
            [&](const JudgedRun& run) {
                file.add(study_line(run, study_options.limits));
                if (run.failure) {
                    const int exit = static_cast<int>(run.failure->exit());
                    for (int before = worst; before < exit && !worst.compare_exchange_weak(before, exit);) {
                    }
                }
                ++done;
                watch.count(run.failure.has_value());
            },
            watch.stop());
        said = watch.said();
        early = done < items.size();
    }
    say(said + (early ? "; ended early, --out FILE --resume carries on" : ""));
    return early ? Exit::undecided : static_cast<Exit>(worst.load());
}

Exit show_summary(const StudyCommandOptions& options) {
    std::vector<std::string> cut_off;
    const StudySummary summary = [&] {
        const Progress progress("reading lines");
        return read_study(options.summary, cut_off);
    }();
    for (const std::string& file : cut_off) say(fmt::format("{}: its last line was cut off; left out", file));
    const Units units = units_or(options.units, Units::mm);
    const std::string json = present_study_json(summary, units), text = present_study(summary, units);
    if (!options.page.file.empty())
        write_page(json, say_study(summary), text, options.page.file, options.page.overwrite);
    write_stdout(options.json ? json : text);
    return Exit::fit;
}

}  // namespace

void setup_study(CLI::App& app, Action& action) {
    auto options = std::make_shared<StudyCommandOptions>();
    CLI::App* command = app.add_subcommand("study", "Judge many runs at once, and sum them up");
    command->add_option("FOLDER", options->folders, "folders that hold runs, at any depth")->type_name("...");
    command->add_option("--list", options->list, "a line a run, or REFERENCE tab USED; - is stdin")
        ->type_name("FILE");
    command->add_flag("--plan", options->plan, "print that list and judge nothing");
    command->add_option("--out", options->out, "write the lines to a file (to stdout)")->type_name("FILE");
    command->add_flag("--resume", options->resume, "carry on that file: what it holds is skipped");
    command->add_option("--threads", options->threads, "runs at once (as many as cores)")
        ->type_name("N")
        ->check(CLI::Range(1, 1024));
    command->add_option("--limits", options->limits, "limits of the shop (common practice)")
        ->type_name("FILE");
    add_units_option(*command, options->units, "the run; summary in mm");
    add_setup_option(*command, options->setup);
    add_reference_setup_option(*command, options->reference_setup);
    command->add_option("--summary", options->summary, "sum up lines that were written; may be repeated")
        ->type_name("FILE")
        ->allow_extra_args(false);
    command->add_flag("--json", options->json, "of a summary: one JSON object and nothing else");
    add_report_option(*command, options->page.file);
    command->add_flag("--overwrite", options->page.overwrite, "replace a file that is there");
    command->group("Commands");
    command->footer(study_examples);
    command->callback([options, &action] {
        check_study_options(*options);
        action = [options] {
            if (!options->summary.empty()) return show_summary(*options);
            return run_study(*options);
        };
    });
}

Exit run_study(const StudyCommandOptions& options) {
    std::vector<StudyItem> items = planned_items(options);
    if (options.plan) return print_plan(items);
    return judge_all(std::move(items), options);
}

}  // namespace lobewright
