#include "analysis/lobe/heel_form.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "analysis/lobe/heel_disturbance.hpp"

namespace lobewright {
namespace {

constexpr double form_block_deg = 8.0;   // form is what stands over some degrees; shorter is noise or grit
constexpr std::size_t form_draws = 200;  // the 95 % point of so many is known to a tenth of itself
constexpr std::size_t held_of_100 = 95;  // of 100 draws: what u95 holds
// A form is proven that so many don't feign: proofs that are none must leave u95 some of the 5 in 100 that it may miss.
constexpr std::size_t proven_of_100 = 98;
constexpr std::uint64_t form_seed = 0x4ee1;

double range_of_blocks(const HeelBlocks& block) {
    const auto [low, high] = std::minmax_element(block.begin(), block.end());
    return *high - *low;
}

double mean_square_of_blocks(const HeelBlocks& block) {
    return std::inner_product(block.begin(), block.end(), block.begin(), 0.0) /
           static_cast<double>(block.size());
}

/// Means of a form that is carried on between the blocks' middles.
HeelBlocks means_again(const HeelBlocks& block, const GridArc& arc) {
    const std::size_t blocks = block.size() - 2;
    std::vector<double> mean(blocks, 0.0), count(blocks, 0.0);
    for (std::size_t i = 0; i < arc.count; ++i) {
        const std::size_t b = std::min(i * blocks / arc.count, blocks - 1);
        mean[b] += heel_block_at(block, i, arc.count);
        count[b] += 1.0;
    }
    for (std::size_t b = 0; b < blocks; ++b) mean[b] /= count[b];
    return with_ends(std::move(mean));
}

/// The largest of the smallest `of_100` in a hundred.
double percentile(std::vector<double> values, std::size_t of_100) {
    std::sort(values.begin(), values.end());
    return values[values.size() * of_100 / 100];
}

/// Range without what disturbances feign, in squares; never below nothing.
double without_feigned(double range, double feigned) {
    return std::sqrt(std::max(range * range - feigned * feigned, 0.0));
}

/// Root mean square of the range that disturbances alone show.
double feigned_range(const std::vector<HeelBlocks>& drawn) {
    double squares = 0.0;
    for (const auto& one : drawn) squares += std::pow(range_of_blocks(one), 2.0);
    return std::sqrt(squares / static_cast<double>(drawn.size()));
}

/// Blocks without what noise makes of neighbours: a quarter of either to a half of its own.
HeelBlocks smoothed_blocks(const HeelBlocks& with_their_ends) {
    std::vector<double> block(with_their_ends.begin() + 1, with_their_ends.end() - 1);
    const std::vector<double> own = block;
    for (std::size_t b = 1; b + 1 < own.size(); ++b)
        block[b] = 0.25 * (own[b - 1] + 2.0 * own[b] + own[b + 1]);
    return with_ends(std::move(block));
}

HeelBlocks scaled_blocks(HeelBlocks block, double factor) {
    for (double& one : block) one *= factor;
    return block;
}

/// Without what disturbances feign.
Measured size_of(const HeelForm& form) {
    const double feigned = feigned_range(form.drawn);
    const auto size = [&](const HeelBlocks& shown) {
        return without_feigned(range_of_blocks(shown), feigned);
    };
    Measured out{size(form.block), u95_found_again(form, range_of_blocks(form.likely), size)};
    // What disturbances alone may show is no proof of a form: none at all stays within reach.
    std::vector<double> alone;
    for (const auto& one : form.drawn) alone.push_back(size(one));
    if (out.value <= percentile(std::move(alone), proven_of_100)) out.u95 = std::max(out.u95, out.value);
    return out;
}

}  // namespace

double heel_block_at(const HeelBlocks& block, std::size_t i, std::size_t count) {
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

double HeelForm::believed(const HeelBlocks& shown) const {
    const double seen = mean_square_of_blocks(shown);
    return seen > feigned_mm2 ? 1.0 - feigned_mm2 / seen : 0.0;
}

double u95_found_again(const HeelForm& form, double truth,
                       const std::function<double(const HeelBlocks&)>& figure_of) {
    std::vector<double> off;
    HeelBlocks shown(form.likely_means.size());
    for (const auto& one : form.drawn) {
        for (std::size_t b = 0; b < shown.size(); ++b) shown[b] = form.likely_means[b] + one[b];
        off.push_back(std::abs(figure_of(shown) - truth));
    }
    return percentile(std::move(off), held_of_100);
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
        means.push_back(weighted_sum(mean_weights(from, from + block), curve));
    }
    HeelForm form;
    form.block = with_ends(std::move(means));
    const HeelDisturbance disturbance(view, mix, blocks);
    NormalDraws normal(form_seed);
    for (std::size_t i = 0; i < form_draws; ++i) {
        form.drawn.push_back(disturbance.draw(normal));
        form.feigned_mm2 += mean_square_of_blocks(form.drawn.back()) / static_cast<double>(form_draws);
    }
    form.likely = scaled_blocks(smoothed_blocks(form.block), form.believed(form.block));
    form.likely_means = means_again(form.likely, arc);
    form.size = size_of(form);
    return form;
}

}  // namespace lobewright
