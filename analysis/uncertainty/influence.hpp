// influence.hpp: how a figure's uncertainty follows from the curves it is read off (GUM, JCGM 100:2008, from
// memory).
//
// A figure y is linearised as  y = sum over runs and edges of  w_c . L_c(grid) + p_c . circle_c,  L_c the
// displacement above the base circle at indicator c, circle_c its (c0, a, b). From the weights follow
//   noise       covariance of the smoothing spline, each indicator's own part
//   encoder     the same, the part that the encoder's rounding gives both; and the encoder's error, where its limit is
//               stated, as a smooth function of the turn times the slope
//   indicator   each indicator's unknown smooth error within +/- its limit: e(r) of the reading r, variance
//               limit^2/3; it swings, about once over the lift (indicator_correlation)
//   step        the indicator's step where its noise is too small to average it out
//   smoothing   what the spline's smoothing takes off, to first order
//   table       what may hide between the rows of a sparse table
//   datum       the front-to-rear zero
//   drift       slow wander of both indicators together, and of each its own way: a random walk through all that is
//               linear on the way to the curve (slow_walk.hpp)
//   passes      level of rear minus front from pass to pass
//   form        the heel's own form, carried over to the lobe with the circle that is fitted to it: what a figure
//               moves by when the form is shifted round along the heel, less what noise does; the same form in both
//               runs cancels
//   support     what the V-blocks move the axis by where that isn't measured; alike in both runs, it cancels
//   temperature growth of the cam between the runs
#pragma once

#include <array>
#include <complex>
#include <memory>
#include <optional>
#include <vector>

#include "analysis/lobe/lobe_on_grid.hpp"
#include "analysis/measured.hpp"
#include "analysis/run/run.hpp"
#include "analysis/uncertainty/indicator_model.hpp"
#include "analysis/uncertainty/terms.hpp"

namespace lobewright {

/// Weights of one figure on one run's curves; [0] front, [1] rear. Empty vectors weigh nothing.
struct CurveWeights {
    std::array<std::vector<double>, 2> lift;        // on the displacement above the base circle
    std::array<std::array<double, 3>, 2> circle{};  // on (c0, a, b)

    /// Adds `factor` times weights on the curve at a place along z.
    void add(EdgeMix mix, const std::vector<double>& weights, double factor);
};

/// Weights of one figure on both runs.
struct Influence {
    CurveWeights used;
    CurveWeights reference;
    double datum = 0.0;               // on the front-to-rear zero of the used run
    bool freed_of_smoothing = false;  // the figure had what the smoothing took given back
    double shape_variance = 0.0;      // of a bias that the figure's own estimate may hold, mm^2
    /// Adds `factor` times another influence.
    void add(const Influence& other, double factor);
};

/// What both runs have alike, gathered with its sign before it is squared.
struct CommonCauses {
    std::vector<std::complex<double>> axis;  // harmonics of the weights times the axis' doubt, mm
    std::vector<double> form_mm;  // the figure's change for each shift of the heel's form along the arc
    double form_noise = 0.0;      // mean square of form_mm that noise alone gives, mm^2
    double smoothing_mm = 0.0;
    double drift_spread = 0.0;  // squared drift variances over their degrees of freedom, mm^4
};

/// A figure's weights gathered by the reading that they fall on.
struct ReadingBins {
    std::array<double, 33> weight{};
    double step_mm = 0.0;
};

/// One run's part: its curve, its shape on the grid, and its rig.
class RunUncertainty {
public:
    /// The referenced objects must outlive this one. `offset_rad` is the one the shape was made with.
    RunUncertainty(const LobeCurve& curve, const LobeOnGrid& shape, const SinusoidFit& heel,
                   const RigInfo& rig, double offset_rad);

    /// Adds this run's terms for a figure of the given weights: variances into the squares of `terms`, what the other
    /// run may have alike into `common`. Where smoothing_taken was added to the figure, `freed_of_smoothing`: it has the
    /// noise of the curve that is hardly smoothed.
    void add_terms(const CurveWeights& weights, UncertaintyTerms& squares, CommonCauses& common,
                   bool freed_of_smoothing = false) const;

    /// Variance of a figure of these weights from what scatters from reading to reading alone: noise and the encoder's
    /// rounding. A small part of the time of add_terms.
    [[nodiscard]] double scatter_variance(const CurveWeights& weights) const;

