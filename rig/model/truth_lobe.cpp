// Notation: R and U are the lifts of reference and used at one edge, in the cam's own angle theta:
// displacement less the once-per-turn part on the base circle. shift: U(theta + shift) lies over R(theta); it
// is what wear makes of the phase shift beyond the two runs' index phases.
#include "rig/model/truth_lobe.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>

#include "analysis/units.hpp"
#include "rig/model/tip_reading.hpp"

namespace lobewright {

namespace {

constexpr double step_rad = 2.0 * std::numbers::pi / static_cast<double>(TruthCurve::nodes);

/// Follower displacement of one section of the lobe at z_mm as a curve with its derivatives; a roller's
/// second derivative isn't needed and left zero.
TruthCurve follower_curve(const LobeModel& model, const CamInfo& cam, double z_mm) {
    const LobeShape shape(model);
    const auto support_at = [&](double rad) { return shape.section(Turned(rad)).at(z_mm); };
    if (cam.follower != Follower::roller) {
        return TruthCurve([&](double rad) {
            Support s = support_at(rad);
            s.h -= model.base_radius_mm;
            return s;
        });
    }
    const double r = cam.follower_radius_mm.value_or(0.0);
    return TruthCurve([&](double rad) {
        const double theta = contact_normal_rad(support_at, r, rad);
        const Support s = support_at(theta);
        const double height = roller_centre(s, theta, r).height_mm;
        return Support{height - model.base_radius_mm - r, s.h1 * height / (s.h + r), 0.0};
    });
}

OncePerTurn heel_part(const TruthCurve& curve, const TruthArc& arc) {
    return once_per_turn(arc, values_over(arc, [&](double rad) { return curve.at(rad).h; }));
}

/// Lift curves of one run: once-per-turn part off, mean of the edges, and where its lift lies.
struct Lifts {
    TruthCurve front;
    TruthCurve rear;
    TruthCurve middle;
    double front_base_mm;
    double rear_base_mm;
    double largest_mm;
    std::size_t top;

