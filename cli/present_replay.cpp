#include "cli/present_replay.hpp"

#include <fmt/format.h>

#include "cli/json_figure.hpp"
#include "cli/output.hpp"
#include "cli/text_table.hpp"
#include "rig/acquisition/sweep_trouble.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

/// How the sweep ended, in a word.
std::string_view end_word(const ReplayedSweep& sweep) {
    if (sweep.cut_off) return "cut off";
    switch (sweep.taken.end) {
        case SweepEnd::whole:
            return "whole";
        case SweepEnd::stopped:
            return "stopped";
        case SweepEnd::dropped:
            return "dropped";
    }
    return {};
}

std::string sweep_words(const TakenSweep& taken) {
    std::string out;
    const std::string name = fmt::format("{} pass {}", one_line(taken.plan.of), taken.plan.pass);
    for (const std::string& mark : taken.marks) out += paragraph(fmt::format("{}: {}", name, mark), "! ");
    for (const std::string& note : taken.notes) out += paragraph(fmt::format("{}: {}", name, note), "- ");
    for (const SweepTrouble& trouble : taken.troubles)
        out += paragraph(
            fmt::format("{}: {}{}", name, trouble_words(trouble), trouble.put_right ? " (put right)" : ""),
            "- ");
    return out;
}

}  // namespace

std::string present_replay(const std::string& capture, const ReplayedCapture& replayed) {
    std::string out =
        paragraph(fmt::format("{}, taken {}: {} records", one_line(capture),
                              one_line(replayed.contents.head.wall_time), replayed.contents.records));
    std::vector<std::vector<Cell>> rows;
    for (const ReplayedSweep& sweep : replayed.sweeps) {
        const TakenSweep& taken = sweep.taken;
        rows.push_back(
            {{one_line(taken.plan.of)},
             {fmt::format("{}", taken.plan.pass)},
             {fmt::format("{}", taken.sweep.rows())},
             {std::string(end_word(sweep)), taken.marks.empty() ? Tone::good : Tone::bad},
             {taken.marks.empty() ? "nothing amiss" : fmt::format("{} marks", taken.marks.size())}});
    }
    out += rows.empty()
               ? "\nNo sweep was begun in it.\n"
               : "\n" + format_table({{"of"}, {"pass", true}, {"rows", true}, {"ended"}, {""}}, rows, false);
    std::string words;
    for (const ReplayedSweep& sweep : replayed.sweeps) words += sweep_words(sweep.taken);
    for (const std::string& note : replayed.contents.notes) words += paragraph(one_line(note), "- ");
    if (!replayed.closed) words += paragraph("the session was cut off before its end", "- ");
    return words.empty() ? out : out + "\n" + words;
}

std::string present_replay_json(const ReplayedCapture& replayed) {
    Json sweeps = Json::array();
    for (const ReplayedSweep& sweep : replayed.sweeps) {
        const TakenSweep& taken = sweep.taken;
        Json troubles = Json::array();
        for (const SweepTrouble& trouble : taken.troubles)
            troubles.push_back({{"says", trouble_words(trouble)}, {"put_right", trouble.put_right}});
        sweeps.push_back({{"of", taken.plan.of},
                          {"pass", taken.plan.pass},
                          {"rows", taken.sweep.rows()},
                          {"ended", end_word(sweep)},
                          {"marks", taken.marks},
                          {"notes", taken.notes},
                          {"troubles", troubles}});
    }
    return json_text(Json{{"format", "lobewright-replay/1"},
                          {"taken", replayed.contents.head.wall_time},
                          {"records", replayed.contents.records},
                          {"closed", replayed.closed},
                          {"notes", replayed.contents.notes},
                          {"sweeps", sweeps}});
}

}  // namespace lobewright
