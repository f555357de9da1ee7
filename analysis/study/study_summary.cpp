#include "analysis/study/study_summary.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace lobewright {
namespace {

// Hours from one band to the next, about doubling: few cams are measured at 20 000 hours, and many at 200.
constexpr std::array<double, 11> band_from{0.0,    50.0,   100.0,   200.0,   500.0,  1000.0,
                                           2000.0, 5000.0, 10000.0, 20000.0, 50000.0};
constexpr std::size_t most_named = 5;
// Below it wear over hours is the run-in's and the bench's error, not a rate.
constexpr double least_rate_hours = 50.0;

std::size_t band_of(double hours) {
    const auto* const above = std::upper_bound(band_from.begin(), band_from.end(), hours);
    return static_cast<std::size_t>(std::max<std::ptrdiff_t>(1, above - band_from.begin())) - 1;
}

double quantile(const std::vector<double>& sorted, double share) {
    const double at = share * static_cast<double>(sorted.size() - 1);
    const auto below = static_cast<std::size_t>(at);
    const std::size_t above = std::min(below + 1, sorted.size() - 1);
    return sorted[below] + (at - static_cast<double>(below)) * (sorted[above] - sorted[below]);
}

void count(VerdictCounts& counts, Verdict verdict) {
    ++counts.at(static_cast<std::size_t>(verdict));
}

void keep(std::vector<double>& values, const std::optional<double>& value) {
    if (value && std::isfinite(*value)) values.push_back(*value);
}

void name_worst(std::vector<std::pair<std::string, double>>& named, const std::string& path,
                double worst_mm) {
    const auto at =
        std::find_if(named.begin(), named.end(), [&](const auto& one) { return one.second < worst_mm; });
    named.insert(at, {path, worst_mm});
    if (named.size() > most_named) named.pop_back();
}

}  // namespace

Spread spread_of(std::vector<double> values) {
    if (values.empty()) return {};
    std::sort(values.begin(), values.end());
    return {values.size(), quantile(values, 0.5), quantile(values, 0.25), quantile(values, 0.75),
            values.back()};
}

void StudySummaryMaker::add(const SummaryRun& run) {
    ++summary_.runs;
    summary_.compared += static_cast<std::size_t>(run.compared);
    count(summary_.cams, run.verdict);
    std::vector<double> noses;
    for (const SummaryLobe& lobe : run.lobes) {
        count(summary_.lobes, lobe.verdict);
        Values& place = places_[{run.part, lobe.name}];
        place.kind = lobe.kind;
        count(place.verdicts, lobe.verdict);
        keep(place.z_mm, lobe.z_mm);
        keep(place.nose_mm, lobe.nose_wear_mm);
        keep(place.loss_mm, lobe.lift_loss_mm);
        keep(place.taper_mm, lobe.ramp_taper_mm);
        keep(noses, lobe.nose_wear_mm);
    }
    const Spread nose = spread_of(noses);
    const auto add_to = [&](Values& values) {
        count(values.verdicts, run.verdict);
        keep(values.hours, run.hours);
        values.nose_mm.insert(values.nose_mm.end(), noses.begin(), noses.end());
        if (nose.count == 0) return;
        values.worst_mm.push_back(nose.largest);
        if (run.hours && *run.hours >= least_rate_hours)
            values.rate_mm.push_back(1000.0 * nose.median / *run.hours);
    };
    add_to(parts_[run.part]);
    if (run.hours) add_to(hours_[band_of(*run.hours)]);
    if (nose.count > 0) name_worst(summary_.most_worn, run.path, nose.largest);
}

StudySummary StudySummaryMaker::summary() const {
    StudySummary out = summary_;
    for (const auto& [key, values] : places_) {
        const Spread z = spread_of(values.z_mm);
        out.places.push_back({key.first, key.second, values.kind,
                              z.count > 0 ? std::optional(z.median) : std::nullopt, values.verdicts,
                              spread_of(values.nose_mm), spread_of(values.loss_mm),
                              spread_of(values.taper_mm)});
    }
    std::stable_sort(out.places.begin(), out.places.end(), [](const PlaceSummary& a, const PlaceSummary& b) {
        return std::tuple(a.part, a.z_mm.value_or(0.0)) < std::tuple(b.part, b.z_mm.value_or(0.0));
    });
    for (const auto& [band, values] : hours_) {
        const double to = band + 1 < band_from.size() ? band_from.at(band + 1) : INFINITY;
        out.hours.push_back({band_from.at(band), to, values.verdicts, spread_of(values.nose_mm),
                             spread_of(values.worst_mm), spread_of(values.rate_mm)});
    }
    for (const auto& [part, values] : parts_) {
        out.parts.push_back({part, values.verdicts, spread_of(values.hours), spread_of(values.nose_mm),
                             spread_of(values.worst_mm)});
    }
    return out;
}

}  // namespace lobewright
