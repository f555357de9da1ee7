// Notation: s slope, r residual of the mean of both readings, the sweep's own zero and drift (a line through
// its heel rows) taken off; a flank at theta + omega gives r = s omega. omega of a traverse is sum s r / sum
// s^2; d is omega less that of the same flank elsewhere; q the angle of one count.
#include "analysis/lobe/slips.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/lobe/rough_curve.hpp"

namespace lobewright {
namespace {

constexpr double heel_share = 0.02;    // of the steepest slope: above it a row isn't heel
constexpr double noise_factor = 6.0;   // standard deviations of omega that noise alone doesn't reach
constexpr double flank_share = 0.4;    // of the steepest slope: below it an angle hardly shows
constexpr double least_counts = 0.75;  // rounding averages to a few hundredths of a count over a flank
constexpr std::size_t least_rows = 8;
constexpr int most_slips = 6;  // more in one lobe is a broken encoder, not a slip

/// One passage of one flank under the tips.
struct Traverse {
    std::size_t sweep = 0;
    std::size_t from = 0;  // rows
    std::size_t to = 0;
    bool rising = false;
    double omega = 0.0;
    double u = 0.0;  // standard uncertainty of omega
};

struct Row {
    double slope = 0.0;
    double residual = 0.0;
};

class SlipSearch {
public:
    SlipSearch(const std::vector<CleanSweep>& sweeps, const PeriodicSpline& front, const PeriodicSpline& rear,
               std::span<const double> slope)
        : front_(front), rear_(rear), slope_(slope) {
        for (double s : slope) steepest_ = std::max(steepest_, std::abs(s));
        for (std::size_t p = 0; p < sweeps.size(); ++p) {
            base_.push_back(heel_line(sweeps[p].samples));
            find_traverses(p, sweeps[p].samples);
        }
    }

    [[nodiscard]] const std::vector<Traverse>& traverses() const { return traverses_; }

    [[nodiscard]] double steepest() const { return steepest_; }

    [[nodiscard]] Row row(std::size_t sweep, const Samples& s, std::size_t i) const {
        Row out = raw_row(s, i);
        out.residual -= base_[sweep][0] + base_[sweep][1] * static_cast<double>(i);
        return out;
    }

private:
    const PeriodicSpline& front_;
    const PeriodicSpline& rear_;
    std::span<const double> slope_;
    double steepest_ = 0.0;
    std::vector<Traverse> traverses_;
    std::vector<std::array<double, 2>> base_;  // a sweep's zero and drift by row

    [[nodiscard]] Row raw_row(const Samples& s, std::size_t i) const {
        const auto [interval, u] = spline_place(s.angle_rad[i], slope_.size());
        const auto f = front_.cubic(interval), r = rear_.cubic(interval);
        const auto at = [u = u](const std::array<double, 4>& c) {
            return c[0] + u * (c[1] + u * (c[2] + u * c[3]));
        };
        return {slope_[interval], 0.5 * (s.front_mm[i] + s.rear_mm[i] - at(f) - at(r))};
    }

    /// Least squares of a line in the row number through the residuals of the heel rows.
    [[nodiscard]] std::array<double, 2> heel_line(const Samples& s) const {
        double n = 0.0, x = 0.0, y = 0.0, xx = 0.0, xy = 0.0;
        const std::size_t stride = std::max<std::size_t>(1, s.size() / 2000);
        for (std::size_t i = 0; i < s.size(); i += stride) {
            const Row r = raw_row(s, i);
            if (std::abs(r.slope) > heel_share * steepest_) continue;
            const auto at = static_cast<double>(i);
            n += 1.0;
            x += at;
            y += r.residual;
            xx += at * at;
            xy += at * r.residual;
        }
        const double det = n * xx - x * x;
        if (n < 3.0 || det <= 0.0) return {0.0, 0.0};
        const double slope = (n * xy - x * y) / det;
        return {(y - slope * x) / n, slope};
    }

    [[nodiscard]] int side(std::size_t interval) const {
        const double s = slope_[interval];
        if (std::abs(s) < flank_share * steepest_) return 0;
        return s > 0.0 ? 1 : -1;
    }

