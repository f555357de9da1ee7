// Uncertainty carried from curves to figures: against Monte Carlo with known noise, and its own arithmetic.
#include "analysis/uncertainty/influence.hpp"

#include <cmath>
#include <utility>
#include <vector>

#include <catch2/catch.hpp>

#include "../analysis/made_run.hpp"
#include "analysis/compare.hpp"
#include "analysis/lobe/legs.hpp"
#include "analysis/lobe/lobe_on_grid.hpp"
#include "analysis/sweep/clean_sweep.hpp"
#include "rig/model/random.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

constexpr LobeGeometry geometry{-4.0, 4.0, 12.0};
constexpr double nose = 360.0, flank = 290.0;  // grid positions: nose at 180 degrees, mid-flank at 145

double lobe_mm(double rad, double) {
    const double x = 1.0 - std::fabs(from_nose_deg(rad, 180.0)) / 70.0;
    return x > 0.0 ? 6.0 * x * x * x * (10.0 + x * (-15.0 + 6.0 * x)) : 0.0;
}

/// One lobe's curve and what its figures need.
struct Fitted {
    Run run;
    LobeCurve curve;
    SinusoidFit heel;
    LobeOnGrid shape;

    explicit Fitted(Run from)
        : run(std::move(from)),
          curve(fit_lobe_curve("1E", {clean_sweep(run.sweeps.at(0), run.rig)}, run.rig)),
          heel(grid_points, GridArc{510, 420}),  // from 255 over 0 to 104.5 degrees
          shape(lobe_on_grid(curve, 0.0, heel)) {}

    [[nodiscard]] UncertaintyTerms terms(const Influence& influence) const {
        const RunUncertainty part(curve, shape, heel, run.rig, 0.0);
        return LobeUncertainty{&part, nullptr, 0.0, 0.0}.terms(influence);
    }
};

Influence at_place(EdgeMix mix, double position, double factor = 1.0) {
    Influence influence;
    influence.used.add(mix, point_weights(position), factor);
    return influence;
}

Influence front_less_rear(double position) {
    Influence influence = at_place({1.0, 0.0}, position);
    influence.add(at_place({0.0, 1.0}, position), -1.0);
    return influence;
}

/// The run as counts of a coarse encoder: the readings are those of the true angle, anywhere within the count.
Run on_counts(std::int64_t counts_per_rev, double noise_mm, std::uint64_t seed) {
    Run run = made_run(lobe_mm);
    run.rig.counts_per_rev = counts_per_rev;
    Sweep& sweep = run.sweeps.at(0);
    sweep.angle_deg.clear();
    sweep.front_mm.clear();
    sweep.rear_mm.clear();
    Random random(seed);
    for (std::int64_t count = 0; count < counts_per_rev; ++count) {
        const double true_count = static_cast<double>(count) + random.uniform(-0.5, 0.5);
        const double rad = 360.0 * degree * true_count / static_cast<double>(counts_per_rev);
        sweep.count.push_back(count);
        sweep.front_mm.push_back(lobe_mm(rad, -4.0) + noise_mm * random.normal());
        sweep.rear_mm.push_back(lobe_mm(rad, 4.0) + noise_mm * random.normal());
    }
    return run;
}

/// Standard deviation of a figure over seeds, and the mean of its stated noise, the encoder's included.
struct Scatter {
    double found = 0.0;
    double stated = 0.0;
};

template <typename MakeRun, typename Figure>
Scatter scatter(const MakeRun& make, const Figure& figure, const Influence& influence) {
    constexpr int runs = 200;
    double sum = 0.0, squares = 0.0, stated = 0.0;
    for (int seed = 1; seed <= runs; ++seed) {
        const Fitted fitted(make(static_cast<std::uint64_t>(seed)));
        const double value = figure(fitted.shape);
        sum += value;
        squares += value * value;
        const auto terms = fitted.terms(influence);
        stated += std::hypot(terms.noise, terms.encoder) / runs;
    }
    return {std::sqrt(squares / runs - sum * sum / (runs * runs)), stated};
}

constexpr double monte_carlo = 0.2;  // 4/sqrt(2 x 200)

constexpr std::size_t intervals = 720;

