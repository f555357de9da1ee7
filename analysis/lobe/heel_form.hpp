// heel_form.hpp: what is left on a lobe's heel once its circle is off, in blocks of some degrees, and what the readings'
// disturbances alone would show there.
//
// A range (largest minus smallest) of disturbed values is larger than that of the true ones, and scatters otherwise than
// any one value does. So the disturbances are drawn: noise of each block, the walk of the indicators, what their step
// leaves (a parametric bootstrap: B. Efron 1979, from memory). mm.
#pragma once

#include <vector>

#include "analysis/lobe/lobe_view.hpp"
#include "analysis/measured.hpp"

namespace lobewright {

struct HeelForm {
    std::vector<double> block;  // means, with what stands at the arc's two ends before and behind
    double feigned_mm = 0.0;    // root mean square of the range that disturbances alone show
    Measured size;              // the form's range without what disturbances feign

    [[nodiscard]] double range() const;
    /// How much of the residual is believed: what stands above the disturbances.
    [[nodiscard]] double believed() const;
    /// At point i of an arc of `count`, straight between the blocks' middles.
    [[nodiscard]] double at(std::size_t i, std::size_t count) const;
};

HeelForm heel_form(const LobeView& view, EdgeMix mix);

}  // namespace lobewright
