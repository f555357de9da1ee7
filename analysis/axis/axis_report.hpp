// axis_report.hpp: how the cam rests, how round its journals are, how straight it is, and what straightening would leave:
// everything that one run's journals and heels say of the cam's axis (docs/axis.md).
#pragma once

#include <complex>
#include <string>
#include <vector>

#include "analysis/figures.hpp"
#include "analysis/run/run.hpp"
#include "analysis/support/bench_set_up.hpp"

namespace lobewright {

/// An offset of an axis: its size and the cam angle toward which it lies; the angle means nothing where the size isn't
/// more than its u95.
struct OffsetFigure {
    Measured size_mm;
    double toward_deg = 0.0;
};

/// One harmonic of a journal's form.
struct Undulation {
    int per_turn = 0;
    Measured amplitude_mm;  // of the journal itself; unknown where the V-block hides it
    double shown = 1.0;     // what the V-block makes of it in the reading, size of F_n
};

struct JournalReport {
    std::string name;
    double z_mm = 0.0;
    bool in_v_block = false;
    double v_angle_deg = 0.0;
    JournalFigures figures;
    Measured roundness_mm;                // largest less smallest of the form below the cut-off
    OffsetFigure axis;                    // from the line that bend is counted from; nothing in a V-block
    std::vector<Undulation> undulations;  // 2, 3, ... a turn
};

struct LobeAxis {
    std::string name;
    double z_mm = 0.0;
    OffsetFigure as_swept;  // the lobe's axis off the axis of rotation
    OffsetFigure bend;      // the cam's axis there off the line
    OffsetFigure left;      // the lobe's axis off the cam's own bent axis: what straightening leaves
};

struct AxisReport {
    RunInfo run;
    Units units = Units::mm;
    bool between_centres = false;
    double cutoff_upr = 0.0;
    Measured bend_mm;
    Measured
        runout_left_mm;  // largest base-circle runout that straightening leaves: twice the largest `left`
    std::vector<JournalReport> journals;
    std::vector<LobeAxis> lobes;
    std::vector<std::string> notes;
};

struct AxisOptions {
    double cutoff_upr = 15.0;  // of the Gaussian filter, undulations a turn
    BenchSetUp set_up;
    unsigned threads = 0;
};

/// Throws what inspect_run throws, and UsageError for a cut-off that the journals' curves can't carry (1 to 50).
AxisReport axis_report(const Run& run, const AxisOptions& options = {});

}  // namespace lobewright
