#include "analysis/lobe/lobe_view.hpp"

#include <stdexcept>

#include <fmt/format.h>

#include "analysis/errors.hpp"

namespace lobewright {
namespace {

constexpr double least_lift_mm = 0.2;  // less isn't a cam lobe, or the indicators didn't follow it

}  // namespace

LobeLandmarks lobe_landmarks(const std::string& name, const std::vector<double>& mid_lift_mm) {
    LobeLandmarks marks;
    marks.peak = peak_of(mid_lift_mm);
    if (!(marks.peak.value > least_lift_mm)) {
        throw DataError(
            fmt::format("lobe '{}': its lift is only {:.3f} mm; check that the sweep is of this lobe and "
                        "that the indicators followed it",
                        name, marks.peak.value));
    }
    try {
        marks.half = crossing(mid_lift_mm, marks.peak.at, 0.5 * marks.peak.value);
        marks.low = crossing(mid_lift_mm, marks.peak.at, 0.2 * marks.peak.value);
        marks.high = crossing(mid_lift_mm, marks.peak.at, 0.8 * marks.peak.value);
    } catch (const std::domain_error&) {
        throw DataError(
            fmt::format("lobe '{}': its lift doesn't come down to the heel on both sides of the nose; "
                        "check that the sweep is of this lobe",
                        name));
    }
    return marks;
}

CurveWeights& own_side(const LobeView& view, Influence& influence) {
    return view.reference_run ? influence.reference : influence.used;
}

}  // namespace lobewright
