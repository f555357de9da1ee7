#include "analysis/repeat/repeat_figures.hpp"

#include <array>
#include <map>
#include <utility>

#include "analysis/units.hpp"

namespace lobewright {
namespace {

struct Figure {
    std::string_view key;
    std::string_view words;
    bool in_degrees;
    bool between_runs;
    Measured (*of)(const LobeFigures&);
};

using L = LobeFigures;
constexpr auto all_figures = std::to_array<Figure>({
    {"lift.used", "lift", false, true, [](const L& l) { return l.lift.used_mm; }},
    {"taper.base", "taper, base circle", false, true, [](const L& l) { return l.taper.base_mm; }},
    {"taper.opening", "taper, opening ramp", false, true, [](const L& l) { return l.taper.opening_mm; }},
    {"taper.nose", "taper, nose", false, true, [](const L& l) { return l.taper.nose_mm; }},
    {"taper.closing", "taper, closing ramp", false, true, [](const L& l) { return l.taper.closing_mm; }},
    {"wear.nose_radius.used", "nose radius", false, true,
     [](const L& l) { return l.wear.nose_radius_used_mm; }},
    {"base_circle.runout.front", "runout, front", false, false,
     [](const L& l) { return l.base_circle.runout_mm.front; }},
    {"base_circle.runout.rear", "runout, rear", false, false,
     [](const L& l) { return l.base_circle.runout_mm.rear; }},
    {"base_circle.eccentricity", "eccentricity", false, false,
     [](const L& l) { return l.base_circle.eccentricity_mm; }},
    {"nose_deg", "nose at, degrees", true, false, [](const L& l) { return l.nose_deg; }},
});

/// Known values of one figure by lobe and run.
using Cells = std::map<std::pair<std::size_t, std::size_t>, std::vector<double>>;

Cells cells_of(const Figure& figure, const MeasuredPasses& measured) {
    Cells out;
    std::map<std::pair<std::size_t, std::size_t>, double> first;
    for (const MeasuredPass& pass : measured.passes) {
        const Measured found = figure.of(pass.figures);
        if (!found.known()) continue;
        const std::pair place{pass.lobe, pass.run};
        const double zero = first.try_emplace(place, found.value).first->second;
        // An angle near the turn's end may come out on either side of it.
        out[place].push_back(figure.in_degrees ? wrapped_deg(found.value - zero) : found.value);
    }
    return out;
}

/// Takes out the lobes that lack a run.
void keep_complete_lobes(Cells& cells, std::size_t runs) {
    std::map<std::size_t, std::size_t> count;
    for (const auto& [place, values] : cells) ++count[place.first];
    std::erase_if(cells, [&](const auto& cell) { return count[cell.first.first] < runs; });
}

std::vector<LobeScatter> scatter_of(const Cells& cells, const std::vector<std::string>& names,
                                    bool in_degrees) {
    std::vector<LobeScatter> out;
    std::map<std::size_t, std::vector<LobeRun>> lobes;
    for (const auto& [place, values] : cells) lobes[place.first].push_back({0, place.second, 0, values});
    for (const auto& [lobe, runs] : lobes) {
        double sum = 0.0, count = 0.0;
        for (const LobeRun& run : runs) {
            for (const double v : run.values) sum += v;
            count += static_cast<double>(run.values.size());
        }
        out.push_back({names[lobe], in_degrees ? 0.0 : sum / count, nested_variances(runs).passes});
    }
    return out;
}

}  // namespace

std::vector<RepeatedFigure> repeated_figures(const MeasuredPasses& measured, const RunsGrouping& grouping) {
    std::vector<RepeatedFigure> out;
    for (const Figure& figure : all_figures) {
        const bool is_taper = figure.key.starts_with("taper.");
        if (figure.key == "taper.base" && !grouping.has_datum) continue;
        RepeatedFigure one;
        one.key = figure.key;
        one.words = figure.words;
        one.in_degrees = figure.in_degrees;
        one.between_runs = figure.between_runs && (grouping.tapers_compare || !is_taper);
        Cells cells = cells_of(figure, measured);
        if (one.between_runs) keep_complete_lobes(cells, grouping.operators.size());
        if (cells.empty()) continue;
        std::vector<LobeRun> data;
        for (auto& [place, values] : cells) {
            const auto [lobe, run] = place;
            // Where runs don't compare, each is a study of its own.
            data.push_back(one.between_runs ? LobeRun{lobe, run, grouping.operators[run], values}
                                            : LobeRun{data.size(), 0, 0, values});
        }
        one.variances = nested_variances(data);
        one.lobes = scatter_of(cells, measured.lobes, figure.in_degrees);
        out.push_back(std::move(one));
    }
    return out;
}

}  // namespace lobewright
