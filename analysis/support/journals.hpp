// journals.hpp: how the cam rests and how straight it is, from journal sweeps (docs/measuring.md section 7).
#pragma once

#include <complex>
#include <string>
#include <vector>

#include "analysis/figures.hpp"
#include "analysis/run/run.hpp"

namespace lobewright {

/// One swept journal's reading as harmonics: reading(theta) = Re sum c_n exp(-i n theta), mm, n = 0..16.
struct JournalCurve {
    std::string name;
    double z_mm = 0.0;
    bool in_v_block = false;
    double v_angle_deg = 0.0;
    std::vector<std::complex<double>> reading;
    double noise_mm = 0.0;   // standard deviation of each harmonic's real and imaginary part
    double wander_mm = 0.0;  // the same, of the rig's slow wander, in the first harmonic
    std::vector<std::string> notes;
};

/// Harmonics of every journal that was swept, in run.toml order. Throws DataError naming the journal when its
/// sweep doesn't cover a turn.
std::vector<JournalCurve> journal_curves(const Run& run);

/// Runout as swept and out-of-roundness with the V-block's motion taken out. Harmonics that the V-block hides
/// (|F_n| < 0.3) are left out and named in the curve's notes.
/// `axis` takes the V-blocks' motion out of a journal that hangs between them.
class AxisMotion;
JournalFigures journal_figures(const JournalCurve& journal, const AxisMotion& axis, double error_limit_mm);

/// Twice the greatest distance of any journal's axis from the line through the supported ones, from the
/// once-per-turn part of the unsupported journals' readings. Unknown (with a note) without a swept
/// unsupported journal, or when no journal in a V-block was swept.
Measured bend(const std::vector<JournalCurve>& journals, std::vector<std::string>& notes);

/// Rise of the cam's axis at z and cam angle, mm: the V-blocks' journals' motion, linear along z. Zero with a
/// note when fewer than two journals in V-blocks were swept; the note is given only when V-blocks are named
/// in the run.
class AxisMotion {
public:
    AxisMotion() = default;
    AxisMotion(const Run& run, const std::vector<JournalCurve>& journals, std::vector<std::string>& notes);

    [[nodiscard]] bool known() const { return !rise1_.empty(); }
    [[nodiscard]] double at(double z_mm, double theta_rad) const;
    /// Harmonic n of the rise at z; zero where it isn't known.
    [[nodiscard]] std::complex<double> harmonic(double z_mm, std::size_t n) const;

private:
    double z1_mm_ = 0.0;
    double z2_mm_ = 0.0;
    std::vector<std::complex<double>> rise1_;  // harmonics of the axis' rise at each support
    std::vector<std::complex<double>> rise2_;
};

}  // namespace lobewright
