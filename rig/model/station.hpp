// station.hpp: one lobe or journal under the tips of a rig: what an ideal indicator would read at any cam
// angle. Knows geometry, set-up and how the cam rests; knows no noise, zero, indicator error, count or time.
#pragma once

#include <optional>
#include <string>

#include "rig/model/cam_model.hpp"
#include "rig/model/rig_model.hpp"

namespace lobewright {

class Station {
public:
    /// `of` names a lobe or a journal of the cam; throws DataError when there is none. The cam must pass
    /// check().
    Station(const CamModel& cam, const RigModel& rig, const std::string& of);

    /// Readings of the rig's two tips, mm above the bare base radius (lobe) or the bare journal, at a cam
    /// angle of the run. On a journal both stand at its own z.
    [[nodiscard]] Edges readings(double run_angle_rad) const;

    /// The reading of one tip at z_mm from mid-lobe.
    [[nodiscard]] double reading(double run_angle_rad, double z_mm) const;

private:
    void set_lobe(const CamModel& cam, const RigModel& rig, const LobeModel& model);
    void set_journal(const CamModel& cam, const RigModel& rig, const JournalModel& model);
    [[nodiscard]] Section outline(const Turned& angle) const;
    [[nodiscard]] double tip_reading(const Turned& angle, const Section& outline, double z_mm) const;

    std::optional<LobeShape> lobe_;
    double lobe_zero_rad_ = 0.0;  // run's angle at which the lobe's nose is under the tip
    Tip tip_;
    double tip_radius_mm_;
    Edges tip_z_mm_;
    double base_radius_mm_ = 0.0;
    HarmonicSum around_;  // form and the once-per-turn part, by the run's angle; a flat tip's motion too
    HarmonicSum motion_;  // of the axis in the V-blocks, along the tip: it moves a roller but not its contact
};

}  // namespace lobewright