/// Three legs whose means scatter `times` as much as their weights promise, independently.
Legs scattering(double times) {
    constexpr double sigma = 3e-4;
    Random random(17);
    Legs legs;
    legs.intervals = intervals;
    for (std::size_t leg = 0; leg < 3; ++leg) {
        legs.pass_of.push_back(leg);
        std::vector<LegBin> bins(intervals);
        for (LegBin& bin : bins) {
            bin.weight = 1.0 / (sigma * sigma);
            bin.front = bin.weight * random.normal() * times * sigma;
            bin.rear = bin.weight * random.normal() * times * sigma;
        }
        legs.bins.push_back(bins);
    }
    return legs;
}

}  // namespace

TEST_CASE("what scatters alone is noise and the encoder's rounding of the whole budget", "[influence]") {
    const Fitted fitted(on_counts(1440, 3e-4, 5));
    const RunUncertainty part(fitted.curve, fitted.shape, fitted.heel, fitted.run.rig, 0.0);
    std::vector<Influence> figures{at_place(geometry.mid(), nose), at_place(geometry.front_edge(), flank),
                                   front_less_rear(flank)};
    figures.front().add(at_place(geometry.mid(), flank), -0.5);
    for (const Influence& figure : figures) {
        const auto terms = fitted.terms(figure);
        CHECK(part.scatter_variance(figure.used) ==
              Approx(terms.noise * terms.noise + terms.encoder * terms.encoder).epsilon(1e-9));
    }
}

TEST_CASE("noise of the lift as stated is what it scatters by", "[influence]") {
    const auto make = [](std::uint64_t seed) {
        return made_run(lobe_mm, {.step_deg = 0.1, .noise_mm = 5e-4, .seed = seed});
    };
    for (const double place : {nose, flank}) {
        for (const EdgeMix mix : {geometry.mid(), geometry.front_edge()}) {
            const auto found = scatter(
                make, [&](const LobeOnGrid& s) { return value_at(mixed(s, mix), place); },
                at_place(mix, place));
            CAPTURE(place, mix.front, found.found, found.stated);
            CHECK(found.stated == Approx(found.found).epsilon(monte_carlo));
        }
    }
}

TEST_CASE("a coarse encoder's rounding is counted on the flank and not on the heel", "[influence]") {
    // 3600 counts on a slope of 9.2 mm/rad: 4.6 um a reading, against 0.2 um of noise.
    const auto make = [](std::uint64_t seed) { return on_counts(3600, 2e-4, seed); };
    const auto mid = geometry.mid();
    const auto on_flank = scatter(
        make, [&](const LobeOnGrid& s) { return value_at(mixed(s, mid), flank); }, at_place(mid, flank));
    CAPTURE(on_flank.found, on_flank.stated);
    CHECK(on_flank.stated == Approx(on_flank.found).epsilon(monte_carlo));
    const auto at_nose = scatter(
        make, [&](const LobeOnGrid& s) { return value_at(mixed(s, mid), nose); }, at_place(mid, nose));
    CHECK(on_flank.found > 3.0 * at_nose.found);
    CHECK(on_flank.stated > 3.0 * at_nose.stated);
}

TEST_CASE("front and rear share the encoder's rounding: it cancels in the taper", "[influence]") {
    const auto make = [](std::uint64_t seed) { return on_counts(3600, 2e-4, seed); };
    const auto found = scatter(
        make, [](const LobeOnGrid& s) { return value_at(s.front, flank) - value_at(s.rear, flank); },
        front_less_rear(flank));
    CAPTURE(found.found, found.stated);
    CHECK(found.stated == Approx(found.found).epsilon(monte_carlo));
    const Fitted fitted(make(1));
    CHECK(found.stated < 0.3 * fitted.terms(at_place(geometry.mid(), flank)).encoder);
}

