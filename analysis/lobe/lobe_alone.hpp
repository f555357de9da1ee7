// lobe_alone.hpp: one lobe of one run with everything that its figures are read off, no reference beside it.
#pragma once

#include <vector>

#include "analysis/lobe/lobe_view.hpp"
#include "analysis/run/run.hpp"
#include "analysis/uncertainty/influence.hpp"

namespace lobewright {

/// Where the run's indicators stood on a lobe of this width.
LobeGeometry geometry_of(const Run& run, double width_mm);

/// Owns what its view refers to, so that it can't be copied; `curve` and `run` must outlive it. Figures formed through
/// the view leave their terms in `budget`. Throws DataError naming the lobe as lobe_on_grid and lobe_landmarks do.
class LobeAlone {
public:
    LobeAlone(const LobeCurve& curve, const Lobe& lobe, const Run& run);
    LobeAlone(const LobeAlone&) = delete;
    LobeAlone& operator=(const LobeAlone&) = delete;

    [[nodiscard]] const LobeView& view() const { return view_; }
    [[nodiscard]] const std::vector<BudgetLine>& budget() const { return budget_; }

private:
    SinusoidFit heel_;
    LobeOnGrid shape_;
    LobeGeometry geometry_;
    LobeLandmarks marks_;
    std::vector<BudgetLine> budget_;
    RunUncertainty part_;
    LobeUncertainty all_;
    LobeView view_;
};

}  // namespace lobewright
