#include "analysis/datum/datum_findings.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "analysis/constants.hpp"
#include "analysis/errors.hpp"
#include "analysis/lobe/lobe_alone.hpp"
#include "analysis/prepared_run.hpp"
#include "analysis/sweep/clean_sweep.hpp"
#include "analysis/units.hpp"

namespace lobewright {
namespace {

constexpr double journal_taper_u_mm = 0.0005;  // common practice, no source
constexpr std::size_t journal_bins =
    36;  // rests and slow stretches shan't count for more than the rest of the turn

/// Mean, and the standard uncertainty of it from the scatter; none from a single value.
struct Mean {
    double value = 0.0;
    double u = 0.0;
};
Mean mean_of(const std::vector<double>& values) {
    Mean out;
    const auto n = static_cast<double>(values.size());
    for (const double v : values) out.value += v / n;
    double squares = 0.0;
    for (const double v : values) squares += (v - out.value) * (v - out.value);
    if (values.size() > 1) out.u = std::sqrt(squares / (n - 1.0) / n);
    return out;
}

double span_mm(const Run& run) {
    return run.rig.rear_z_mm - run.rig.front_z_mm;
}

/// Rear less front on a lobe's heel, and the readings' own standard uncertainty of it.
Mean heel_difference(const LobeView& view) {
    Influence influence;
    influence.used.circle[0] = {-1.0, 0.0, 0.0};
    influence.used.circle[1] = {1.0, 0.0, 0.0};
    return {view.shape.rear_circle.c0 - view.shape.front_circle.c0,
            view.all.terms(influence).expanded() / normal_95};
}

/// Rear less front of one sweep of a journal, mean over the turn.
double journal_difference(const CleanSweep& sweep) {
    std::array<double, journal_bins> sum{}, count{};
    const auto& s = sweep.samples;
    for (std::size_t i = 0; i < s.size(); ++i) {
        const double turn = s.angle_rad[i] / (2.0 * std::numbers::pi);
        const auto bin =
            std::min(static_cast<std::size_t>((turn - std::floor(turn)) * journal_bins), journal_bins - 1);
        sum[bin] += s.readings[i] * (s.rear_mm[i] - s.front_mm[i]);
        count[bin] += s.readings[i];
    }
    double total = 0.0, bins = 0.0;
    for (std::size_t b = 0; b < journal_bins; ++b) {
        if (count[b] == 0.0) continue;
        total += sum[b] / count[b];
        bins += 1.0;
    }
    return total / bins;
}

std::string doubt(const Run& run, const DatumEstimate& found) {
    const double off = found.rear_minus_front_mm - run.datum->rear_minus_front_mm;
    const double u = std::hypot(found.u_mm, run.datum->u_mm);
    if (std::abs(off) <= 2.0 * u) return {};
    return fmt::format(
        "the front-to-rear zero may have drifted: by the {} it is {:.4f} +/- {:.4f} mm, not {:.4f} mm; take "
        "it again",
        found.source, found.rear_minus_front_mm, normal_95 * found.u_mm, run.datum->rear_minus_front_mm);
}

}  // namespace

DatumEstimate datum_end_for_end(const Run& run, const Run& turned, const BenchSetUp& set_up) {
    if (span_mm(run) * span_mm(turned) >= 0.0) {
        throw DataError(
            fmt::format("{}: front_z and rear_z stand as in {}; in the run of the turned cam the front "
                        "indicator reads nearer the "
                        "cam's rear: give it the larger z",
                        (turned.folder / "run.toml").string(), run.folder.string()));
    }
    const auto prepared = prepare_runs({{&run, set_up}, {&turned, set_up}}, 0);
    std::vector<double> zeros;
    double readings_u = 0.0;
    for (std::size_t i = 0; i < run.lobes.size(); ++i) {
        const Lobe* other = find_lobe(turned, run.lobes[i].name);
        if (other == nullptr) continue;
        const auto j = static_cast<std::size_t>(other - turned.lobes.data());
        const LobeAlone one(*prepared[0].curves[i], run.lobes[i], run),
            two(*prepared[1].curves[j], *other, turned);
        const Mean here = heel_difference(one.view()), there = heel_difference(two.view());
        const double a = span_mm(run), b = span_mm(turned);
        zeros.push_back((there.value * a - here.value * b) / (a - b));
        readings_u = std::max(readings_u, std::hypot(there.u * a, here.u * b) / std::abs(a - b));
    }
    if (zeros.empty()) {
        throw DataError(fmt::format("{} and {} have no lobe in common; sweep the same lobes both ways round",
                                    run.folder.string(), turned.folder.string()));
    }
    const Mean mean = mean_of(zeros);
    return {"cam turned end for end", mean.value,
            std::max(mean.u, readings_u / std::sqrt(static_cast<double>(zeros.size())))};
}

std::optional<DatumEstimate> datum_by_journals(const Run& run) {
    std::vector<double> differences;
    for (const Sweep& sweep : run.sweeps) {
        const bool journal = std::any_of(run.journals.begin(), run.journals.end(),
                                         [&](const Journal& j) { return j.name == sweep.of; });
        if (!journal || sweep.front_mm.empty() || sweep.rear_mm.empty()) continue;
        differences.push_back(journal_difference(clean_sweep(sweep, run.rig)));
    }
    if (differences.empty()) return std::nullopt;
    const Mean mean = mean_of(differences);
    return DatumEstimate{"journals", mean.value, std::hypot(mean.u, journal_taper_u_mm)};
}

std::optional<DatumEstimate> datum_by_lobes(const Run& run, const std::vector<LobeFigures>& lobes) {
    const bool unworn = run.info.condition == Condition::as_new || run.info.condition == Condition::before;
    if (!run.datum || !unworn) return std::nullopt;
    std::vector<double> to_rear, to_front;
    for (std::size_t i = 0; i < lobes.size(); ++i) {
        // On the heel, near the reading that the datum was taken at: the indicators' own error is in both. As rear less
        // front between the tips.
        const double between = lobes[i].taper.base_mm.value * span_mm(run) / run.lobes[i].width_mm;
        (between > 0.0 ? to_rear : to_front).push_back(between);
    }
    if (to_rear.size() < 2 || to_front.size() < 2) return std::nullopt;
    const Mean rear = mean_of(to_rear), front = mean_of(to_front);
    // Both kinds hold the same error with the same sign, and the same taper with opposite ones.
    return DatumEstimate{"lobes ground to either side",
                         run.datum->rear_minus_front_mm + 0.5 * (rear.value + front.value),
                         0.5 * std::hypot(rear.u, front.u)};
}

std::vector<std::string> datum_doubts(const Run& run, const std::vector<LobeFigures>& lobes) {
    std::vector<std::string> out;
    if (!run.datum) return out;
    for (const auto& found : {datum_by_journals(run), datum_by_lobes(run, lobes)}) {
        if (!found) continue;
        auto text = doubt(run, *found);
        if (!text.empty()) out.push_back(std::move(text));
    }
    return out;
}

}  // namespace lobewright
