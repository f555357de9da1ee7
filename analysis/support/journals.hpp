// journals.hpp: journals as swept: harmonics, runout, roundness (docs/measuring.md section 7).
#pragma once

#include <complex>
#include <string>
#include <vector>

#include "analysis/figures.hpp"
#include "analysis/run/run.hpp"
#include "analysis/support/bench_set_up.hpp"

namespace lobewright {

/// One swept journal's reading as harmonics: reading(theta) = Re sum c_n exp(-i n theta), mm, n = 0..16.
struct JournalCurve {
    std::string name;
    double z_mm = 0.0;
    bool in_v_block = false;
    double v_angle_deg = 0.0;
    double indicator_deg = 0.0;  // where the tip stood, from the V-block's bisector
    std::vector<std::complex<double>> reading;
    double noise_mm = 0.0;   // standard deviation of each harmonic's real and imaginary part
    double wander_mm = 0.0;  // the same, of the rig's slow wander, in the first harmonic
    std::vector<std::string> notes;
};

/// A harmonic that a V-block shows smaller than this would be divided by too little to trust: it counts as hidden.
inline constexpr double least_seen = 0.3;

/// Whether harmonic n of this journal can be told from its reading.
bool is_seen(const JournalCurve& journal, std::size_t n);

/// Harmonics of every journal that was swept, in run.toml order. Throws DataError naming the journal when its
/// sweep doesn't cover a turn.
std::vector<JournalCurve> journal_curves(const Run& run, const BenchSetUp& set_up = {});

/// The journal's own form: its harmonics from n = 2 on with the V-block's motion taken out, mm; hidden ones are zero.
/// `axis` takes the V-blocks' motion out of a journal that hangs between them.
class AxisMotion;
std::vector<std::complex<double>> journal_form(const JournalCurve& journal, const AxisMotion& axis);

/// Values on `points` angles round the turn of Re sum c_n exp(-i n theta), n from `first` on.
std::vector<double> harmonics_on_grid(const std::vector<std::complex<double>>& harmonics, std::size_t first,
                                      std::size_t points);

/// Runout as swept and out-of-roundness of the journal's own form. Harmonics that the V-block hides are left out and
/// named in the curve's notes.
JournalFigures journal_figures(const JournalCurve& journal, const AxisMotion& axis, double error_limit_mm);

}  // namespace lobewright
