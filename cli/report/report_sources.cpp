#include "cli/report/report_sources.hpp"

#include "analysis/errors.hpp"

namespace lobewright {
namespace {

/// Mean of both edges as new, or as it is where there is no reference.
std::vector<double> lift_as_new(const LobeCurves& curves) {
    std::vector<double> lift_mm(curves.angle_deg.size());
    for (std::size_t i = 0; i < lift_mm.size(); ++i) {
        const double wear_mm =
            curves.wear_front_mm.empty() ? 0.0 : curves.wear_front_mm[i] + curves.wear_rear_mm[i];
        lift_mm[i] = 0.5 * (curves.front_mm[i] + curves.rear_mm[i] + wear_mm);
    }
    return lift_mm;
}

std::vector<OutlinePoint> outline_of(const LobeFigures& lobe, const Lobe& given, const CamInfo& cam) {
    const auto base_mm = given.base_diameter_mm ? given.base_diameter_mm : lobe.reference_base_diameter_mm;
    if (!base_mm || (cam.follower == Follower::roller && !cam.follower_radius_mm)) return {};
    return lobe_outline(lift_as_new(lobe.curves), 0.5 * *base_mm, cam);
}

}  // namespace

ReportSources gather_report(const Result& result, const Run* reference, const Run& used,
                            const BenchSetUp& set_up) {
    ReportSources sources;
    sources.result = &result;
    sources.used = &used;
    sources.reference = reference;
    for (std::size_t i = 0; i < result.figures.lobes.size(); ++i)
        sources.outlines.push_back(outline_of(result.figures.lobes[i], used.lobes[i], used.cam));
    try {
        Run shown = used;
        shown.units = result.units;
        ContactOptions contact;
        contact.set_up = set_up;
        sources.thrust = thrust_map(shown, contact);
        sources.stripe = stripe_report(shown, contact);
    } catch (const DataError& why) {
        // Rollers, offset tappets, a run without a front-to-rear zero: no fault of the run's.
        sources.no_contact = why.what();
    }
    return sources;
}

}  // namespace lobewright
