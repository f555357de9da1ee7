#include "rig/model/station.hpp"

#include <algorithm>

#include "analysis/units.hpp"
#include "rig/model/tip_reading.hpp"

namespace lobewright {

namespace {

/// Adds x cos + y sin, with its change along z, as the harmonic 1 counted from zero_deg.
void add_once(HarmonicSum& sum, double zero_deg, double x, double y, double x_per_mm, double y_per_mm) {
    sum.add({1, 1.0, 0.0}, zero_deg, x, x_per_mm);
    sum.add({1, 1.0, 90.0}, zero_deg, y, y_per_mm);
}

}  // namespace

Station::Station(const CamModel& cam, const RigModel& rig, const std::string& of)
    : tip_(rig.info.tip),
      tip_radius_mm_(rig.info.tip == Tip::roller ? rig.info.tip_radius_mm.value_or(0.0) : 0.0),
      tip_z_mm_{rig.info.front_z_mm, rig.info.rear_z_mm} {
    const auto journal = std::find_if(cam.journals.begin(), cam.journals.end(),
                                      [&](const JournalModel& model) { return model.journal.name == of; });
    if (journal != cam.journals.end()) {
        set_journal(cam, rig, *journal);
    } else {
        set_lobe(cam, rig, lobe_named(cam, of));
    }
}

void Station::set_lobe(const CamModel& cam, const RigModel& rig, const LobeModel& model) {
    lobe_.emplace(model);
    lobe_zero_rad_ = rad_from_deg(model.nose_deg + rig.index_phase_deg);
    base_radius_mm_ = model.base_radius_mm;
    const double z = model.lobe.z_mm;
    const double half = 0.5 * model.lobe.width_mm;
    for (const Harmonic& harmonic : model.form)
        around_.add(harmonic, model.nose_deg + rig.index_phase_deg, 1.0);
    const SetUp& setup = rig.setup;
    add_once(around_, 0.0, setup.a_mm + setup.a_per_mm * z, setup.b_mm + setup.b_per_mm * z, setup.a_per_mm,
             setup.b_per_mm);
    const AxisOffset front = axis_offset(cam, z - half);
    const AxisOffset rear = axis_offset(cam, z + half);
    add_once(around_, rig.index_phase_deg, 0.5 * (front.x_mm + rear.x_mm), 0.5 * (front.y_mm + rear.y_mm),
             (rear.x_mm - front.x_mm) / model.lobe.width_mm, (rear.y_mm - front.y_mm) / model.lobe.width_mm);
    add_axis_motion(tip_ == Tip::flat ? around_ : motion_, cam, z, rig.index_phase_deg);
}

void Station::set_journal(const CamModel& cam, const RigModel& rig, const JournalModel& model) {
    tip_ = Tip::flat;  // form of microns on a journal reads the same under any tip
    tip_z_mm_ = {};
    add_axis_motion(around_, cam, model.journal.z_mm, rig.index_phase_deg);
    for (const Harmonic& harmonic : model.form) around_.add(harmonic, rig.index_phase_deg, 1.0);
    const AxisOffset offset = axis_offset(cam, model.journal.z_mm);
    add_once(around_, rig.index_phase_deg, offset.x_mm, offset.y_mm, 0.0, 0.0);
}

Section Station::outline(const Turned& angle) const {
    Section section = around_.at(angle);
    if (lobe_) section += lobe_->without_form(wrapped_rad(angle.rad - lobe_zero_rad_));
    return section;
}

double Station::tip_reading(const Turned& angle, const Section& outline_here, double z_mm) const {
    if (tip_ == Tip::flat) return outline_here.at(z_mm).h - base_radius_mm_;
    const auto support_at = [&](double rad) { return outline(Turned(rad)).at(z_mm); };
    const double height_mm = roller_height_mm(support_at, tip_radius_mm_, angle.rad);
    return height_mm - (base_radius_mm_ + tip_radius_mm_) + motion_.at(angle).at(z_mm).h;
}

Edges Station::readings(double run_angle_rad) const {
    const Turned angle(run_angle_rad);
    const Section here = tip_ == Tip::flat ? outline(angle) : Section{};
    return {tip_reading(angle, here, tip_z_mm_.front), tip_reading(angle, here, tip_z_mm_.rear)};
}

double Station::reading(double run_angle_rad, double z_mm) const {
    const Turned angle(run_angle_rad);
    return tip_reading(angle, tip_ == Tip::flat ? outline(angle) : Section{}, z_mm);
}

}  // namespace lobewright
