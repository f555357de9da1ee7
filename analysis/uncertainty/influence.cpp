#include "analysis/uncertainty/influence.hpp"

#include <algorithm>
#include <cmath>

#include "analysis/constants.hpp"

namespace lobewright {
namespace {

constexpr double expansion_per_k = 11e-6;  // steel 11.5e-6, grey iron 10.5e-6 (handbook values, from memory)

void accumulate(std::vector<double>& into, const std::vector<double>& from, double factor) {
    if (from.empty() || factor == 0.0) return;
    if (into.empty()) into.assign(from.size(), 0.0);
    for (std::size_t g = 0; g < from.size(); ++g) into[g] += factor * from[g];
}

}  // namespace

void CurveWeights::add(EdgeMix mix, const std::vector<double>& weights, double factor) {
    accumulate(lift[0], weights, factor * mix.front);
    accumulate(lift[1], weights, factor * mix.rear);
}

void Influence::add(const Influence& other, double factor) {
    for (std::size_t c = 0; c < 2; ++c) {
        accumulate(used.lift[c], other.used.lift[c], factor);
        accumulate(reference.lift[c], other.reference.lift[c], factor);
        for (std::size_t i = 0; i < 3; ++i) {
            used.circle[c][i] += factor * other.used.circle[c][i];
            reference.circle[c][i] += factor * other.reference.circle[c][i];
        }
    }
    datum += factor * other.datum;
    freed_of_smoothing = freed_of_smoothing && other.freed_of_smoothing;
    shape_variance += factor * factor * other.shape_variance;
}

UncertaintyTerms LobeUncertainty::terms(const Influence& influence) const {
    UncertaintyTerms squares;
    CommonCauses common;
    const bool freed = influence.freed_of_smoothing;
    used->add_terms(influence.used, squares, common, freed);
    if (reference != nullptr) reference->add_terms(influence.reference, squares, common, freed);
    UncertaintyTerms out;
    out.noise = std::sqrt(squares.noise);
    out.encoder = std::sqrt(squares.encoder);
    out.indicator = std::sqrt(squares.indicator);
    out.step = std::sqrt(squares.step);
    out.smoothing = influence.freed_of_smoothing ? 0.0 : std::abs(common.smoothing_mm);
    out.smoothing = std::hypot(out.smoothing, std::sqrt(influence.shape_variance));
    out.table = std::sqrt(squares.table);
    out.datum = std::abs(influence.datum) * datum_u_mm;
    out.passes = std::sqrt(squares.passes);
    out.drift = std::sqrt(squares.drift);
    out.drift_degrees_of_freedom =
        common.drift_spread > 0.0 ? squares.drift * squares.drift / common.drift_spread : 0.0;
    double form = 0.0;
    for (const double moved : common.form_mm)
        form += moved * moved / static_cast<double>(common.form_mm.size());
    out.form = std::sqrt(std::max(form - common.form_noise, 0.0));
    double axis = 0.0;
    for (const auto& moved : common.axis) axis += std::norm(moved);
    out.support = std::sqrt(axis);
    // The cam grows with its temperature, the lift with it; between the runs by up to the step, any size
    // equally likely.
    const double growth =
        std::max(std::abs(used->lift_in(influence.used)),
                 reference != nullptr ? std::abs(reference->lift_in(influence.reference)) : 0.0);
    out.temperature = expansion_per_k * temperature_step_k / std::sqrt(3.0) * growth;
    out.degrees_of_freedom = squares.degrees_of_freedom;
    return out;
}

Measured LobeUncertainty::figure(const char* name, double value, const Influence& influence,
                                 double unit) const {
    auto parts = terms(influence);
    for (const auto& source : uncertainty_sources) parts.*source.part *= unit;
    return figure(name, value * unit, parts);
}

Measured LobeUncertainty::figure(const char* name, double value, const UncertaintyTerms& terms) const {
    const Measured out{value, terms.expanded()};
    if (budget != nullptr) budget->push_back({name, out, terms});
    return out;
}

}  // namespace lobewright