    /// What the smoothing took off a figure of these weights, to be added to it: the same figure of a curve smoothed a
    /// thousandth as much, less this one's. For weights that average over some degrees: it is their own averaging that
    /// keeps the noise down then.
    [[nodiscard]] double smoothing_taken(const CurveWeights& weights) const;

    /// How much lift a figure of these weights holds: the sum of the weights times the displacement.
    [[nodiscard]] double lift_in(const CurveWeights& weights) const;

    /// Standard deviation of the noise of the curve's values at the mixes of two edges, at a grid position.
    [[nodiscard]] std::array<double, 2> noise_at(double position, const std::array<EdgeMix, 2>& mixes) const;

    /// Harmonics, in the reading, of what the indicators' step leaves, and that step.
    [[nodiscard]] const std::array<double, rounding_count>& rounding() const { return rounding_; }
    [[nodiscard]] double step_mm() const { return step_mm_; }

private:
    const LobeCurve& curve_;
    const LobeOnGrid& shape_;
    const SinusoidFit& heel_;
    double offset_rad_;
    double limit_mm_;
    std::array<double, rounding_count> rounding_;
    double step_mm_;
    double travel_mm_;
    std::array<std::vector<double>, 2> bias_;   // what the curves' coefficients leave out of the shape
    SplineSolver sharp_;                        // smooths hardly at all
    std::array<std::vector<double>, 2> taken_;  // coefficients of hardly smoothed curves less the curves' own
    // Where the indicators may have stood before they were rounded: on the heel the curve itself has their steps in it, and
    // its circle is known no better than to a part of one. Empty where no step shows.
    std::array<std::vector<std::vector<double>>, 2> before_step_;
    std::vector<double> white_root_, angle_root_;
    std::array<std::vector<double>, 2> form_;  // mean of the heel's form in blocks along its arc
    std::array<double, 2> form_noise_{};       // variance of a block's mean

    /// Noise and the encoder's rounding of coefficient weights x = A^-1 l, edge by edge.
    void add_noise(const std::array<std::vector<double>, 2>& x, UncertaintyTerms& squares) const;
    [[nodiscard]] std::vector<double> coefficient_weights(const std::vector<double>& grid_weights) const;
    [[nodiscard]] ReadingBins by_reading(const std::vector<double>& weights,
                                         const std::vector<double>& reading) const;
    void look_at_form();
    void add_form(std::size_t edge, const std::vector<double>& heel_weights, CommonCauses& common) const;
    void add_drift(const std::vector<double>& together, const std::vector<double>& apart,
                   UncertaintyTerms& squares, CommonCauses& common) const;
    void add_axis_doubt(const std::vector<double>& together, CommonCauses& common) const;
    /// What the encoder's error gives a figure whose weights on the readings are these.
    [[nodiscard]] double encoder_variance(const std::array<std::vector<double>, 2>& weights) const;
    [[nodiscard]] double indicator_variance(const ReadingBins& bins) const;
    /// What the step leaves of a figure: its harmonics in the reading, of unknown phase.
    [[nodiscard]] double rounding_variance(std::size_t edge, const std::vector<double>& weights) const;
    [[nodiscard]] double rounding_variance_at(const std::vector<double>& weights,
                                              const std::vector<double>& reading) const;
    [[nodiscard]] std::vector<std::vector<double>> readings_before_step(std::size_t edge) const;
};

/// Both runs and what stands between them.
struct LobeUncertainty {
    const RunUncertainty* used = nullptr;
    const RunUncertainty* reference = nullptr;  // none for a run alone
    double datum_u_mm = 0.0;
    double temperature_step_k = 0.0;  // half-width of what the runs' temperatures may differ by

    std::vector<BudgetLine>* budget = nullptr;  // where figures leave their terms, if anywhere

    [[nodiscard]] UncertaintyTerms terms(const Influence& influence) const;

    /// A figure with its u95; its terms go to the budget under `name`. `unit` is the figure's unit in that of
    /// the influence (degrees in a grid step, say).
    [[nodiscard]] Measured figure(const char* name, double value, const Influence& influence,
                                  double unit = 1.0) const;
    [[nodiscard]] Measured figure(const char* name, double value, const UncertaintyTerms& terms) const;
};

}  // namespace lobewright
