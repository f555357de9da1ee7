// axis_motion.hpp: what the V-blocks do to the cam's axis as it turns, where that was measured and where it wasn't
// (docs/measuring.md section 7).
#pragma once

#include <complex>
#include <string>
#include <vector>

#include "analysis/run/run.hpp"
#include "analysis/support/bench_set_up.hpp"
#include "analysis/support/journals.hpp"

namespace lobewright {

/// Motion of the cam's axis toward the indicator, mm: the V-blocks' journals' motion, linear along z. A journal that
/// wasn't swept counts as still, with a note; a cam between centres doesn't move.
class AxisMotion {
public:
    AxisMotion() = default;
    AxisMotion(const Run& run, const std::vector<JournalCurve>& journals, const BenchSetUp& set_up,
               std::vector<std::string>& notes);

    /// Whether any of it is known.
    [[nodiscard]] bool known() const { return !near_.motion.empty() || !far_.motion.empty(); }
    [[nodiscard]] double at(double z_mm, double theta_rad) const;
    /// Harmonic n of the motion at z; zero where it isn't known.
    [[nodiscard]] std::complex<double> harmonic(double z_mm, std::size_t n) const;

    /// What isn't known of the motion at z: standard deviation, mm, of the cosine and the sine part of each harmonic.
    /// Harmonics that a V-block hides are as large as their neighbours; a journal that wasn't swept is taken to be out
    /// of round by the set-up's journal_roundness_mm, halving from one harmonic to the next. Empty between centres.
    [[nodiscard]] std::vector<double> doubt_mm(double z_mm) const;

private:
    /// One V-block's journal.
    struct Support {
        double z_mm = 0.0;
        std::vector<std::complex<double>> motion;
        std::vector<double> doubt_mm;
    };
    static Support measured(const JournalCurve& journal);
    static Support assumed(const Journal& journal, const BenchSetUp& set_up);
    [[nodiscard]] double share(double z_mm) const { return (z_mm - near_.z_mm) / (far_.z_mm - near_.z_mm); }

    Support near_, far_;  // of the front and of the rear V-block
};

}  // namespace lobewright
