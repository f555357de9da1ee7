#include "analysis/draws/drawn_run.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <boost/random/chi_squared_distribution.hpp>
#include <boost/random/normal_distribution.hpp>
#include <boost/random/uniform_real_distribution.hpp>

#include "analysis/support/journals.hpp"
#include "analysis/uncertainty/slow_spectra.hpp"
#include "analysis/units.hpp"

namespace lobewright {
namespace {

constexpr double table_stretch_deg =
    5.0;                        // rows of a hand table share what hides between them over about that
constexpr double plenty = 1e5;  // degrees of freedom from which on Student's distribution is the normal one

constexpr std::size_t axis_harmonics = 17;  // 0 to 16, as journals are read for

using Normal = boost::random::normal_distribution<double>;
using Rectangular = boost::random::uniform_real_distribution<double>;

/// What a draw holds for all sweeps of a part.
struct PartDraw {
    std::array<DrawnError, 2> error;
    std::array<double, 2> at_heel{};  // the errors there
    std::array<double, 2> mark{};     // where the step's marks lie
    std::array<double, 2> noise{};
    std::array<double, 2> walk{};                     // strengths, mm^2 a turn
    std::array<std::vector<double>, 2> between_rows;  // by stretch of the turn
    std::vector<double> axis;                         // motion, on the grid
};

/// What a variance judged from so many degrees of freedom may really be, in parts of it.
double variance_scale(double degrees_of_freedom, DrawEngine& engine) {
    if (!(degrees_of_freedom > 0.0) || degrees_of_freedom >= plenty) return 1.0;
    boost::random::chi_squared_distribution<double> chi_squared(degrees_of_freedom);
    return degrees_of_freedom / chi_squared(engine);
}

PartDraw draw_part(const SweptPart& part, double step_mm, DrawEngine& engine) {
    PartDraw out;
    Normal normal;
    // The same rows gave both indicators' noise, so that both are off alike.
    const double scale = std::sqrt(variance_scale(part.degrees_of_freedom, engine));
    for (std::size_t w = 0; w < 2; ++w) {
        const auto& walk = part.walk[w];
        if (walk.mm2_per_turn > 0.0)
            out.walk[w] = walk.mm2_per_turn * variance_scale(walk.degrees_of_freedom, engine);
    }
    for (std::size_t c = 0; c < 2; ++c) {
        out.error[c] = part.error[c].draw(engine);
        out.at_heel[c] = out.error[c].at(part.reading[c].heel_mm);
        out.mark[c] = step_mm > 0.0 ? Rectangular(-0.5 * step_mm, 0.5 * step_mm)(engine) : 0.0;
        out.noise[c] = scale * part.reading[c].noise_mm;
        if (part.between_rows_mm <= 0.0) continue;
        out.between_rows[c].resize(static_cast<std::size_t>(360.0 / table_stretch_deg));
        for (double& value : out.between_rows[c]) value = part.between_rows_mm * normal(engine);
    }
    return out;
}

/// Normal harmonics of this standard deviation in all, on the grid; empty for none.
std::vector<double> draw_harmonics(double sd, const SlowSpectrum& spectrum, DrawEngine& engine) {
    if (sd <= 0.0) return {};
    Normal normal;
    std::vector<std::complex<double>> harmonics;
    for (const double share : spectrum) {
        const double a = normal(engine), b = normal(engine);
        harmonics.push_back(sd * std::sqrt(share) * std::complex(a, b));
    }
    return harmonics_on_grid(harmonics, 0, grid_points);
}

/// The axis' unknown motion at a lobe, on the grid of this run's angles; empty for none.
std::vector<double> axis_of(const SweptPart& part, const std::string& name, const AxisDraw& axis) {
    const auto drawn = axis.find(name);
    const auto& doubt = part.axis_doubt_mm;
    if (drawn == axis.end() || std::none_of(doubt.begin(), doubt.end(), [](double mm) { return mm > 0.0; })) {
        return {};
    }
    std::vector<std::complex<double>> motion(std::min(doubt.size(), drawn->second.size()));
    for (std::size_t n = 0; n < motion.size(); ++n) {
        motion[n] = doubt[n] * drawn->second[n] * std::polar(1.0, static_cast<double>(n) * part.turned_rad);
    }
    return harmonics_on_grid(motion, 0, grid_points);
}

/// What a draw holds for the whole run.
struct RunDraw {
    std::vector<double> encoder_rad;  // the encoder's error, on the grid; empty for none
    double lean = 1.0;                // what a leaning tip travels for a millimetre of the cam
    double growth = 0.0;
};

/// Writes fresh readings over a sweep's.
class SweepDraw {
public:
    SweepDraw(const RigInfo& rig, const SweptPart& part, const PartDraw& fixed, const RunDraw& whole,
              DrawEngine& engine)
        : rig_(rig),
          part_(part),
          fixed_(fixed),
          whole_(whole),
          growth_(part.grows ? whole.growth : 0.0),
          step_mm_(rig.resolution_mm.value_or(0.0)),
          engine_(engine),
          wander_(draw_harmonics(part.wander_mm, wander_spectrum, engine)),
          apart_mm_(0.5 * part.level_mm * Normal()(engine) + part.apart_level_mm * Normal()(engine)) {}

