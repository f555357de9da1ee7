#include "analysis/lobe/heel_form.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "analysis/lobe/heel_disturbance.hpp"

namespace lobewright {
namespace {

constexpr double form_block_deg = 8.0;   // form is what stands over some degrees; shorter is noise or grit
constexpr std::size_t form_draws = 200;  // the 95 % point of so many is known to a tenth of itself
constexpr std::uint64_t form_seed = 0x4ee1;

double range_of_blocks(const std::vector<double>& block) {
    const auto [low, high] = std::minmax_element(block.begin(), block.end());
    return *high - *low;
}

/// Means of the form as it is carried on between the blocks' middles.
std::vector<double> block_means(const HeelForm& form, const GridArc& arc, std::size_t blocks) {
    std::vector<double> mean(blocks, 0.0), count(blocks, 0.0);
    for (std::size_t i = 0; i < arc.count; ++i) {
        const std::size_t b = std::min(i * blocks / arc.count, blocks - 1);
        mean[b] += form.at(i, arc.count);
        count[b] += 1.0;
    }
    for (std::size_t b = 0; b < blocks; ++b) mean[b] /= count[b];
    return mean;
}

double largest_of_95(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    return values[values.size() * 95 / 100];
}

/// Range without what disturbances feign, in squares; never below nothing.
double without_feigned(double range, double feigned) {
    return std::sqrt(std::max(range * range - feigned * feigned, 0.0));
}

double feigned_range(const std::vector<std::vector<double>>& drawn) {
    double squares = 0.0;
    for (const auto& one : drawn) squares += std::pow(range_of_blocks(one), 2.0);
    return std::sqrt(squares / static_cast<double>(drawn.size()));
}

/// Blocks without what noise makes of neighbours: a quarter of either to a half of its own.
HeelForm smoothed_form(const HeelForm& form) {
    std::vector<double> block(form.block.begin() + 1, form.block.end() - 1);
    const std::vector<double> own = block;
    for (std::size_t b = 1; b + 1 < own.size(); ++b)
        block[b] = 0.25 * (own[b - 1] + 2.0 * own[b] + own[b + 1]);
    HeelForm out = form;
    out.block = with_ends(std::move(block));
    return out;
}

/// The same found again on a form that is as large and as smooth as the one found may really be, with each of the
/// disturbances: what it is off by is taken off the size, and how far it strays is its u95.
Measured found_again(const HeelForm& form, const GridArc& arc, std::vector<std::vector<double>> drawn) {
    const HeelForm smooth = smoothed_form(form);
    const auto again = with_ends(block_means(smooth, arc, form.block.size() - 2));
    const double share = form.believed(), truth = share * smooth.range();
    std::vector<double> feigned, off;
    for (auto& one : drawn) {
        feigned.push_back(without_feigned(range_of_blocks(one), form.feigned_mm));
        for (std::size_t b = 0; b < one.size(); ++b) one[b] += share * again[b];
        off.push_back(without_feigned(range_of_blocks(one), form.feigned_mm) - truth);
    }
    const double bias = std::accumulate(off.begin(), off.end(), 0.0) / static_cast<double>(off.size());
    for (double& one : off) one = std::abs(one - bias);
    Measured size{std::max(form.size.value - bias, 0.0), largest_of_95(off)};
    // What disturbances alone may show is no proof of a form: none at all stays within reach.
    if (form.size.value <= largest_of_95(feigned)) size.u95 = std::max(size.u95, size.value);
    return size;
}

}  // namespace

double HeelForm::range() const {
    return range_of_blocks(block);
}

double HeelForm::believed() const {
    const double seen = range();
    return seen > 0.0 ? size.value * size.value / (seen * seen) : 0.0;
}

double HeelForm::at(std::size_t i, std::size_t count) const {
    const auto inner = static_cast<double>(block.size() - 2);
    const double x =
        (static_cast<double>(i) + 0.5) / static_cast<double>(count) * inner;  // 0..inner, blocks wide
    const double position =
        std::clamp(x + 0.5, 0.5, inner + 0.5);  // middles at 1, 2, ..., ends at 0.5 and inner + 0.5
    if (position <= 1.0) return block[0] + (position - 0.5) * 2.0 * (block[1] - block[0]);
    if (position >= inner) {
        return block[block.size() - 2] + (position - inner) * 2.0 * (block.back() - block[block.size() - 2]);
    }
    const auto k = static_cast<std::size_t>(position);
    return block[k] + (position - static_cast<double>(k)) * (block[k + 1] - block[k]);
}

HeelForm heel_form(const LobeView& view, EdgeMix mix) {
    const auto curve = mixed(view.shape, mix);
    const auto arc = view.heel.arc();
    const double length = static_cast<double>(arc.count - 1);
    const auto blocks =
        std::max<std::size_t>(4, static_cast<std::size_t>(length / (form_block_deg * grid_per_deg)));
    const double block = length / static_cast<double>(blocks);
    std::vector<double> means;
    for (std::size_t i = 0; i < blocks; ++i) {
        const double from = static_cast<double>(arc.first) + block * static_cast<double>(i);
        const auto weights = mean_weights(from, from + block);
        means.push_back(weighted_sum(weights, curve));
    }
    HeelForm form;
    form.block = with_ends(std::move(means));
    std::vector<std::vector<double>> drawn(form_draws);
    const HeelDisturbance disturbance(view, mix, blocks);
    NormalDraws normal(form_seed);
    for (auto& one : drawn) one = disturbance.draw(normal);
    form.feigned_mm = feigned_range(drawn);
    form.size.value = without_feigned(form.range(), form.feigned_mm);
    form.size = found_again(form, arc, std::move(drawn));
    return form;
}

}  // namespace lobewright
