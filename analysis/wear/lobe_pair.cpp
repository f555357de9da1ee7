#include "analysis/wear/lobe_pair.hpp"

#include <cmath>

#include "analysis/lobe/lobe_alone.hpp"

namespace lobewright {
namespace {

constexpr double unknown_temperature_k =
    2.0;  // half-width of the difference of two shop days, where not recorded

double temperature_step(const Run& reference, const Run& used) {
    if (!reference.rig.temperature_c || !used.rig.temperature_c) return unknown_temperature_k;
    return std::abs(*used.rig.temperature_c - *reference.rig.temperature_c);
}

}  // namespace

LobePair::LobePair(LobeOfRun reference, LobeOfRun used, double width_mm)
    : used_geometry_(geometry_of(used.run, width_mm)),
      reference_geometry_(geometry_of(reference.run, width_mm)),
      registered_(register_lobes(reference.curve, used.curve, reference_geometry_, used_geometry_)),
      heel_(grid_points, registered_.heel),
      used_part_(used.curve, registered_.used, heel_, used.run.rig, 0.0),
      reference_part_(reference.curve, registered_.reference, heel_, reference.run.rig,
                      registered_.delta_rad),
      all_{&used_part_, &reference_part_, used.run.datum ? used.run.datum->u_mm : 0.0,
           temperature_step(reference.run, used.run), &budget_},
      used_view_{used.curve,
                 registered_.used,
                 heel_,
                 used_geometry_,
                 registered_.used_marks,
                 registered_.reference_marks,
                 used_part_,
                 all_,
                 false},
      reference_view_{reference.curve,
                      registered_.reference,
                      heel_,
                      reference_geometry_,
                      registered_.reference_marks,
                      registered_.reference_marks,
                      reference_part_,
                      all_,
                      true},
      wear_view_{registered_,
                 used_view_,
                 reference_view_,
                 reference_geometry_,
                 used.run.rig.error_limit_mm.value_or(0.0),
                 reference.run.rig.error_limit_mm.value_or(0.0)} {}

}  // namespace lobewright
