#include "rig/model/simulate.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "analysis/errors.hpp"
#include "analysis/units.hpp"

namespace lobewright {

namespace {

constexpr double path_rate_hz = 500.0;  // fine enough that a hand's speed hardly changes between two points
constexpr double table_s_per_reading = 8.0;  // a reading taken and written down by hand

/// Rounds to a step of the run's own unit, to the very double that the
/// decimal text in the run's files stands for.
class Steps {
public:
    /// A step of 0 rounds nothing.
    Steps(double step_mm, Units units)
        : unit_mm_(mm_per(units)), per_unit_(step_mm > 0.0 ? unit_mm_ / step_mm : 0.0) {
        const double whole = std::round(per_unit_);
        if (std::fabs(per_unit_ - whole) < 1e-9 * whole) per_unit_ = whole;
    }

    [[nodiscard]] double nearest(double mm) const {
        return per_unit_ > 0.0 ? std::round(mm / unit_mm_ * per_unit_) / per_unit_ * unit_mm_ : mm;
    }

private:
    double unit_mm_;
    double per_unit_;
};

/// Encoder position in counts at an encoder angle.
double counts_at(const RigModel& rig, double encoder_deg) {
    return rig.info.direction * (encoder_deg - rig.info.zero_deg) *
           static_cast<double>(*rig.info.counts_per_rev) / 360.0;
}

HandPoint between(const HandPoint& a, const HandPoint& b, double share) {
    return {a.t_s + share * (b.t_s - a.t_s), a.encoder_deg + share * (b.encoder_deg - a.encoder_deg),
            a.cam_deg + share * (b.cam_deg - a.cam_deg)};
}

/// The points of a path where the encoder reaches a multiple of rig.every_counts, either way.
std::vector<HandPoint> latched(const std::vector<HandPoint>& path, const RigModel& rig) {
    std::vector<HandPoint> points;
    for (std::size_t i = 1; i < path.size(); ++i) {
        const double from = counts_at(rig, path[i - 1].encoder_deg) / rig.every_counts;
        const double to = counts_at(rig, path[i].encoder_deg) / rig.every_counts;
        const double way = to > from ? 1.0 : -1.0;
        for (double mark = way * (std::floor(way * from) + 1.0); way * mark <= way * to; mark += way) {
            points.push_back(between(path[i - 1], path[i], (mark - from) / (to - from)));
        }
    }
    return points;
}

std::vector<HandPoint> hand_table(const RigModel& rig, Random& random) {
    std::vector<HandPoint> points;
    const auto rows = static_cast<std::size_t>(std::lround(360.0 / rig.table_step_deg));
    for (std::size_t i = 0; i < rows; ++i) {
        const double angle_deg = rig.table_step_deg * static_cast<double>(i);
        points.push_back({table_s_per_reading * static_cast<double>(i), angle_deg, angle_deg});
    }
    for (std::size_t left = points.size(); left > 1; --left)
        std::swap(points[left - 1], points[random.below(left)]);
    return points;
}

std::vector<HandPoint> sampled(const RigModel& rig, const HandModel& hand, Random& random) {
    switch (rig.sampling) {
        case Sampling::by_time:
            return hand_path(hand, rig.rate_hz, random);
        case Sampling::by_count:
            return latched(hand_path(hand, path_rate_hz, random), rig);
        case Sampling::by_hand:
            return hand_table(rig, random);
    }
    return {};
}

/// Takes the rows of this sweep's gaps out.
void open_gaps(std::vector<HandPoint>& points, const Faults& faults, const std::string& of, int pass) {
    if (points.empty()) return;
    const double start_deg = points.front().encoder_deg;
    for (const Gap& gap : faults.gaps) {
        if (gap.of != of || gap.pass != pass) continue;
        const auto inside = [&](const HandPoint& point) {
            const double travel_deg = point.encoder_deg - start_deg;
            return travel_deg >= gap.from_deg && travel_deg <= gap.to_deg;
        };
        points.erase(std::remove_if(points.begin(), points.end(), inside), points.end());
    }
}

/// Fills the column of counts or angles.
void write_angles(Sweep& sweep, const std::vector<HandPoint>& points, const RigModel& rig,
                  const Faults& faults) {
    if (rig.angle_column || rig.sampling == Sampling::by_hand) {
        for (const HandPoint& point : points)
            sweep.angle_deg.push_back(std::round(100.0 * point.encoder_deg) / 100.0);
        return;
    }
    sweep.count.reserve(points.size());
    for (const HandPoint& point : points) {
        std::int64_t slipped = 0;
        for (const Slip& slip : faults.slips) {
            const bool here = slip.of == sweep.of && slip.pass == sweep.pass;
            if (here && point.encoder_deg - points.front().encoder_deg >= slip.after_deg)
                slipped += slip.counts;
        }
        sweep.count.push_back(std::llround(counts_at(rig, point.encoder_deg)) + slipped);
    }
}

/// What one indicator shows over a sweep, on top of the ideal reading.
class Shown {
public:
    Shown(const RigModel& rig, const IndicatorError& error, const Faults& faults, double zero_mm,
          double drift_mm_per_min)
        : rig_(rig),
          error_(error),
          faults_(faults),
          zero_mm_(zero_mm),
          drift_mm_per_min_(drift_mm_per_min),
          steps_(rig.info.resolution_mm.value_or(0.0), rig.units) {}

