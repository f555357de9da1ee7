// truth.hpp: what a measurement of simulated runs should find: every figure of a used cam against its
// reference, from the model's closed forms on a dense grid (0.1 degrees), after the definitions of the run
// and compare formats. No fit to readings is involved: noise, indicator errors, drift and counts don't enter.
#pragma once

#include <limits>
#include <string>
#include <vector>

#include "rig/model/cam_model.hpp"
#include "rig/model/rig_model.hpp"

namespace lobewright {

/// A true figure. `slack` is how far it moves with what the definitions leave open: which part of
/// the base circle is taken as its arc (up to 8 degrees less at either end, or on into a ramp
/// until it has risen 0.5 um), and whether the heel's figures count the axis' motion in the
/// V-blocks. NaN: can't be known from such runs.
struct TrueFigure {
    double value = std::numeric_limits<double>::quiet_NaN();
    double slack = 0.0;
};

/// One lobe. Lengths in mm, angles in cam degrees of the used run.
struct LobeTruth {
    std::string name;
    TrueFigure lift_reference_mm, lift_used_mm, lift_loss_mm;
    TrueFigure nose_deg, phase_shift_deg;
    TrueFigure runout_front_mm, runout_rear_mm, eccentricity_mm, form_front_mm, form_rear_mm;
    TrueFigure taper_base_mm, taper_opening_mm, taper_nose_mm,
        taper_closing_mm;  // less the base's without a datum
    TrueFigure max_depth_mm, nose_depth_mm, front_nose_depth_mm, rear_nose_depth_mm;
    TrueFigure area_mm_deg, volume_mm3, flat_arc_deg, nose_radius_reference_mm, nose_radius_used_mm;
    TrueFigure stock_to_clean_mm;
    double arc_from_deg = 0.0;  // the true base circle, up to arc_to_deg, which may pass 360
    double arc_to_deg = 0.0;
    double eccentricity_deg = 0.0;
    double max_depth_at_deg = 0.0;  // without meaning where wear is even or absent
    bool max_depth_at_rear = false;
};

/// A LobeTruth's figures with the keys that compare's JSON gives them, for tables and coverage counts.
struct LobeTruthField {
    const char* key;
    TrueFigure LobeTruth::*figure;
};
const std::vector<LobeTruthField>& lobe_truth_fields();

struct JournalTruth {
    std::string name;
    double runout_mm = 0.0;
    double out_of_round_mm = 0.0;
};

struct CamTruth {
    std::vector<LobeTruth> lobes;        // in the used cam's order
    std::vector<JournalTruth> journals;  // of the used cam
    TrueFigure stock_to_clean_mm, thrust_share, bend_mm;
};

/// Truth of `used` as swept on `used_rig` against `reference` as swept on `reference_rig`. Give the same cam
/// and rig twice for a run by itself. `flat_taper_mm` is the flat limit of the flat arc. Throws DataError
/// when a lobe of `used` isn't in `reference`, has no lift, or a cam fails check().
CamTruth true_figures(const CamModel& reference, const RigModel& reference_rig, const CamModel& used,
                      const RigModel& used_rig, double flat_taper_mm = 0.003);

/// The heel's own figures of one lobe of a run on one arc of it: from `from_deg` up to `to_deg`, which may pass 360. Only
/// runout, eccentricity and form are set. Where `axis_measured`, eccentricity and form are the lobe's own, without what
/// the axis did in the V-blocks; otherwise form is as swept too. Runout always is. Throws DataError for a lobe that the cam
/// hasn't.
LobeTruth true_heel(const CamModel& cam, const RigModel& rig, const std::string& lobe, double from_deg,
                    double to_deg, bool axis_measured);

}  // namespace lobewright