    Lifts(const EdgeCurves& edges, const TruthArc& arc)
        : Lifts(edges, heel_part(edges.front, arc), heel_part(edges.rear, arc)) {}

private:
    Lifts(const EdgeCurves& edges, const OncePerTurn& front_part, const OncePerTurn& rear_part)
        : front(edges.front.less(front_part)),
          rear(edges.rear.less(rear_part)),
          middle(front.mean_with(rear)),
          front_base_mm(front_part.c0),
          rear_base_mm(rear_part.c0),
          largest_mm(middle.largest()),
          top(middle.largest_node()) {}
};

/// Where the mid-width lift crosses `level_mm`, going from the top to `side` (-1 opening, +1 closing).
double crossing_rad(const Lifts& lifts, double level_mm, int side) {
    const double top_rad = TruthCurve::angle_rad(lifts.top);
    double above = top_rad;
    while (lifts.middle.at(above + side * step_rad).h > level_mm) above += side * step_rad;
    double below = above + side * step_rad;
    for (int halving = 0; halving < 40; ++halving) {
        const double half = 0.5 * (above + below);
        (lifts.middle.at(half).h > level_mm ? above : below) = half;
    }
    return above;
}

/// The lobe's centreline: midway between the flanks at half its lift.
double centreline_rad(const Lifts& lifts) {
    const double half_mm = 0.5 * lifts.largest_mm;
    return 0.5 * (crossing_rad(lifts, half_mm, -1) + crossing_rad(lifts, half_mm, +1));
}

/// Where the lift is 20 to 80 % of its largest on one side.
TruthArc flank(const Lifts& lifts, int side) {
    const double low = crossing_rad(lifts, 0.2 * lifts.largest_mm, side);
    const double high = crossing_rad(lifts, 0.8 * lifts.largest_mm, side);
    return {std::min(low, high), std::max(low, high)};
}

/// The shift that lays U over R on both flanks and edges by least squares (Gauss-Newton).
double least_squares_shift(const Lifts& reference, const Lifts& used, const TruthArc& opening,
                           const TruthArc& closing) {
    constexpr int steps = 300;
    double shift = 0.0;
    for (int round = 0; round < 20; ++round) {
        double gradient = 0.0;
        double curvature = 0.0;
        for (const TruthArc& arc : {opening, closing}) {
            for (int i = 0; i <= steps; ++i) {
                const double rad = arc.from_rad + arc.length_rad() * i / steps;
                const double weight = arc.length_rad() * (i == 0 || i == steps ? 0.5 : 1.0);
                for (const auto& [r, u] :
                     {std::pair(&reference.front, &used.front), std::pair(&reference.rear, &used.rear)}) {
                    const Support worn = u->at(rad + shift);
                    gradient += weight * worn.h1 * (worn.h - r->at(rad).h);
                    curvature += weight * worn.h1 * worn.h1;
                }
            }
        }
        const double step = gradient / curvature;
        shift -= step;
        if (std::fabs(step) < 1e-12) break;
    }
    return shift;
}

double taper_mm(const Lifts& used, double rad) {
    return (used.rear.at(rad).h + used.rear_base_mm) - (used.front.at(rad).h + used.front_base_mm);
}

void taper_figures(LobeTruth& truth, const LobePair& pair, const Lifts& used, double centre_rad,
                   const TruthArc& opening, const TruthArc& closing) {
    const double base_mm = used.rear_base_mm - used.front_base_mm;
    const double off_mm = pair.mastered ? 0.0 : base_mm;
    const auto mean_taper = [&](const TruthArc& arc) {
        return mean_over(arc, [&](double rad) { return taper_mm(used, rad) - off_mm; });
    };
    const double near_rad = rad_from_deg(2.0);
    truth.taper_base_mm.value = base_mm - off_mm;
    truth.taper_opening_mm.value = mean_taper(opening);
    truth.taper_closing_mm.value = mean_taper(closing);
    truth.taper_nose_mm.value = mean_taper({centre_rad - near_rad, centre_rad + near_rad});
    if (!pair.mastered) return;
    const double step = rad_from_deg(0.01);
    const auto flat_steps = [&](double way) {
        int steps = 0;
        while (steps < 18000 &&
               std::fabs(taper_mm(used, centre_rad + way * steps * step)) < pair.flat_taper_mm)
            ++steps;
        return steps;
    };
    truth.flat_arc_deg.value = 0.01 * std::max(0, flat_steps(-1.0) + flat_steps(1.0) - 1);
}

/// Mean radius of curvature within 10 degrees of a centreline at mid-width: the integral of base radius + h +
/// h''.
double nose_radius_mm(const Lifts& lifts, double base_radius_mm, double centre_rad) {
    const TruthArc arc{centre_rad - rad_from_deg(10.0), centre_rad + rad_from_deg(10.0)};
    return base_radius_mm + mean_over(arc, [&](double rad) { return lifts.middle.at(rad).h; }) +
           (lifts.middle.at(arc.to_rad).h1 - lifts.middle.at(arc.from_rad).h1) / arc.length_rad();
}

void wear_figures(LobeTruth& truth, const LobePair& pair, const Lifts& reference, const Lifts& used,
                  double shift) {
    const double opens = rad_from_deg(pair.model.nose_deg - pair.model.opening_deg) + shift;
    const double closes = rad_from_deg(pair.model.nose_deg + pair.model.closing_deg) + shift;
    const auto steps = static_cast<int>(std::ceil((closes - opens) / step_rad));
    const double step = (closes - opens) / steps;
    double area = 0.0;
    double volume = 0.0;
    truth.max_depth_mm.value = -std::numeric_limits<double>::infinity();
    for (int i = 0; i <= steps; ++i) {
        const double rad = opens + step * i;
        const double front_mm = reference.front.at(rad - shift).h - used.front.at(rad).h;
        const double rear_mm = reference.rear.at(rad - shift).h - used.rear.at(rad).h;
        if (std::max(front_mm, rear_mm) > truth.max_depth_mm.value) {
            truth.max_depth_mm.value = std::max(front_mm, rear_mm);
            truth.max_depth_at_rear = rear_mm > front_mm;
            truth.max_depth_at_deg = wrapped_deg(deg_from_rad(rad + pair.used_phase_rad));
        }
        const double weight = i == 0 || i == steps ? 0.5 * step : step;
        const Support r = reference.middle.at(rad - shift);
        const Support u = used.middle.at(rad);
        const double radius_mm = pair.model.base_radius_mm + 0.5 * (r.radius() + u.radius());
        area += weight * 0.5 * (std::max(0.0, front_mm) + std::max(0.0, rear_mm));
        volume += weight * 0.5 * (front_mm + rear_mm) * radius_mm;
    }
    truth.area_mm_deg.value = deg_from_rad(area);
    if (pair.flat_follower) truth.volume_mm3.value = volume * pair.model.lobe.width_mm;
    const double centre_rad = centreline_rad(reference);
    const TruthArc nose{centre_rad - rad_from_deg(2.0), centre_rad + rad_from_deg(2.0)};
    truth.front_nose_depth_mm.value =
        mean_over(nose, [&](double rad) { return reference.front.at(rad).h - used.front.at(rad + shift).h; });
    truth.rear_nose_depth_mm.value =
        mean_over(nose, [&](double rad) { return reference.rear.at(rad).h - used.rear.at(rad + shift).h; });
    truth.nose_depth_mm.value = 0.5 * (truth.front_nose_depth_mm.value + truth.rear_nose_depth_mm.value);
    if (!pair.flat_follower) return;
    truth.nose_radius_reference_mm.value = nose_radius_mm(reference, pair.model.base_radius_mm, centre_rad);
    truth.nose_radius_used_mm.value = nose_radius_mm(used, pair.model.base_radius_mm, centre_rad + shift);
}

/// Least depth over the best shift, by golden section: the largest of smooth functions of the shift has one
/// least value near the flanks' own shift.
double stock_mm(const Lifts& reference, const Lifts& used, double shift) {
    const auto proud_mm = [&](double at_rad) {
        double most = 0.0;
        for (std::size_t i = 0; i < TruthCurve::nodes; i += 2) {
            const double rad = TruthCurve::angle_rad(i);
            most = std::max({most, reference.front.at(rad - at_rad).h - used.front.node(i).h,
                             reference.rear.at(rad - at_rad).h - used.rear.node(i).h});
        }
        return most;
    };
    constexpr double golden = 0.6180339887498949;
    double low = shift - rad_from_deg(2.0);
    double high = shift + rad_from_deg(2.0);
    double a = high - golden * (high - low);
    double b = low + golden * (high - low);
    double at_a = proud_mm(a);
    double at_b = proud_mm(b);
    while (high - low > 1e-7) {
        if (at_a < at_b) {
            high = std::exchange(b, a);
            at_b = at_a;
            a = high - golden * (high - low);
            at_a = proud_mm(a);
        } else {
            low = std::exchange(a, b);
            at_a = at_b;
            b = low + golden * (high - low);
            at_b = proud_mm(b);
        }
    }
    return std::min({at_a, at_b, proud_mm(shift)});
}

}  // namespace

EdgeCurves edge_curves(const LobeModel& model, const CamInfo& cam) {
    const double half_mm = 0.5 * model.lobe.width_mm;
    return {follower_curve(model, cam, -half_mm), follower_curve(model, cam, half_mm)};
}

LobeTruth lobe_figures(const LobePair& pair, const TruthArc& arc, bool with_stock) {
    const Lifts reference(pair.reference, arc);
    const Lifts used(pair.used, arc);
    const TruthArc opening = flank(reference, -1);
    const TruthArc closing = flank(reference, +1);
    const double shift = least_squares_shift(reference, used, opening, closing);
    const double centre_rad = centreline_rad(used);
    LobeTruth truth;
    truth.name = pair.model.lobe.name;
    truth.lift_reference_mm.value = reference.largest_mm;
    truth.lift_used_mm.value = used.largest_mm;
    truth.lift_loss_mm.value = reference.largest_mm - used.largest_mm;
    truth.nose_deg.value = wrapped_deg(deg_from_rad(centre_rad + pair.used_phase_rad));
    truth.phase_shift_deg.value =
        wrapped_deg(deg_from_rad(pair.used_phase_rad - pair.reference_phase_rad + shift));
    taper_figures(truth, pair, used, centre_rad, {opening.from_rad + shift, opening.to_rad + shift},
                  {closing.from_rad + shift, closing.to_rad + shift});
    wear_figures(truth, pair, reference, used, shift);
    if (with_stock) truth.stock_to_clean_mm.value = stock_mm(reference, used, shift);
    return truth;
}

void base_circle_figures(LobeTruth& truth, const Station& station, double width_mm, const TruthArc& arc) {
    const auto edge = [&](double z_mm, TrueFigure& runout_mm, TrueFigure& form_mm) {
        std::vector<double> swept = values_over(arc, [&](double rad) { return station.reading(rad, z_mm); });
        runout_mm.value = span(swept);
        const OncePerTurn part = once_per_turn(arc, swept);
        const std::vector<double> turning = values_over(arc, [&](double rad) { return part.at(rad); });
        for (std::size_t i = 0; i < swept.size(); ++i) swept[i] -= turning[i];
        form_mm.value = span(swept);
        return part;
    };
    const OncePerTurn front = edge(-0.5 * width_mm, truth.runout_front_mm, truth.form_front_mm);
    const OncePerTurn rear = edge(0.5 * width_mm, truth.runout_rear_mm, truth.form_rear_mm);
    const double a = 0.5 * (front.a + rear.a);
    const double b = 0.5 * (front.b + rear.b);
    truth.eccentricity_mm.value = std::hypot(a, b);
    truth.eccentricity_deg = deg_from_rad(std::atan2(b, a));
}

}  // namespace lobewright
