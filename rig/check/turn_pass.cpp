#include "rig/check/turn_pass.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "analysis/constants.hpp"

namespace lobewright {
namespace {

constexpr std::size_t finest_bins = 360;
constexpr std::size_t coarsest_bins = 36;

std::int64_t floor_div(std::int64_t a, std::int64_t b) {
    return a / b - (a % b != 0 && (a < 0) != (b < 0) ? 1 : 0);
}

struct BinSums {
    double mm = 0.0;
    std::size_t readings = 0;
    std::int64_t first_us = 0, last_us = 0, first_count = 0, last_count = 0;
};

std::int64_t middle_of(const BinSums& sum) {
    return sum.first_us + (sum.last_us - sum.first_us) / 2;
}

/// One part of one-way turning cut into turns of `bins` bins, from the first bin that was entered at its edge. Readings
/// are moved along `curve`, where there is one yet.
std::vector<TurnPass> passes_of(const CheckStretch& stretch, const OneWay& part, Indicator which,
                                std::int64_t cpr, std::size_t bins, const TurnPasses& curve) {
    const auto n = static_cast<std::int64_t>(bins);
    const double rad_per_count = two_pi / static_cast<double>(cpr);
    const double bin_rad = two_pi / static_cast<double>(bins);
    const auto bin_of = [&](std::int64_t count) { return floor_div(count * n, cpr); };
    const std::int64_t first =
        bin_of(stretch.points[part.from].count) + part.way;  // the first may be half seen
    const std::int64_t last = bin_of(stretch.points[part.to - 1].count) - part.way;
    const std::int64_t whole = (part.way * (last - first) + 1) / n;
    std::vector<TurnPass> passes;
    if (whole < 1) return passes;
    std::vector<BinSums> sums(static_cast<std::size_t>(whole * n));
    for (std::size_t i = part.from; i < part.to; ++i) {
        const CheckPoint& point = stretch.points[i];
        const std::int64_t step = part.way * (bin_of(point.count) - first);
        if (step < 0 || step >= whole * n || std::isnan(point.at(which))) continue;
        BinSums& sum = sums[static_cast<std::size_t>(step)];
        sum.mm += point.at(which);
        if (curve.bins() == bins) {
            const std::int64_t here = bin_of(point.count);
            const double middle = (static_cast<double>(here) + 0.5) * bin_rad;
            const auto bin = static_cast<std::size_t>((here % n + n) % n);
            sum.mm -= curve_at(curve, bin, static_cast<double>(point.count) * rad_per_count - middle) -
                      curve.level[bin];
        }
        if (sum.readings++ == 0) {
            sum.first_us = point.t_us;
            sum.first_count = point.count;
        }
        sum.last_us = point.t_us;
        sum.last_count = point.count;
    }
    for (std::int64_t turn = 0; turn < whole; ++turn) {
        TurnPass pass{part.way, 0, std::vector<TurnBin>(bins)};
        bool full = true;
        for (std::int64_t step = turn * n; step < (turn + 1) * n; ++step) {
            const auto at = static_cast<std::size_t>(step);
            const BinSums& sum = sums[at];
            if (sum.readings == 0) {
                full = false;
                break;
            }
            // Over the neighbours, so that two readings a bin are enough for a speed.
            const BinSums& before = at > 0 && sums[at - 1].readings > 0 ? sums[at - 1] : sum;
            const BinSums& after = at + 1 < sums.size() && sums[at + 1].readings > 0 ? sums[at + 1] : sum;
            const auto moved = static_cast<double>(std::abs(after.last_count - before.first_count));
            const auto took_us = static_cast<double>(after.last_us - before.first_us);
            const auto readings = static_cast<double>(sum.readings);
            TurnBin& bin = pass.bins[static_cast<std::size_t>(((first + part.way * step) % n + n) % n)];
            bin = {sum.mm / readings, 1e-6 * static_cast<double>(middle_of(sum)),
                   took_us > 0.0 ? moved * rad_per_count / (1e-6 * took_us) : 0.0, sum.readings};
        }
        if (!full) continue;
        pass.middle_us = middle_of(sums[static_cast<std::size_t>(turn * n + n / 2)]);
        for (TurnBin& bin : pass.bins) bin.s -= 1e-6 * static_cast<double>(pass.middle_us);
        passes.push_back(std::move(pass));
    }
    return passes;
}

/// Bins that hold three readings on the average.
std::size_t bins_for(const CheckStretch& stretch, const std::vector<OneWay>& parts, Indicator which,
                     std::int64_t cpr) {
    double turned = 0.0, readings = 0.0;
    for (const OneWay& part : parts) {
        turned += std::fabs(
            static_cast<double>(stretch.points[part.to - 1].count - stretch.points[part.from].count));
        for (std::size_t i = part.from; i < part.to; ++i)
            readings += std::isnan(stretch.points[i].at(which)) ? 0.0 : 1.0;
    }
    const double a_turn = turned > 0.0 ? readings / turned * static_cast<double>(cpr) : 0.0;
    return std::clamp(static_cast<std::size_t>(a_turn / 3.0), coarsest_bins, finest_bins);
}

}  // namespace

double TurnPasses::bin_rad() const {
    return two_pi / static_cast<double>(level.size());
}

void find_curve(TurnPasses& all) {
    const std::size_t n = all.passes.front().bins.size();
    all.level.assign(n, 0.0);
    all.slope.assign(n, 0.0);
    all.steepest = 0.0;
    for (const TurnPass& pass : all.passes)
        for (std::size_t i = 0; i < n; ++i)
            all.level[i] += pass.bins[i].mm / static_cast<double>(all.passes.size());
    for (std::size_t i = 0; i < n; ++i) {
        // Over two neighbours each way: over one, wide bins would make every slope a hundredth too small.
        const double near = all.level[(i + 1) % n] - all.level[(i + n - 1) % n];
        const double far = all.level[(i + 2) % n] - all.level[(i + n - 2) % n];
        all.slope[i] = (8.0 * near - far) / (12.0 * all.bin_rad());
        all.steepest = std::max(all.steepest, std::fabs(all.slope[i]));
    }
}

double curve_at(const TurnPasses& passes, std::size_t bin, double rad) {
    const std::size_t n = passes.bins();
    const std::size_t next = rad < 0.0 ? (bin + n - 1) % n : (bin + 1) % n;
    const double width = rad < 0.0 ? -passes.bin_rad() : passes.bin_rad();
    const double t = rad / width;
    const double u = 1.0 - t;
    return passes.level[bin] * (1.0 + 2.0 * t) * u * u + passes.level[next] * t * t * (3.0 - 2.0 * t) +
           width * t * u * (passes.slope[bin] * u - passes.slope[next] * t);
}

TurnPasses turn_passes(const CheckStretch& stretch, Indicator which, std::int64_t counts_per_rev) {
    constexpr int rounds = 3;  // the first finds the curve along which the others move the readings
    const auto parts = one_way_parts(stretch.points, reversal_counts(counts_per_rev));
    const std::size_t bins = bins_for(stretch, parts, which, counts_per_rev);
    TurnPasses all;
    for (int round = 0; round < rounds; ++round) {
        TurnPasses next;
        for (const OneWay& part : parts) {
            auto some = passes_of(stretch, part, which, counts_per_rev, bins, all);
            std::move(some.begin(), some.end(), std::back_inserter(next.passes));
        }
        if (next.passes.empty()) return next;
        find_curve(next);
        all = std::move(next);
    }
    return all;
}

bool on_heel(const TurnPasses& passes, std::size_t bin) {
    constexpr double share = 0.05;
    return std::fabs(passes.slope[bin]) <= share * passes.steepest;
}

}  // namespace lobewright