    void write(Sweep& sweep) {
        Rectangular within_count(-0.5, 0.5);
        const double turns_per_row =
            turns_of(sweep) / static_cast<double>(std::max<std::size_t>(sweep.rows(), 1));
        const double turns_per_us =
            sweep.t_us.size() > 1 && sweep.t_us.back() > sweep.t_us.front()
                ? turns_of(sweep) / static_cast<double>(sweep.t_us.back() - sweep.t_us.front())
                : 0.0;
        double off = 0.0;
        for (std::size_t i = 0; i < sweep.rows(); ++i) {
            if (i > 0) {
                const bool clocked = turns_per_us > 0.0;
                walk_on(clocked ? turns_per_us * static_cast<double>(sweep.t_us[i] - sweep.t_us[i - 1])
                                : turns_per_row);
            }
            if (sweep.by_count() && (i == 0 || sweep.count[i] != sweep.count[i - 1]))
                off = part_.count_rad * within_count(engine_);
            const double seen = angle_of(sweep, i);
            const bool on_heel = part_.heel.count > 0 && holds(seen);
            const double stood = seen + off + on_turn(whole_.encoder_rad, seen);
            if (!sweep.front_mm.empty()) sweep.front_mm[i] = reading(0, seen, stood, on_heel);
            if (!sweep.rear_mm.empty()) sweep.rear_mm[i] = reading(1, seen, stood, on_heel);
        }
    }

private:
    const RigInfo& rig_;
    const SweptPart& part_;
    const PartDraw& fixed_;
    const RunDraw& whole_;
    double growth_;
    double step_mm_;
    DrawEngine& engine_;
    Normal normal_;
    std::vector<double> wander_;
    double apart_mm_;               // half of rear less front
    std::array<double, 2> walk_{};  // where it stands, by enum Wander

    [[nodiscard]] double turns_of(const Sweep& sweep) const {
        if (sweep.rows() < 2) return 0.0;
        return std::abs(angle_of(sweep, sweep.rows() - 1) - angle_of(sweep, 0)) / (2.0 * std::numbers::pi);
    }

    void walk_on(double turns) {
        for (std::size_t w = 0; w < 2; ++w) {
            if (fixed_.walk[w] > 0.0)
                walk_[w] += std::sqrt(fixed_.walk[w] * std::max(turns, 0.0)) * normal_(engine_);
        }
    }

    [[nodiscard]] double angle_of(const Sweep& sweep, std::size_t i) const {
        if (!sweep.by_count()) return rad_from_deg(sweep.angle_deg[i]);
        const double step = part_.count_rad * rig_.direction;
        return rad_from_deg(rig_.zero_deg) + step * static_cast<double>(sweep.count[i]);
    }

