#include "analysis/lobe/lobe_alone.hpp"

namespace lobewright {

LobeGeometry geometry_of(const Run& run, double width_mm) {
    return {run.rig.front_z_mm, run.rig.rear_z_mm, width_mm};
}

LobeAlone::LobeAlone(const LobeCurve& curve, const Lobe& lobe, const Run& run)
    : heel_(grid_points, curve.heel),
      shape_(lobe_on_grid(curve, 0.0, heel_)),
      geometry_(geometry_of(run, lobe.width_mm)),
      marks_(lobe_landmarks(lobe.name, mixed(shape_, geometry_.mid()))),
      part_(curve, shape_, heel_, run.rig, 0.0),
      all_{&part_, nullptr, run.datum ? run.datum->u_mm : 0.0, 0.0, &budget_},
      view_{curve, shape_, heel_, geometry_, marks_, marks_, part_, all_, false} {}

}  // namespace lobewright
