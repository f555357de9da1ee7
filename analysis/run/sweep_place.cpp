#include "analysis/run/sweep_place.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/message_text.hpp"

namespace lobewright {

namespace {

std::vector<std::string_view> names_in(const Run& run) {
    std::vector<std::string_view> names;
    for (const Lobe& lobe : run.lobes) names.push_back(lobe.name);
    for (const Journal& journal : run.journals) names.push_back(journal.name);
    return names;
}

/// Place of the sweep's lobe or journal in the run's order. Throws DataError when there is none.
std::size_t rank_of(const SweepText& text, const std::vector<std::string_view>& names) {
    const auto found = std::find(names.begin(), names.end(), text.sweep.of);
    if (found == names.end())
        throw DataError(fmt::format("{}: of: run.toml has no lobe or journal {}; it has {}",
                                    place(text.sweep.file, text.header.of_line), in_quotes(text.sweep.of),
                                    joined(names)));
    return static_cast<std::size_t>(found - names.begin());
}

void check_columns(const SweepText& text, const Run& run, std::size_t rank) {
    const Sweep& sweep = text.sweep;
    const std::string at = place(sweep.file, text.header.columns_line);
    const bool is_lobe = rank < run.lobes.size();
    if (is_lobe && (sweep.front_mm.empty() || sweep.rear_mm.empty()))
        throw DataError(fmt::format("{}: no column {}; a lobe's sweep needs front and rear", at,
                                    sweep.front_mm.empty() ? "front" : "rear"));
    if (sweep.by_count() && !run.rig.counts_per_rev)
        throw DataError(fmt::format(
            "{}: column count: needs counts_per_rev in [rig] of run.toml, which isn't given", at));
}

struct Placed {
    std::size_t rank = 0;
    SweepText text;
};

}  // namespace

void place_sweeps(std::vector<SweepText> sweeps, Run& run) {
    const std::vector<std::string_view> names = names_in(run);
    std::vector<Placed> placed;
    for (SweepText& text : sweeps) {
        const std::size_t rank = rank_of(text, names);
        check_columns(text, run, rank);
        placed.push_back({rank, std::move(text)});
    }
    std::stable_sort(placed.begin(), placed.end(), [](const Placed& a, const Placed& b) {
        return a.rank != b.rank ? a.rank < b.rank : a.text.sweep.pass < b.text.sweep.pass;
    });
    for (std::size_t i = 1; i < placed.size(); ++i) {
        const SweepText& first = placed[i - 1].text;
        const SweepText& second = placed[i].text;
        if (placed[i - 1].rank == placed[i].rank && first.sweep.pass == second.sweep.pass)
            throw DataError(fmt::format("{}: pass: {} has pass {} in {} already; number this one anew",
                                        place(second.sweep.file, second.header.pass_line),
                                        in_quotes(second.sweep.of), second.sweep.pass,
                                        place(first.sweep.file)));
    }
    run.sweeps.clear();
    for (Placed& entry : placed) run.sweeps.push_back(std::move(entry.text.sweep));
}

}  // namespace lobewright