TEST_CASE("terms are linear in the figure's weights", "[influence]") {
    Run run = made_run(lobe_mm, {.step_deg = 0.1, .noise_mm = 5e-4, .seed = 1});
    run.rig.error_limit_mm = 0.002;
    const Fitted fitted(run);
    const auto once = fitted.terms(at_place(geometry.mid(), nose));
    const auto thrice = fitted.terms(at_place(geometry.mid(), nose, -3.0));
    CHECK(thrice.noise == Approx(3.0 * once.noise));
    CHECK(thrice.indicator == Approx(3.0 * once.indicator));
    CHECK(thrice.smoothing == Approx(3.0 * once.smoothing));
    CHECK(thrice.drift == Approx(3.0 * once.drift));
    Influence none = at_place(geometry.mid(), nose);
    none.add(at_place(geometry.mid(), nose), -1.0);
    CHECK(fitted.terms(none).combined() == Approx(0.0).margin(1e-12));
    CHECK(once.indicator > 0.0);
    CHECK(once.noise > 0.0);
}

TEST_CASE("a datum's uncertainty enters as its weight says", "[influence]") {
    const Fitted fitted(made_run(lobe_mm, {.step_deg = 0.1, .noise_mm = 5e-4, .seed = 1}));
    const RunUncertainty part(fitted.curve, fitted.shape, fitted.heel, fitted.run.rig, 0.0);
    Influence influence;
    influence.datum = -1.5;
    CHECK(LobeUncertainty{&part, nullptr, 0.0004, 0.0}.terms(influence).datum == Approx(0.0006));
}

TEST_CASE("an indicator's errors at close readings are nearly one, at far ones two", "[influence]") {
    const double travel = indicator_travel_mm(6.0);
    CHECK(indicator_correlation(0.0, travel) == 1.0);
    CHECK(indicator_correlation(0.06, travel) > 0.99);
    // Half way up the error stands the other way: cos(0.75 pi) sin(0.45 pi)/(0.45 pi) by hand.
    CHECK(indicator_correlation(3.0, travel) == Approx(-0.70711 * 0.98769 / 1.41372).epsilon(1e-4));
    CHECK(indicator_correlation(-3.0, travel) == Approx(-0.70711 * 0.98769 / 1.41372).epsilon(1e-4));
    CHECK(indicator_correlation(6.0, travel) == Approx(0.0).margin(1e-12));
    // so that lift, read over all of its range, carries two errors, and the slope of a small step none
    Run run = made_run(lobe_mm, {.step_deg = 0.1, .noise_mm = 5e-4, .seed = 1});
    run.rig.error_limit_mm = 0.003;
    const Fitted fitted(run);
    const double u = 0.003 / std::sqrt(3.0);
    CHECK(fitted.terms(at_place({1.0, 0.0}, nose)).indicator == Approx(u * std::sqrt(2.0)).epsilon(2e-3));
    CHECK(fitted.terms(at_place({0.5, 0.5}, nose)).indicator == Approx(u).epsilon(2e-3));
    Influence step = at_place({1.0, 0.0}, flank);
    step.add(at_place({1.0, 0.0}, flank + 0.5), -1.0);
    CHECK(fitted.terms(step).indicator < 0.1 * u);
}

TEST_CASE("legs that scatter more or less than promised say by how much", "[legs]") {
    const std::vector<char> everywhere(intervals, 1);
    CHECK(correlation_factor(scattering(1.4), everywhere, 0.5) == Approx(1.96).epsilon(0.06));
    CHECK(correlation_factor(scattering(1.0), everywhere, 0.5) == Approx(1.0).epsilon(0.06));
    CHECK(correlation_factor(scattering(0.85), everywhere, 0.5) == Approx(0.7225).epsilon(0.06));
    // No less than what is believed at most.
    CHECK(correlation_factor(scattering(0.3), everywhere, 0.5) == 0.5);
    CHECK(correlation_factor(scattering(0.85), everywhere, 1.0) == 1.0);
}

TEST_CASE("where few turns lie over each other, legs say little", "[legs]") {
    std::vector<char> somewhere(intervals, 0);
    for (std::size_t k = 100; k < 104; ++k) somewhere[k] = 1;  // twelve degrees of freedom
    const double factor = correlation_factor(scattering(0.3), somewhere, 0.5);
    CHECK(factor > 0.6);
    CHECK(factor < 0.75);
    CHECK(correlation_factor(scattering(0.3), std::vector<char>(intervals, 0), 0.5) == 1.0);
}