    [[nodiscard]] bool holds(double angle_rad) const {
        const auto g = static_cast<std::size_t>(turn_fraction(angle_rad) * static_cast<double>(grid_points));
        return part_.heel.holds(std::min(g, grid_points - 1), grid_points);
    }

    double reading(std::size_t c, double seen_rad, double stood_rad, bool on_heel) {
        const auto& source = part_.reading[c];
        const double true_mm = source.at(stood_rad);
        double mm = true_mm + growth_ * (true_mm - source.heel_mm);
        mm += fixed_.error[c].at(true_mm) - fixed_.at_heel[c];
        mm += on_turn(wander_, seen_rad) + on_turn(fixed_.axis, stood_rad) + walk_[0];
        mm += (c == 0 ? -1.0 : 1.0) * (walk_[1] + apart_mm_);
        if (!fixed_.between_rows[c].empty() && !on_heel) {
            const auto& hidden = fixed_.between_rows[c];
            const auto at =
                static_cast<std::size_t>(turn_fraction(seen_rad) * static_cast<double>(hidden.size()));
            mm += hidden[std::min(at, hidden.size() - 1)];
        }
        mm += fixed_.noise[c] * normal_(engine_);
        mm *= whole_.lean;
        if (step_mm_ <= 0.0) return mm;
        return step_mm_ * std::round((mm + fixed_.mark[c]) / step_mm_) - fixed_.mark[c];
    }
};

}  // namespace

AxisDraw draw_axis(const Run& run, DrawEngine& engine) {
    AxisDraw out;
    Normal normal;
    for (const auto& lobe : run.lobes) {
        auto& harmonics = out[lobe.name];
        for (std::size_t n = 0; n < axis_harmonics; ++n) {
            const double a = normal(engine), b = normal(engine);
            harmonics.emplace_back(a, b);
        }
    }
    return out;
}

RunDraws::RunDraws(const PreparedRun& prepared, const std::map<std::string, double>& turned_deg)
    : run_(*prepared.run),
      encoder_limit_rad_(rad_from_deg(prepared.set_up.encoder_limit_deg)),
      lean_(1.0 / std::cos(rad_from_deg(prepared.set_up.tip_lean_deg))) {
    for (std::size_t i = 0; i < run_.lobes.size(); ++i) {
        names_.push_back(run_.lobes[i].name);
        parts_.push_back(lobe_part(run_, *prepared.curves[i]));
        const auto turned = turned_deg.find(names_.back());
        if (turned != turned_deg.end()) parts_.back().turned_rad = rad_from_deg(turned->second);
    }
    for (const auto& journal : prepared.journals) {
        names_.push_back(journal.name);
        parts_.push_back(journal_part(run_, journal));
    }
    for (const auto& sweep : run_.sweeps) {
        const auto at = std::find(names_.begin(), names_.end(), sweep.of);
        part_of_.push_back(static_cast<std::size_t>(at - names_.begin()));
    }
}

Run RunDraws::draw(DrawEngine& engine, const AxisDraw& axis, double growth) const {
    Run out = run_;
    const double step = run_.rig.resolution_mm.value_or(0.0);
    const RunDraw whole{draw_harmonics(encoder_limit_rad_ / std::numbers::sqrt3, encoder_spectrum, engine),
                        lean_, growth};
    std::vector<PartDraw> fixed;
    fixed.reserve(parts_.size());
    for (std::size_t p = 0; p < parts_.size(); ++p) {
        fixed.push_back(draw_part(parts_[p], step, engine));
        fixed.back().axis = axis_of(parts_[p], names_[p], axis);
    }
    for (std::size_t i = 0; i < out.sweeps.size(); ++i) {
        const std::size_t p = part_of_[i];
        SweepDraw(run_.rig, parts_[p], fixed[p], whole, engine).write(out.sweeps[i]);
    }
    if (out.datum) out.datum->rear_minus_front_mm += out.datum->u_mm * Normal()(engine);
    return out;
}

}  // namespace lobewright
