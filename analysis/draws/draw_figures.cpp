#include "analysis/draws/draw_figures.hpp"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <map>
#include <numbers>
#include <optional>

#include <boost/random/normal_distribution.hpp>
#include <boost/random/uniform_real_distribution.hpp>
#include <fmt/format.h>

#include "analysis/draws/drawn_run.hpp"
#include "analysis/errors.hpp"
#include "analysis/in_parallel.hpp"
#include "analysis/stated_figures.hpp"

namespace lobewright {
namespace {

constexpr std::int64_t least_draws = 100;
constexpr std::int64_t most_draws = 100000;
constexpr std::size_t fewest_curve_points = 36;  // nobody looks at a draw's curves

/// A generator of its own for each draw: which thread it falls to doesn't matter.
DrawEngine engine_of(std::uint64_t seed, std::size_t draw) {
    std::seed_seq words{static_cast<std::uint32_t>(seed), static_cast<std::uint32_t>(seed >> 32U),
                        static_cast<std::uint32_t>(draw)};
    return DrawEngine(words);
}

/// Half-width of the share by which the lifts of one run may be larger than those of the other, any size equally
/// likely: what the budget holds for it.
double growth_of(const CamFigures& stated) {
    for (const auto& lobe : stated.lobes) {
        for (const auto& line : lobe.budget) {
            if (line.figure != "lift.used" || !(line.measured.value > 0.0)) continue;
            return std::numbers::sqrt3 * line.terms.temperature / line.measured.value;
        }
    }
    return 0.0;
}

/// What the heel's form gives the figure, standard deviation, as the budget has it.
double form_of(const LobeFigures& lobe, std::string_view key) {
    for (const auto& line : lobe.budget) {
        if (line.figure == key) return line.terms.form;
    }
    return 0.0;
}

/// How far each lobe's angles in the reference are behind those of the used run.
std::map<std::string, double> turned_back(const CamFigures& stated) {
    std::map<std::string, double> out;
    for (const auto& lobe : stated.lobes) out[lobe.name] = -lobe.phase_shift_deg.value;
    return out;
}

class Draws {
public:
    Draws(const Run* reference, const Run& used, const CamFigures& stated, const DrawOptions& options)
        : used_run_(used), stated_(stated), options_(options.analysis), growth_(growth_of(stated)) {
        std::vector<RunOnBench> runs{{&used, options_.used}};
        if (reference != nullptr) runs.push_back({reference, options_.reference});
        prepared_ = prepare_runs(runs, options_.threads);
        used_.emplace(prepared_[0]);
        if (reference != nullptr) reference_.emplace(prepared_[1], turned_back(stated));
        options_.curve_points = fewest_curve_points;
        options_.threads = 1;
    }

    /// Values of one draw, by lobe and figure; angles within half a turn of the stated one.
    [[nodiscard]] std::vector<double> values(DrawEngine& engine) const {
        const double growth = growth_ * boost::random::uniform_real_distribution<double>(-1.0, 1.0)(engine);
        const AxisDraw axis = draw_axis(used_run_, engine);
        CamFigures drawn;
        try {
            drawn = analysed(engine, axis, growth);
        } catch (const DataError&) {
            // On such a day nothing could have been measured: every figure lacks this draw, and its count says so.
            drawn.lobes.resize(stated_.lobes.size());
        }
        boost::random::normal_distribution<double> normal;
        std::vector<double> out;
        for (std::size_t i = 0; i < stated_.lobes.size(); ++i) {
            for (const auto& figure : stated_figures) {
                const double about = figure.of(stated_.lobes[i]).value;
                const double value = figure.of(drawn.lobes[i]).value;
                const double form = form_of(stated_.lobes[i], figure.key) * normal(engine);
                out.push_back((figure.angle ? about + wrapped_deg(value - about) : value) + form);
            }
        }
        return out;
    }

private:
    const Run& used_run_;
    const CamFigures& stated_;
    AnalysisOptions options_;
    double growth_;
    std::vector<PreparedRun> prepared_;
    std::optional<RunDraws> used_, reference_;

    [[nodiscard]] CamFigures analysed(DrawEngine& engine, const AxisDraw& axis, double growth) const {
        if (!reference_) return inspect_run(used_->draw(engine, axis), options_);
        const Run reference = reference_->draw(engine, axis);
        return compare_runs(reference, used_->draw(engine, axis, growth), options_);
    }
};

}  // namespace

const DrawnFigure* DrawnLobe::find(std::string_view key) const {
    for (std::size_t i = 0; i < figures.size(); ++i) {
        if (stated_figures[i].key == key) return &figures[i];
    }
    return nullptr;
}

void check_draw_count(std::int64_t draws) {
    if (draws < least_draws) {
        throw UsageError(fmt::format("{} draws are too few to tell a 95 % interval; give at least {}", draws,
                                     least_draws));
    }
    if (draws > most_draws) {
        throw UsageError(
            fmt::format("{} draws say no more than {}; give at most that many", draws, most_draws));
    }
}

DrawnCam draw_figures(const Run* reference, const Run& used, const CamFigures& stated,
                      const DrawOptions& options) {
    check_draw_count(static_cast<std::int64_t>(options.draws));
    const Draws draws(reference, used, stated, options);
    std::vector<std::vector<double>> values(options.draws);
    std::atomic<std::size_t> finished{0};
    in_parallel(options.draws, options.analysis.threads, [&](std::size_t d) {
        DrawEngine engine = engine_of(options.seed, d);
        values[d] = draws.values(engine);
        const std::size_t now = ++finished;
        if (options.done) options.done(now);
    });

    DrawnCam out{options.draws, options.seed, {}};
    for (std::size_t i = 0; i < stated.lobes.size(); ++i) {
        DrawnLobe lobe{stated.lobes[i].name, {}};
        for (std::size_t f = 0; f < stated_figures.size(); ++f) {
            std::vector<double> of_figure;
            of_figure.reserve(options.draws);
            for (const auto& draw : values) of_figure.push_back(draw[i * stated_figures.size() + f]);
            lobe.figures.push_back(drawn_figure(stated_figures[f].of(stated.lobes[i]), std::move(of_figure)));
        }
        out.lobes.push_back(std::move(lobe));
    }
    return out;
}

}  // namespace lobewright
