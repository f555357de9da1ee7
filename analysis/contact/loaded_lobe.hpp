// loaded_lobe.hpp: one lobe of a run under its flat tappet, angle by angle: lift and its derivatives, taper slope, and the
// load between them.
//
// Load      seat force + rate x lift while the lobe lifts, and with a speed and a mass given mass x acceleration on top
//           (acceleration by time is that by angle times the cam's angular velocity squared; the cam turns at half the
//           crank's speed). On the heel the valve's seat carries the spring: what is left there is a plunger's spring or
//           nothing, taken as a tenth of the seat force (common practice, no source).
// Unknown   load is empty where the run doesn't give seat force and rate.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "analysis/curve/sinusoid.hpp"
#include "analysis/measured.hpp"
#include "analysis/prepared_run.hpp"
#include "analysis/run/run.hpp"
#include "analysis/support/bench_set_up.hpp"

namespace lobewright {

/// How the engine runs while one looks; nothing given: turned over slowly.
struct Running {
    std::optional<double> crank_rpm;
    std::optional<double> mass_kg;  // moving mass as felt at the tappet
};

/// What stripe_report and thrust_map ask for.
struct ContactOptions {
    Running running;
    BenchSetUp set_up;
    unsigned threads = 0;
};

/// The share of the seat force that is left on the heel.
inline constexpr double heel_load_share = 0.1;

/// Grid positions of a stretch of the lobe; `to` > `from`, may pass the end of the turn.
struct GridStretch {
    double from = 0.0;
    double to = 0.0;

    [[nodiscard]] double middle() const { return 0.5 * (from + to); }
};

/// On the grid of the run's angles, at mid-width.
struct LoadedLobe {
    std::string name;
    LobeKind kind = LobeKind::other;
    double width_mm = 0.0;
    double base_radius_mm = 0.0;  // NaN where no base diameter is given
    std::vector<double> lift_mm;
    std::vector<double> velocity;      // mm per rad
    std::vector<double> acceleration;  // mm per rad^2
    std::vector<double> taper_mm;      // over the width, positive: high to the rear; once-per-turn part off
    std::array<double, 4> taper_u95_mm{};      // at heel, opening, nose and closing (StripePlace)
    std::vector<double> load_n;                // empty: unknown
    std::vector<double> push_n;                // load x slope, to the rear positive; empty: unknown
    Measured mean_push_n;                      // over a turn; its u95 is the taper's, the load taken as given
    Measured largest_push_n;                   // by size, likewise
    std::size_t largest_push_at = 0;           // grid angle
    GridStretch heel, opening, nose, closing;  // as the taper figures have them (docs/figures.md)

    /// Mean radius of curvature of the lobe at a grid angle, mm.
    [[nodiscard]] double radius_mm(std::size_t g) const {
        return base_radius_mm + lift_mm[g] + acceleration[g];
    }
    /// Rise along the cam per length, positive: the surface rises to the rear.
    [[nodiscard]] double slope(std::size_t g) const { return taper_mm[g] / width_mm; }
};

/// Every lobe of a prepared run. Throws DataError for rollers, for a run without a front-to-rear zero (the taper's size
/// isn't known), for a speed without a mass or the other way round, and for what isn't above zero.
std::vector<LoadedLobe> loaded_lobes(const PreparedRun& prepared, const Running& running);

}  // namespace lobewright
