#include "rig/session/session_note.hpp"

#include <array>
#include <utility>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/run.hpp"
#include "analysis/toml_file.hpp"

namespace lobewright {

namespace {

constexpr std::array<std::pair<SessionDoes, std::string_view>, 7> words{{{SessionDoes::opens, "opens"},
                                                                         {SessionDoes::begins, "begins"},
                                                                         {SessionDoes::ends, "ends"},
                                                                         {SessionDoes::drops, "drops"},
                                                                         {SessionDoes::kept, "kept"},
                                                                         {SessionDoes::aside, "aside"},
                                                                         {SessionDoes::closes, "closes"}}};

std::string_view word_of(SessionDoes does) {
    for (const auto& [value, text] : words)
        if (value == does) return text;
    return {};
}

/// A name in TOML's quotes; run.toml allows no control characters in names.
std::string name_in_quotes(std::string_view name) {
    std::string text = "\"";
    for (const char c : name) {
        if (c == '"' || c == '\\') text += '\\';
        text += c;
    }
    return text + '"';
}

std::string counting(const SweepPlan& plan) {
    return fmt::format("counts_per_rev = {}\ndirection = {}\nindex = {}\n", plan.counts_per_rev,
                       plan.direction, plan.index);
}

std::string whole_plan(const SweepPlan& plan) {
    std::string text = counting(plan);
    text += fmt::format("journal = {}\nunits = \"{}\"\nzero_deg = {}\n", plan.journal, word(plan.units),
                        plan.zero_deg);
    if (plan.resolution_mm) text += fmt::format("resolution_mm = {}\n", *plan.resolution_mm);
    text += fmt::format("most_gap_deg = {}\noverlap_deg = {}\nmost_back_deg = {}\n", plan.most_gap_deg,
                        plan.overlap_deg, plan.most_back_deg);
    text += fmt::format("most_doubt_deg = {}\nmost_drift_mm = {}\n", plan.most_doubt_deg, plan.most_drift_mm);
    if (plan.most_deg_per_s) text += fmt::format("most_deg_per_s = {}\n", *plan.most_deg_per_s);
    return text;
}

template <class T>
T needed(const toml::table& table, std::string_view key) {
    const auto value = table[key].value<T>();
    if (!value) throw DataError(fmt::format("the capture's note of a sweep lacks {}", key));
    return *value;
}

SweepPlan plan_in(const toml::table& table, SessionDoes does) {
    SweepPlan plan;
    if (does == SessionDoes::closes) return plan;
    if (does == SessionDoes::opens || does == SessionDoes::begins) {
        plan.counts_per_rev = needed<std::int64_t>(table, "counts_per_rev");
        plan.direction = static_cast<int>(needed<std::int64_t>(table, "direction"));
        plan.index = needed<bool>(table, "index");
        if (plan.counts_per_rev <= 0 || (plan.direction != 1 && plan.direction != -1))
            throw DataError("the capture's note of a sweep has counts_per_rev or direction out of bounds");
    }
    if (does == SessionDoes::opens) return plan;
    plan.of = needed<std::string>(table, "of");
    plan.pass = static_cast<int>(needed<std::int64_t>(table, "pass"));
    if (does != SessionDoes::begins) return plan;
    plan.journal = needed<bool>(table, "journal");
    plan.units = needed<std::string>(table, "units") == word(Units::in) ? Units::in : Units::mm;
    plan.resolution_mm = table["resolution_mm"].value<double>();
    plan.zero_deg = needed<double>(table, "zero_deg");
    plan.most_gap_deg = needed<double>(table, "most_gap_deg");
    plan.overlap_deg = needed<double>(table, "overlap_deg");
    plan.most_back_deg = needed<double>(table, "most_back_deg");
    plan.most_doubt_deg = needed<double>(table, "most_doubt_deg");
    plan.most_drift_mm = needed<double>(table, "most_drift_mm");
    plan.most_deg_per_s = table["most_deg_per_s"].value<double>();
    return plan;
}

}  // namespace

std::string print_session_note(const SessionNote& note) {
    std::string text = fmt::format("sweep = \"{}\"\n", word_of(note.does));
    if (note.does == SessionDoes::opens) return text + counting(note.plan);
    if (note.does == SessionDoes::closes) return text;
    text += fmt::format("of = {}\npass = {}\n", name_in_quotes(note.plan.of), note.plan.pass);
    return note.does == SessionDoes::begins ? text + whole_plan(note.plan) : text;
}

std::optional<SessionNote> parse_session_note(std::string_view text) {
    toml::table table;
    try {
        table = parse_toml(text, "meta");
    } catch (const DataError&) {
        return std::nullopt;
    }
    const auto does = table["sweep"].value<std::string>();
    if (!does) return std::nullopt;
    for (const auto& [value, word] : words)
        if (word == *does) return SessionNote{value, plan_in(table, value)};
    throw DataError(fmt::format("the capture's note of a sweep says {}, which isn't known here", *does));
}

}  // namespace lobewright
