// lobe_pair.hpp: one lobe of two runs laid over each other, with everything that figures of both are read off.
#pragma once

#include <vector>

#include "analysis/lobe/lobe_view.hpp"
#include "analysis/run/run.hpp"
#include "analysis/wear/registration.hpp"
#include "analysis/wear/wear_figures.hpp"

namespace lobewright {

/// A lobe's fitted curve with the run that it comes from.
struct LobeOfRun {
    const LobeCurve& curve;
    const Run& run;
};

/// Owns what its views refer to, so that it can't be copied; curves and runs must outlive it. Figures formed through the
/// views leave their terms in `budget`. `width_mm` is the used run's lobe width. Throws DataError naming the lobe as
/// register_lobes does.
class LobePair {
public:
    LobePair(LobeOfRun reference, LobeOfRun used, double width_mm);
    LobePair(const LobePair&) = delete;
    LobePair& operator=(const LobePair&) = delete;

    [[nodiscard]] const Registered& registered() const { return registered_; }
    [[nodiscard]] const LobeView& used() const { return used_view_; }
    [[nodiscard]] const LobeView& reference() const { return reference_view_; }
    [[nodiscard]] const WearView& wear() const { return wear_view_; }
    [[nodiscard]] const LobeUncertainty& all() const { return all_; }
    [[nodiscard]] const std::vector<BudgetLine>& budget() const { return budget_; }

private:
    LobeGeometry used_geometry_;
    LobeGeometry reference_geometry_;
    Registered registered_;
    SinusoidFit heel_;
    std::vector<BudgetLine> budget_;
    RunUncertainty used_part_;
    RunUncertainty reference_part_;
    LobeUncertainty all_;
    LobeView used_view_;
    LobeView reference_view_;
    WearView wear_view_;
};

}  // namespace lobewright