    double operator()(double ideal_mm, double t_s, Random& random) {
        const double t_min = t_s / 60.0;
        if (rig_.walk_mm_per_root_min > 0.0) {
            walk_mm_ += rig_.walk_mm_per_root_min * std::sqrt(std::fabs(t_min - last_min_)) * random.normal();
            last_min_ = t_min;
        }
        double shown_mm = ideal_mm + zero_mm_ + drift_mm_per_min_ * t_min + walk_mm_;
        shown_mm += error_.at(shown_mm);
        if (rig_.noise_mm > 0.0) shown_mm += rig_.noise_mm * random.normal();
        if (faults_.spike_probability > 0.0 && random.uniform() < faults_.spike_probability) {
            const double size_mm = faults_.spike_mm * random.uniform(0.5, 1.5);
            shown_mm += random.uniform() < 0.5 ? -size_mm : size_mm;
        }
        return steps_.nearest(shown_mm);
    }

private:
    const RigModel& rig_;
    const IndicatorError& error_;
    const Faults& faults_;
    double zero_mm_;
    double drift_mm_per_min_;
    Steps steps_;
    double walk_mm_ = 0.0;
    double last_min_ = 0.0;
};

/// The datum as the operator finds it: the indicators' own errors on the
/// parallel and a draw of its u are in it.
DatumInfo find_datum(const DatumModel& datum, const RigModel& rig, const Indicators& indicators,
                     Random& random) {
    const double front_mm = datum.bar_reading_mm + rig.zero_mm.front;
    const double rear_mm = datum.bar_reading_mm + rig.zero_mm.rear;
    const double seen_mm = (rear_mm + indicators.rear.at(rear_mm)) -
                           (front_mm + indicators.front.at(front_mm)) + datum.u_mm * random.normal();
    const Steps written(rig.units == Units::in ? 1e-6 * mm_per_inch : 1e-5, rig.units);
    return {datum.method, written.nearest(seen_mm), datum.u_mm};
}

/// A number for each thing that is swept, the same however many passes and
/// sweeps a run has. FNV-1a over the name.
std::uint64_t stream_of(const std::string& of, int pass) {
    std::uint64_t hash = 0xCBF29CE484222325U;
    for (const char letter : of) hash = (hash ^ static_cast<unsigned char>(letter)) * 0x100000001B3U;
    return hash + static_cast<std::uint64_t>(pass);
}

}  // namespace

Indicators::Indicators(const RigModel& rig, Random& random)
    : front(rig.info.error_limit_mm.value_or(0.0), rig.range_mm, random),
      rear(rig.info.error_limit_mm.value_or(0.0), rig.range_mm, random) {}

Sweep simulate_sweep(const Station& station, const RigModel& rig, const HandModel& hand,
                     const Indicators& indicators, const Faults& faults, const std::string& of, int pass,
                     Random& random) {
    const bool counts = rig.sampling != Sampling::by_hand && !rig.angle_column;
    if ((counts || rig.sampling == Sampling::by_count) && !rig.info.counts_per_rev) {
        throw UsageError("rig model: counts are asked for, but counts_per_rev isn't given");
    }
    std::vector<HandPoint> points = sampled(rig, hand, random);
    open_gaps(points, faults, of, pass);
    Sweep sweep;
    sweep.of = of;
    sweep.pass = pass;
    write_angles(sweep, points, rig, faults);
    sweep.front_mm.reserve(points.size());
    sweep.rear_mm.reserve(points.size());
    Shown front(rig, indicators.front, faults, rig.zero_mm.front, rig.drift_mm_per_min.front);
    Shown rear(rig, indicators.rear, faults, rig.zero_mm.rear, rig.drift_mm_per_min.rear);
    for (const HandPoint& point : points) {
        const Edges ideal = station.readings(rad_from_deg(point.cam_deg));
        sweep.front_mm.push_back(front(ideal.front, point.t_s, random));
        sweep.rear_mm.push_back(rear(ideal.rear, point.t_s, random));
    }
    if (rig.sampling != Sampling::by_hand) {
        sweep.t_us.reserve(points.size());
        const double start_s = points.empty() ? 0.0 : points.front().t_s;
        for (const HandPoint& point : points) sweep.t_us.push_back(std::llround(1e6 * (point.t_s - start_s)));
    }
    return sweep;
}

Run simulate_run(const CamModel& cam, const RigModel& rig, const HandModel& hand, const Faults& faults,
                 const RunPlan& plan, std::uint64_t seed) {
    check(cam);
    Random draws(seed);
    const Indicators indicators(rig, draws);
    Run run;
    run.units = rig.units;
    run.info = plan.info;
    run.cam = cam.info;
    run.tappet = cam.tappet;
    run.valvetrain = cam.valvetrain;
    run.rig = rig.info;
    if (rig.datum) run.datum = find_datum(*rig.datum, rig, indicators, draws);
    const auto sweep_all = [&](const std::string& of, int passes, bool journal) {
        const Station station(cam, rig, of);
        for (int pass = 1; pass <= passes; ++pass) {
            Random random(seed, stream_of(of, pass));
            run.sweeps.push_back(simulate_sweep(station, rig, hand, indicators, faults, of, pass, random));
            if (journal) run.sweeps.back().rear_mm.clear();  // one indicator is enough on a journal
        }
    };
    for (const JournalModel& model : cam.journals) {
        run.journals.push_back(model.journal);
        sweep_all(model.journal.name, plan.journal_passes, true);
    }
    for (const LobeModel& model : cam.lobes) {
        run.lobes.push_back(model.lobe);
        sweep_all(model.lobe.name, plan.lobe_passes, false);
    }
    return run;
}

}  // namespace lobewright