    void find_traverses(std::size_t sweep, const Samples& s) {
        std::size_t from = 0;
        int last = 0;
        const auto end_at = [&](std::size_t to) {
            if (last != 0 && to - from >= least_rows)
                traverses_.push_back(traverse(sweep, s, from, to, last > 0));
        };
        by_interval(s, slope_.size(), 1, [&](const KnotVisit& visit) {
            const int here = side(visit.interval);
            if (here == last) return;
            end_at(visit.from);
            from = visit.from;
            last = here;
        });
        end_at(s.size());
    }

    [[nodiscard]] Traverse traverse(std::size_t sweep, const Samples& s, std::size_t from, std::size_t to,
                                    bool rising) const {
        double n = 0.0, cross = 0.0, square = 0.0, rest = 0.0;
        const std::size_t stride = std::max<std::size_t>(1, (to - from) / 200);
        for (std::size_t i = from; i < to; i += stride) {
            const Row r = row(sweep, s, i);
            n += 1.0;
            cross += r.slope * r.residual;
            square += r.slope * r.slope;
            rest += r.residual * r.residual;
        }
        const double omega = cross / square;
        const double variance = std::max(0.0, rest - omega * cross) / n;
        return {sweep, from, to, rising, omega, std::sqrt(variance / square)};
    }
};

/// What a flank's traverses agree on: the median; of two, the earlier.
std::optional<double> agreed(const std::vector<Traverse>& all, bool rising) {
    std::vector<double> omega;
    for (const auto& t : all) {
        if (t.rising == rising) omega.push_back(t.omega);
    }
    if (omega.size() < 2) return std::nullopt;
    if (omega.size() == 2) return omega.front();
    std::nth_element(omega.begin(), omega.begin() + static_cast<std::ptrdiff_t>((omega.size() - 1) / 2),
                     omega.end());
    return omega[(omega.size() - 1) / 2];
}

struct Deviation {
    const Traverse* traverse = nullptr;
    double base = 0.0;  // what the flank's traverses agree on
    double counts = 0.0;
    bool known = false;  // the flank went by more than once
    bool off = false;
};

std::vector<Deviation> deviations(const SlipSearch& search, double q) {
    const auto rising = agreed(search.traverses(), true), falling = agreed(search.traverses(), false);
    std::vector<Deviation> out;
    for (const auto& t : search.traverses()) {
        const auto& base = t.rising ? rising : falling;
        const double counts = base ? (t.omega - *base) / q : 0.0;
        const bool off = std::abs(counts) > std::max(least_counts, noise_factor * t.u / q);
        out.push_back({&t, base.value_or(0.0), counts, base.has_value(), off});
    }
    return out;
}

/// Where one sweep's traverses change from agreeing to being off, or from off to agreeing.
struct Break {
    const Deviation* before = nullptr;  // none: the whole sweep is off
    const Deviation* after = nullptr;
    const Deviation* once = nullptr;  // went by only once, between the two
    int counts = 0;                   // that the side that is off lies off
    bool found = false;
    bool first_part_off = false;
};

Break find_break(const std::vector<Deviation>& all, std::size_t sweep) {
    Break out;
    const Deviation* last = nullptr;
    const Deviation* once = nullptr;
    for (const auto& d : all) {
        if (d.traverse->sweep != sweep) continue;
        if (!d.known) {
            once = &d;
            continue;
        }
        if (out.found && !out.first_part_off) {
            // A slip in the midst of a flank shows in full on the next.
            if (d.off && std::abs(d.counts) > std::abs(out.after->counts)) {
                out.counts = static_cast<int>(std::lround(d.counts));
            }
            return out;
        }
        if (last != nullptr && last->off != d.off) {
            const double counts = d.off ? d.counts : last->counts;
            out = {last, &d, once, static_cast<int>(std::lround(counts)), true, last->off};
            if (out.first_part_off) return out;
        }
        last = &d;
        once = nullptr;
    }
    if (!out.found && last != nullptr && last->off) {
        out.found = true;
        out.counts = static_cast<int>(std::lround(last->counts));
    }
    return out;
}

/// The rows among which the offset of `rad` sets in: all change points nearly as good as the best.
struct Setting {
    std::size_t first = 0;
    std::size_t best = 0;
    std::size_t last = 0;
};

Setting locate(const SlipSearch& search, std::size_t p, const Samples& s, const Break& b, double rad,
               double q) {
    const std::size_t from = b.before->traverse->from, to = b.after->traverse->to;
    const auto base_of = [&](double slope) {
        const bool rising = slope > 0.0;
        return rising == b.before->traverse->rising ? b.before->base : b.after->base;
    };
    // Cost of a change at row k: rows on the side that is off are explained by the offset, the others by
    // none.
    const double sign = b.first_part_off ? -1.0 : 1.0;
    std::vector<double> behind(to - from + 1, 0.0);
    for (std::size_t i = to; i-- > from;) {
        const auto r = search.row(p, s, i);
        const double rest = r.residual - r.slope * base_of(r.slope), moved = rest - r.slope * rad;
        behind[i - from] = behind[i - from + 1] + sign * (moved * moved - rest * rest);
    }
    const auto best = std::min_element(behind.begin(), behind.end());
    const double enough = *best + 20.0 * search.steepest() * search.steepest() * q * q / 12.0;
    Setting out;
    out.best = from + static_cast<std::size_t>(best - behind.begin());
    out.first = out.last = out.best;
    while (out.first > from && behind[out.first - 1 - from] <= enough) --out.first;
    while (out.last < to && behind[out.last + 1 - from] <= enough) ++out.last;
    return out;
}

void shift_rows(CleanSweep& sweep, std::size_t from, std::size_t to, double rad) {
    for (std::size_t i = from; i < to; ++i) sweep.samples.angle_rad[i] += rad;
}

std::string counts_text(int counts) {
    return fmt::format("{} count{}", std::abs(counts), std::abs(counts) == 1 ? "" : "s");
}

double deg_at(const CleanSweep& sweep, std::size_t row) {
    return deg_from_rad(sweep.samples.angle_rad[std::min(row, sweep.samples.size() - 1)]);
}

}  // namespace

std::vector<FoundSlip> take_slips_out(const std::string& lobe, std::vector<CleanSweep>& sweeps,
                                      const PeriodicSpline& front, const PeriodicSpline& rear,
                                      std::span<const double> slope) {
    std::vector<FoundSlip> found;
    for (int round = 0; round < most_slips; ++round) {
        const SlipSearch search(sweeps, front, rear, slope);
        bool moved = false;
        for (std::size_t p = 0; p < sweeps.size() && !moved; ++p) {
            const double q = sweeps[p].angle_step_rad;
            if (q <= 0.0) continue;
            const auto all = deviations(search, q);
            const Break b = find_break(all, p);
            if (!b.found || b.counts == 0) continue;
            CleanSweep& sweep = sweeps[p];
            const std::size_t n = sweep.samples.size();
            if (b.before == nullptr) {
                found.push_back({p, b.counts, deg_at(sweep, 0), deg_at(sweep, n - 1), true});
                shift_rows(sweep, 0, n, b.counts * q);
            } else if (b.once != nullptr) {
                throw DataError(
                    fmt::format("lobe '{}', pass {}: the encoder slipped {} between {:.0f} and {:.0f} deg, "
                                "and a flank that was swept "
                                "only once lies between; sweep it again over two turns",
                                lobe, sweep.pass, counts_text(b.counts),
                                wrapped_deg(deg_at(sweep, b.before->traverse->to)),
                                wrapped_deg(deg_at(sweep, b.after->traverse->from))));
            } else {
                const auto where = locate(search, p, sweep.samples, b, b.counts * q, q);
                found.push_back({p, b.counts, deg_at(sweep, where.first), deg_at(sweep, where.last), false});
                const std::size_t middle = where.first + (where.last - where.first) / 2;
                if (b.first_part_off) {
                    shift_rows(sweep, 0, middle, b.counts * q);
                } else {
                    shift_rows(sweep, middle, n, b.counts * q);
                }
            }
            moved = true;
        }
        if (!moved) return found;
    }
    throw DataError(
        fmt::format("lobe '{}': the encoder slipped more than {} times; mend the encoder or its coupling and "
                    "sweep again",
                    lobe, most_slips));
}

}  // namespace lobewright
