#include "analysis/sweep/spikes.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include <Eigen/Core>

namespace lobewright {
namespace {

// 8 sd: in 14 400 samples white noise passes 8 sd with a probability below 1e-11, so that nothing true is
// lost; halved, a sweep would lose one true reading in a turn. 4 steps guard where the noise is below the
// step.
constexpr double noise_factor = 8.0;
constexpr double step_factor = 4.0;
constexpr std::size_t noise_picks = 2001;

double median_of(std::vector<double>& values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

double median_of_five(const std::vector<double>& y, std::size_t i) {
    std::array<double, 5> v{y[i - 2], y[i - 1], y[i], y[i + 1], y[i + 2]};
    std::nth_element(v.begin(), v.begin() + 2, v.end());
    return v[2];
}

/// sd of white noise from second differences: sd(y1 - 2 y2 + y3) = sqrt(6) sd, median |z| = 0.6745 sd.
double noise_sd(const std::vector<double>& y) {
    const std::size_t n = y.size();
    const std::size_t stride = std::max<std::size_t>(1, (n - 2) / noise_picks);
    std::vector<double> size;
    for (std::size_t i = 1; i + 1 < n; i += stride)
        size.push_back(std::abs(y[i - 1] - 2.0 * y[i] + y[i + 1]));
    return median_of(size) / (0.6744897502 * std::sqrt(6.0));
}

/// Off the cubic through the two neighbours on either side, in angle: what the lobe's own shape can't explain
/// where the readings lie far apart. Neighbours at one angle (a cam at rest) leave their mean.
double off_cubic(const std::vector<double>& x, const std::vector<double>& y, std::size_t i) {
    const std::array<std::size_t, 4> at{i - 2, i - 1, i + 1, i + 2};
    double fit = 0.0;
    for (std::size_t p : at) {
        double weight = 1.0;
        for (std::size_t q : at) {
            if (q == p) continue;
            if (x[p] == x[q]) return y[i] - 0.5 * (y[i - 1] + y[i + 1]);
            weight *= (x[i] - x[q]) / (x[p] - x[q]);
        }
        fit += weight * y[p];
    }
    return y[i] - fit;
}

/// Deviations from the median of five above the threshold, as (row, deviation).
struct Outlier {
    std::size_t row;
    double size;
};

/// Off the straight line through the nearest rows on either side that aren't spikes themselves.
double off_line(const std::vector<double>& x, const std::vector<double>& y, std::size_t i,
                const std::vector<char>& spike) {
    std::size_t before = i - 1, after = i + 1;
    if (spike[before] != 0) --before;
    if (spike[after] != 0) ++after;
    const double span = x[after] - x[before];
    const double share = span == 0.0 ? 0.5 : (x[i] - x[before]) / span;
    return y[i] - y[before] - share * (y[after] - y[before]);
}

/// Rows that stand further than `limit` off the mean of their neighbours, the two at either end left out: a reading between
/// its neighbours, or near their mean, can't stand far off the median of five. Nearly all blocks hold none.
std::vector<std::size_t> off_their_neighbours(const std::vector<double>& y, double limit) {
    constexpr Eigen::Index block = 256;
    std::vector<std::size_t> out;
    const auto n = static_cast<Eigen::Index>(y.size());
    const Eigen::Map<const Eigen::ArrayXd> all(y.data(), n);
    for (Eigen::Index from = 2; from + 2 < n; from += block) {
        const Eigen::Index rows = std::min(block, n - 2 - from);
        const auto off =
            all.segment(from, rows) - 0.5 * (all.segment(from - 1, rows) + all.segment(from + 1, rows));
        if (off.abs().maxCoeff() <= limit) continue;
        for (Eigen::Index i = 0; i < rows; ++i)
            if (std::abs(off[i]) > limit) out.push_back(static_cast<std::size_t>(from + i));
    }
    return out;
}

std::vector<Outlier> outliers(const std::vector<double>& angle, const std::vector<double>& y,
                              double threshold) {
    std::vector<Outlier> candidates;
    const std::size_t n = y.size();
    for (std::size_t i : off_their_neighbours(y, 0.5 * threshold)) {
        const double off = y[i] - median_of_five(y, i);
        if (std::abs(off) > threshold && std::abs(off_cubic(angle, y, i)) > threshold)
            candidates.push_back({i, off});
    }
    // The largest first: a spike on a flank must not take its true neighbours along.
    std::sort(candidates.begin(), candidates.end(),
              [](const Outlier& a, const Outlier& b) { return std::abs(a.size) > std::abs(b.size); });
    std::vector<char> spike(n, 0);
    std::vector<Outlier> found;
    for (const auto& c : candidates) {
        const bool beside =
            spike[c.row - 1] != 0 || spike[c.row + 1] != 0 || spike[c.row - 2] != 0 || spike[c.row + 2] != 0;
        const double off = beside ? off_line(angle, y, c.row, spike) : c.size;
        if (std::abs(off) <= threshold) continue;
        spike[c.row] = 1;
        found.push_back({c.row, off});
    }
    return found;
}

void erase_rows(Samples& rows, const std::vector<char>& gone) {
    std::size_t out = 0;
    for (std::size_t i = 0; i < gone.size(); ++i) {
        if (gone[i]) continue;
        rows.angle_rad[out] = rows.angle_rad[i];
        rows.front_mm[out] = rows.front_mm[i];
        rows.rear_mm[out] = rows.rear_mm[i];
        rows.readings[out] = rows.readings[i];
        if (!rows.time_s.empty()) rows.time_s[out] = rows.time_s[i];
        ++out;
    }
    rows.angle_rad.resize(out);
    rows.front_mm.resize(out);
    rows.rear_mm.resize(out);
    rows.readings.resize(out);
    if (!rows.time_s.empty()) rows.time_s.resize(out);
}

void mark_table_spikes(const Samples& rows, double resolution_mm, std::vector<char>& gone,
                       std::vector<Spike>& spikes) {
    std::vector<double> between(rows.size());
    for (std::size_t i = 0; i < between.size(); ++i) between[i] = rows.rear_mm[i] - rows.front_mm[i];
    const double threshold = std::max(noise_factor * noise_sd(between), 2.0 * step_factor * resolution_mm);
    for (const auto& [i, off] : outliers(rows.angle_rad, between, threshold)) {
        const auto bend = [i = i](const std::vector<double>& y) {
            return y[i] -
                   (4.0 * (y[i - 1] + y[i + 1]) - (y[i - 2] + y[i + 2])) / 6.0;  // off the cubic around it
        };
        const bool front = std::abs(bend(rows.front_mm)) > std::abs(bend(rows.rear_mm));
        gone[i] = 1;
        spikes.push_back({deg_from_rad(rows.angle_rad[i]), front, front ? -off : off});
    }
}

}  // namespace

void take_spikes_out(Samples& rows, double resolution_mm, bool table, std::vector<Spike>& spikes) {
    std::vector<char> gone(rows.size(), 0);
    if (table) {
        mark_table_spikes(rows, resolution_mm, gone, spikes);
    } else {
        for (const bool front : {true, false}) {
            const auto& y = front ? rows.front_mm : rows.rear_mm;
            const double threshold = std::max(noise_factor * noise_sd(y), step_factor * resolution_mm);
            for (const auto& [i, off] : outliers(rows.angle_rad, y, threshold)) {
                gone[i] = 1;
                spikes.push_back({deg_from_rad(rows.angle_rad[i]), front, off});
            }
        }
    }
    if (!spikes.empty()) erase_rows(rows, gone);
}

}  // namespace lobewright
