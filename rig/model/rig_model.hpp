// rig_model.hpp: the rig a simulated run is taken on: what its run.toml
// says, and what it doesn't know of itself.
#pragma once

#include <optional>

#include "analysis/run/run.hpp"
#include "rig/model/random.hpp"
#include "rig/model/support.hpp"

namespace lobewright {

/// Uneven set-up: the lobes' axis off the axis of rotation, at the cam's front face and per mm towards the
/// rear. Adds (a + a_per_mm z) cos(angle) + (b + b_per_mm z) sin(angle) to readings on lobes, angle in the
/// run's cam degrees.
struct SetUp {
    double a_mm = 0.0;
    double b_mm = 0.0;
    double a_per_mm = 0.0;
    double b_per_mm = 0.0;
};

/// When a row is taken.
enum class Sampling {
    by_time,   // every 1 / rate_hz
    by_count,  // each time the encoder reaches a multiple of every_counts
    by_hand,   // a hand-taken table: every table_step_deg once round, in shuffled order, no times
};

/// How front-to-rear zero is set, when it is.
struct DatumModel {
    DatumMethod method = DatumMethod::bar;
    double u_mm = 0.0004;  // standard uncertainty; the figure in the run is off by a normal draw of it
    double bar_reading_mm =
        0.0;  // what the indicators read on the parallel; their own error there is in the datum
};

/// A rig. `info` is what the run says of it; its counts_per_rev, direction, zero, tip, indicator positions,
/// resolution and error limit are used as they stand.
struct RigModel {
    RigInfo info;
    Units units = Units::mm;  // of the run folder
    Sampling sampling = Sampling::by_time;
    double rate_hz = 120.0;
    int every_counts = 1;
    double table_step_deg = 5.0;
    bool angle_column = false;  // sweeps give cam degrees to 0.01 instead of counts; hand tables always do

    double index_phase_deg = 0.0;  // run's cam angle of the cam's own angle 0
    SetUp setup;
    std::optional<DatumModel> datum;
    Edges zero_mm;                    // what each indicator reads on the bare base radius
    double noise_mm = 0.0;            // standard deviation of white noise
    Edges drift_mm_per_min;           // from each sweep's start
    double walk_mm_per_root_min = 0;  // random walk besides, each indicator its own
    double range_mm = 12.5;           // the indicators' range, over which their errors wave
};

/// One indicator's own smooth error: limit erf(g / sqrt 2) with g = u cos(w reading) + v sin(w reading), u
/// and v normal draws. g is a standard normal deviate at any reading, and its distribution function makes of
/// it an error of which any size within the limit is as likely.
class IndicatorError {
public:
    IndicatorError() = default;

    /// w drawn for 2 to 6 half-waves over the range.
    IndicatorError(double limit_mm, double range_mm, Random& random);

    /// Error at a reading, mm.
    [[nodiscard]] double at(double reading_mm) const;

private:
    double limit_mm_ = 0.0;
    double rad_per_mm_ = 0.0;
    double cosine_ = 0.0;
    double sine_ = 0.0;
};

}  // namespace lobewright
