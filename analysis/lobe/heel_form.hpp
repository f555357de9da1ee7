// heel_form.hpp: what is left on a lobe's heel once its circle is off, in blocks of some degrees, and what the readings'
// disturbances alone would show there.
//
// A range (largest minus smallest) of disturbed values is larger than that of the true ones, and scatters otherwise than
// any one value does. So the disturbances are drawn: noise of each block, the walk of the indicators, what their step
// leaves (a parametric bootstrap: B. Efron 1979, from memory). mm.
#pragma once

#include <functional>
#include <vector>

#include "analysis/lobe/lobe_view.hpp"
#include "analysis/measured.hpp"

namespace lobewright {

/// Means of the blocks, with what stands at the arc's two ends before and behind.
using HeelBlocks = std::vector<double>;

/// At point i of an arc of `count`, straight between the blocks' middles.
double heel_block_at(const HeelBlocks& block, std::size_t i, std::size_t count);

struct HeelForm {
    HeelBlocks block;
    HeelBlocks likely;              // a form as large and as smooth as the real one may be
    HeelBlocks likely_means;        // what blocks would show of it
    std::vector<HeelBlocks> drawn;  // what disturbances alone might have shown
    double feigned_mm2 = 0.0;       // mean square of the blocks that disturbances alone show
    Measured size;                  // the form's range without what disturbances feign

    /// How much of such blocks is believed: the share of their mean square that stands above the disturbances.
    [[nodiscard]] double believed(const HeelBlocks& shown) const;
};

/// How far a figure strays from the truth that is put in, found again on the likely form with each of the disturbances.
/// What it is off by in the mean is in that and isn't taken off: known from one disturbed form, it would disturb more than
/// it mends.
double u95_found_again(const HeelForm& form, double truth,
                       const std::function<double(const HeelBlocks&)>& figure_of);

HeelForm heel_form(const LobeView& view, EdgeMix mix);

}  // namespace lobewright
