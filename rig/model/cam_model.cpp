#include "rig/model/cam_model.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/units.hpp"

namespace lobewright {

namespace {

[[noreturn]] void refuse(const std::string& what, const std::string& name, const std::string& why) {
    throw DataError(fmt::format("cam model: {} '{}' {}", what, name, why));
}

void check_lobe(const LobeModel& model) {
    const std::string& name = model.lobe.name;
    if (!(model.lobe.width_mm > 0.0)) refuse("lobe", name, "has no width");
    if (!(model.opening_deg + model.closing_deg < 360.0))
        refuse("lobe", name, "has no heel: shorten the event");
    if (!(std::min(model.opening_deg, model.closing_deg) >= 2.0 * model.ramp_deg) || model.ramp_deg < 0.0) {
        refuse("lobe", name, "has a side shorter than twice its ramp");
    }
    for (const Harmonic& harmonic : model.form) {
        if (harmonic.n < 1) refuse("lobe", name, "has a form harmonic below 1");
    }
    const double radius_mm = least_radius_mm(model);
    if (!(radius_mm > 0.0)) {
        refuse("lobe", name,
               fmt::format("isn't convex: radius of curvature {:.3f} mm; give it less lift or a longer event",
                           radius_mm));
    }
}

/// The two journals in V-blocks in z order, or nothing.
std::vector<const JournalModel*> supported(const CamModel& cam) {
    std::vector<const JournalModel*> rests;
    for (const JournalModel& journal : cam.journals) {
        if (journal.journal.v_angle_deg) rests.push_back(&journal);
    }
    std::sort(rests.begin(), rests.end(),
              [](const auto* a, const auto* b) { return a->journal.z_mm < b->journal.z_mm; });
    return rests;
}

/// How far z lies from z1 to z2 as a share; beyond them too.
double share(double z_mm, double z1_mm, double z2_mm) {
    return (z_mm - z1_mm) / (z2_mm - z1_mm);
}

/// The bent axis off a straight one: straight from journal to journal and on past the outer ones.
AxisOffset bent_axis(const CamModel& cam, double z_mm) {
    std::vector<const JournalModel*> along;
    for (const JournalModel& journal : cam.journals) along.push_back(&journal);
    std::sort(along.begin(), along.end(),
              [](const auto* a, const auto* b) { return a->journal.z_mm < b->journal.z_mm; });
    if (along.empty()) return {};
    if (along.size() == 1) return {along[0]->bend_x_mm, along[0]->bend_y_mm};
    std::size_t right = 1;
    while (right + 1 < along.size() && along[right]->journal.z_mm < z_mm) ++right;
    const JournalModel& a = *along[right - 1];
    const JournalModel& b = *along[right];
    const double s = share(z_mm, a.journal.z_mm, b.journal.z_mm);
    return {a.bend_x_mm + s * (b.bend_x_mm - a.bend_x_mm), a.bend_y_mm + s * (b.bend_y_mm - a.bend_y_mm)};
}

}  // namespace

void check(const CamModel& cam) {
    for (const LobeModel& lobe : cam.lobes) check_lobe(lobe);
    for (const JournalModel& journal : cam.journals) {
        for (const Harmonic& harmonic : journal.form) {
            if (harmonic.n < 2)
                refuse("journal", journal.journal.name, "has a harmonic below 2; say it as bend");
        }
    }
    const auto rests = supported(cam);
    if (!rests.empty() && rests.size() != 2) {
        refuse("journal", rests[0]->journal.name, "rests in a V-block; a cam rests in two or in none");
    }
}

const LobeModel& lobe_named(const CamModel& cam, const std::string& name) {
    const auto found = std::find_if(cam.lobes.begin(), cam.lobes.end(),
                                    [&](const LobeModel& model) { return model.lobe.name == name; });
    if (found == cam.lobes.end()) refuse("lobe", name, "isn't there");
    return *found;
}

AxisOffset axis_offset(const CamModel& cam, double z_mm) {
    const AxisOffset here = bent_axis(cam, z_mm);
    const auto rests = supported(cam);
    if (rests.size() < 2) return here;
    const JournalModel& a = *rests.front();
    const JournalModel& b = *rests.back();
    const double s = share(z_mm, a.journal.z_mm, b.journal.z_mm);
    return {here.x_mm - (a.bend_x_mm + s * (b.bend_x_mm - a.bend_x_mm)),
            here.y_mm - (a.bend_y_mm + s * (b.bend_y_mm - a.bend_y_mm))};
}

void add_axis_motion(HarmonicSum& sum, const CamModel& cam, double z_mm, double zero_deg) {
    const auto rests = supported(cam);
    if (rests.size() < 2) return;
    const double z1 = rests.front()->journal.z_mm;
    const double z2 = rests.back()->journal.z_mm;
    for (const JournalModel* journal : rests) {
        const double other = journal == rests.front() ? z2 : z1;
        const double weight = share(z_mm, other, journal->journal.z_mm);
        const double weight_per_mm = 1.0 / (journal->journal.z_mm - other);
        for (const Harmonic& harmonic : journal->form) {
            const double rise = v_block_factor(harmonic.n, *journal->journal.v_angle_deg) - 1.0;
            sum.add(harmonic, zero_deg, rise * weight, rise * weight_per_mm);
        }
    }
}

double v_block_factor(int n, double v_angle_deg) {
    const double g = rad_from_deg(90.0 - v_angle_deg / 2.0);
    return 1.0 + (n % 2 == 0 ? 1.0 : -1.0) * std::cos(n * g) / std::cos(g);
}

}  // namespace lobewright
