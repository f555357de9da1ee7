#include "tests/coverage/card_study.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include "analysis/card/card.hpp"
#include "rig/model/example_cams.hpp"
#include "rig/model/simulate.hpp"
#include "rig/model/truth_curve.hpp"
#include "tests/coverage/random_rig.hpp"

namespace lobewright {
namespace {

using Curve = std::function<double(double)>;  // over degrees from the nose
using Figures = std::map<std::string, double>;

constexpr double fine_deg = 0.05;

/// Where f passes zero between a and b, by halving; f has unlike signs there.
double root(const Curve& f, double a, double b) {
    const bool rising = f(b) > 0.0;
    for (int i = 0; i < 60; ++i) {
        const double half = 0.5 * (a + b);
        ((f(half) > 0.0) == rising ? b : a) = half;
    }
    return 0.5 * (a + b);
}

double largest(const Curve& f, double from_deg, double to_deg) {
    double most = f(from_deg);
    for (double t = from_deg; t <= to_deg; t += fine_deg) most = std::max(most, f(t));
    return most;
}

/// The first place from `from` on, step by step, where f is no longer above zero.
double first_below(const Curve& f, double from_deg, double step_deg) {
    double t = from_deg;
    while (f(t + step_deg) > 0.0) t += step_deg;
    return root(f, t, t + step_deg);
}

/// A lobe's lift about its base circle as fitted on its heel.
Curve true_lift(const LobeModel& model) {
    const LobeShape shape(model);
    const TruthArc heel{rad_from_deg(model.nose_deg + model.closing_deg + 3.0),
                        rad_from_deg(model.nose_deg + 360.0 - model.opening_deg - 3.0)};
    const auto above = [shape, base = model.base_radius_mm](double rad) {
        return shape.section(Turned(rad)).middle.h - base;
    };
    const OncePerTurn part = once_per_turn(heel, values_over(heel, above));
    return [above, part, nose = model.nose_deg](double deg) {
        const double rad = rad_from_deg(nose + deg);
        return above(rad) - part.at(rad);
    };
}

void add_ramp(Figures& out, const Curve& lift, double way, double event_deg, const std::string& side) {
    const auto up = [&](double t) { return lift(way * (t - event_deg)); };  // t from where the event opens
    const auto slope = [&](double t) { return (up(t + 1.0) - up(t - 1.0)) / 2.0; };
    double best = 0.0, least = 1e9;
    for (double t = 5.0; t < 20.0; t += fine_deg) {
        const double change = std::fabs(slope(t + 2.0) - slope(t - 2.0)) / (up(t + 2.0) - up(t - 2.0));
        if (change < least) least = change, best = t;
    }
    const double velocity = (up(best + 2.0) - up(best - 2.0)) / 4.0;
    const double end = first_below([&](double t) { return slope(t) - 1.1 * velocity; }, 30.0, -fine_deg);
    const double begin = first_below([&](double t) { return slope(t) - 0.5 * velocity; }, best, -fine_deg);
    out["ramp." + side + ".height"] = up(end);
    out["ramp." + side + ".length_crank_deg"] = 2.0 * (end - begin);
    out["ramp." + side + ".velocity"] = velocity;
}

struct Place {
    double opens_deg = 0.0, closes_deg = 0.0;  // from the nose
};

Place crossing_of(const Curve& lift, double level_mm) {
    const auto above = [&](double deg) { return lift(deg) - level_mm; };
    return {root(above, -89.0, 0.0), root(above, 0.0, 89.0)};
}

struct LobeTruthCard {
    Figures figures;
    double nose_deg = 0.0;  // of the run's angles
    std::map<double, Place> at;
};

LobeTruthCard truth_of(const LobeModel& model, double index_phase_deg, const std::vector<double>& lifts_mm) {
    LobeTruthCard out;
    const Curve lift = true_lift(model);
    const double rad = rad_from_deg(1.0);
    const Curve velocity = [&](double t) { return (lift(t + 0.5) - lift(t - 0.5)) / rad; };
    const Curve acceleration = [&](double t) {
        return (lift(t + 2.0) - 2.0 * lift(t) + lift(t - 2.0)) / (4.0 * rad * rad);
    };
    const Curve jerk = [&](double t) {
        return std::fabs(lift(t + 4.5) - 3.0 * lift(t + 1.5) + 3.0 * lift(t - 1.5) - lift(t - 4.5)) /
               (27.0 * rad * rad * rad);
    };
    auto& f = out.figures;
    const double peak = largest(lift, -5.0, 5.0);
    const Place half = crossing_of(lift, 0.5 * peak);
    const double centre = 0.5 * (half.opens_deg + half.closes_deg);
    out.nose_deg = model.nose_deg + index_phase_deg + centre;
    f["lift"] = peak;
    f["top_deg"] = model.nose_deg + index_phase_deg + root(velocity, -10.0, 10.0);
    for (const double level : lifts_mm) out.at[level] = crossing_of(lift, level);
    const Place checking = out.at[checking_lift_mm];
    f["asymmetry_crank_deg"] = 2.0 * (checking.opens_deg + checking.closes_deg - 2.0 * centre);
    f["velocity.opening"] = largest(velocity, -89.0, 0.0);
    f["velocity.closing"] = largest([&](double t) { return -velocity(t); }, 0.0, 89.0);
    f["acceleration.greatest"] = largest(acceleration, -89.0, 89.0);
    f["acceleration.least"] = -largest([&](double t) { return -acceleration(t); }, -89.0, 89.0);
    f["jerk"] = largest(jerk, -89.0, 89.0);
    f["least_radius"] =
        -largest([&](double t) { return -(model.base_radius_mm + lift(t) + acceleration(t)); },
                 half.opens_deg, half.closes_deg);
    double area = 0.0;
    for (double t = -model.opening_deg; t < model.closing_deg; t += fine_deg)
        area += lift(t + 0.5 * fine_deg);
    f["area"] = 2.0 * fine_deg * area;
    add_ramp(f, lift, 1.0, model.opening_deg, "opening");
    add_ramp(f, lift, -1.0, model.closing_deg, "closing");
    return out;
}

void add(FigureCoverage& to, double truth, const Measured& found, bool angle = false) {
    if (!found.known()) return;
    const double off = found.value - truth, error = angle ? wrapped_deg(off) : off;
    ++to.count;
    to.inside += std::abs(error) <= found.u95;
    to.z_squares += error * error / (found.u95 * found.u95);
    to.u95_sum += found.u95;
    to.error_squares += error * error;
}

std::map<std::string, Measured> figures_of(const LobeCard& card) {
    const auto ramp = [](const RampFigures& r, const std::string& side) {
        return std::map<std::string, Measured>{{"ramp." + side + ".height", r.height_mm},
                                               {"ramp." + side + ".length_crank_deg", r.length_crank_deg},
                                               {"ramp." + side + ".velocity", r.velocity_mm_per_deg}};
    };
    std::map<std::string, Measured> all{{"lift", card.lift_mm},
                                        {"asymmetry_crank_deg", card.asymmetry_crank_deg},
                                        {"velocity.opening", card.opening_velocity},
                                        {"velocity.closing", card.closing_velocity},
                                        {"acceleration.greatest", card.greatest_acceleration},
                                        {"acceleration.least", card.least_acceleration},
                                        {"jerk", card.greatest_jerk},
                                        {"least_radius", card.least_radius_mm},
                                        {"area", card.area}};
    all.merge(ramp(card.opening_ramp, "opening"));
    all.merge(ramp(card.closing_ramp, "closing"));
    return all;
}

/// Cylinder 1's exhaust and intake lobe.
CamModel random_cam(Random& random) {
    CamModel cam = launch_engine_cam();
    cam.lobes.resize(2);
    cam.journals.clear();
    for (auto& lobe : cam.lobes) {
        lobe.taper_mm = random.uniform(0.018, 0.028) * (random.below(2) == 0 ? 1.0 : -1.0);
        lobe.lift_mm = random.uniform(4.8, 6.2);
        lobe.opening_deg += random.uniform(-2.0, 2.0);
        lobe.nose_deg += random.uniform(-1.0, 1.0);
        lobe.ramp_height_mm = random.uniform(0.03, 0.15);
        if (random.below(2) == 0) lobe.form.clear();
    }
    return cam;
}

}  // namespace

std::map<std::string, FigureCoverage> study_card_coverage(const CoverageOptions& options) {
    std::map<std::string, FigureCoverage> out;
    for (int i = 0; i < options.cams; ++i) {
        Random random(options.seed, static_cast<std::uint64_t>(i));
        const CamModel cam = random_cam(random);
        const double noise_mm = options.coarse_step ? 0.001 : random.uniform(0.0003, 0.0007);
        const RigModel rig = random_rig(options, noise_mm, random);
        HandModel hand;
        hand.mean_deg_per_s = random.uniform(10.0, 20.0);
        hand.turns_max = 2.2;
        RunPlan plan;
        plan.lobe_passes = options.passes;
        const Card card = card_of(simulate_run(cam, rig, hand, {}, plan, random.bits()));
        std::vector<LobeTruthCard> truth;
        for (std::size_t k = 0; k < 2; ++k) {
            truth.push_back(truth_of(cam.lobes[k], rig.index_phase_deg, card.lifts_mm));
            const LobeTruthCard& right = truth.back();
            const LobeCard& lobe = card.lobes[k];
            for (const auto& [key, figure] : figures_of(lobe)) add(out[key], right.figures.at(key), figure);
            add(out["nose_deg"], right.nose_deg, lobe.nose_deg.measured, true);
            add(out["top_deg"], right.figures.at("top_deg"), lobe.top_deg, true);
            for (const CardDuration& duration : lobe.durations) {
                const Place& at = right.at.at(duration.lift_mm);
                const bool low = duration.lift_mm < checking_lift_mm;
                const double nose = cam.lobes[k].nose_deg + rig.index_phase_deg;
                const std::string of = low ? "at 0.15" : "at 1.27";
                add(out["duration " + of], 2.0 * (at.closes_deg - at.opens_deg), duration.crank_deg);
                add(out["opens_deg " + of], nose + at.opens_deg, duration.opens_deg.measured, true);
                add(out["closes_deg " + of], nose + at.closes_deg, duration.closes_deg.measured, true);
            }
        }
        const CylinderCard& cylinder = card.cylinders.at(0);
        add(out["separation_deg"], truth[1].nose_deg - truth[0].nose_deg, cylinder.separation_deg, true);
        for (const CardOverlap& overlap : cylinder.overlaps) {
            const double closes = cam.lobes[0].nose_deg + truth[0].at.at(overlap.lift_mm).closes_deg;
            const double opens = cam.lobes[1].nose_deg + truth[1].at.at(overlap.lift_mm).opens_deg;
            add(out[overlap.lift_mm < checking_lift_mm ? "overlap at 0.15" : "overlap at 1.27"],
                2.0 * wrapped_deg(closes - opens), overlap.crank_deg);
        }
    }
    return out;
}

}  // namespace lobewright
