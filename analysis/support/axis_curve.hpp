// axis_curve.hpp: how straight the cam is: where its axis runs, as its journals show it, against the line through the
// journals that it rests on (docs/measuring.md section 7).
//
// An axis that lies off the axis of rotation by e toward the cam angle phi adds e cos(theta - phi) to the reading, which
// is held here as the complex number e exp(i phi). A journal in a V-block can't run out (F_1 = 0): it lies on the line.
// Between centres the line is the one through the two outermost journals that were swept.
// Between journals the axis is the natural cubic spline through them, the shape of a thin bar that is held there and free
// beyond (C. de Boor, "A Practical Guide to Splines", from memory).
#pragma once

#include <complex>
#include <string>
#include <vector>

#include "analysis/measured.hpp"
#include "analysis/run/run.hpp"
#include "analysis/support/journals.hpp"

namespace lobewright {

/// The axis at one journal.
struct AxisPoint {
    std::string name;
    double z_mm = 0.0;
    std::complex<double> offset_mm;  // from the line
    double u_mm = 0.0;               // standard uncertainty of its real and its imaginary part
    bool on_line = false;            // one of those that make the line
};

class AxisCurve {
public:
    AxisCurve() = default;
    /// Straight and unknown where a run names no V-blocks and fewer than three journals were swept, or names V-blocks but
    /// only one, or no further journal was swept.
    AxisCurve(const Run& run, const std::vector<JournalCurve>& journals);

    [[nodiscard]] bool known() const { return known_; }
    [[nodiscard]] bool between_centres() const { return between_centres_; }
    /// In order of z.
    [[nodiscard]] const std::vector<AxisPoint>& points() const { return points_; }

    /// Offset of the axis from the line at z, and the standard uncertainty of its parts that follows from the points'.
    [[nodiscard]] std::complex<double> at(double z_mm) const;
    [[nodiscard]] double u_mm_at(double z_mm) const;

    /// Offset of the line itself from the axis of rotation: nothing in V-blocks, what the outermost journals read between
    /// centres.
    [[nodiscard]] std::complex<double> line_at(double z_mm) const;

private:
    [[nodiscard]] std::vector<double> weights_at(double z_mm) const;

    bool known_ = false;
    bool between_centres_ = false;
    std::vector<AxisPoint> points_;
    std::complex<double> line_start_, line_per_mm_;
    double line_z_mm_ = 0.0;
    std::vector<std::vector<double>> bend_;  // second derivative at each point for a unit offset of each
};

/// Twice the greatest distance of any journal's axis from the line. Unknown, with a note, where the curve is.
Measured bend(const AxisCurve& axis, std::vector<std::string>& notes);

}  // namespace lobewright
