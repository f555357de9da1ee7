// run_comparison.hpp: two runs compared field by field, lengths to the last bit.
#pragma once

#include <catch2/catch.hpp>

#include "analysis/run/run.hpp"

namespace lobewright_test {

inline void require_same_sweep(const lobewright::Sweep& a, const lobewright::Sweep& b) {
    REQUIRE(a.of == b.of);
    REQUIRE(a.pass == b.pass);
    REQUIRE((a.t_us == b.t_us && a.count == b.count && a.angle_deg == b.angle_deg));
    REQUIRE((a.front_mm == b.front_mm && a.rear_mm == b.rear_mm));
}

inline void require_same_lobe(const lobewright::Lobe& a, const lobewright::Lobe& b) {
    REQUIRE(a.name == b.name);
    REQUIRE(a.kind == b.kind);
    REQUIRE(a.cylinder == b.cylinder);
    REQUIRE((a.z_mm == b.z_mm && a.width_mm == b.width_mm && a.base_diameter_mm == b.base_diameter_mm));
    REQUIRE(a.tappet == b.tappet);
    REQUIRE(a.stripes.size() == b.stripes.size());
    for (std::size_t i = 0; i < a.stripes.size(); ++i) {
        REQUIRE(a.stripes[i].at == b.stripes[i].at);
        REQUIRE(a.stripes[i].width_mm == b.stripes[i].width_mm);
        REQUIRE(a.stripes[i].side == b.stripes[i].side);
    }
}

inline void require_same_rig(const lobewright::RigInfo& a, const lobewright::RigInfo& b) {
    REQUIRE(a.counts_per_rev == b.counts_per_rev);
    REQUIRE((a.direction == b.direction && a.zero_deg == b.zero_deg && a.tip == b.tip));
    REQUIRE(
        (a.tip_radius_mm == b.tip_radius_mm && a.front_z_mm == b.front_z_mm && a.rear_z_mm == b.rear_z_mm));
    REQUIRE((a.resolution_mm == b.resolution_mm && a.error_limit_mm == b.error_limit_mm));
    REQUIRE(a.temperature_c == b.temperature_c);
}

/// Every field, lengths to the last bit; not the paths.
inline void require_same_run(const lobewright::Run& a, const lobewright::Run& b) {
    REQUIRE(a.units == b.units);
    REQUIRE((a.info.id == b.info.id && a.info.taken == b.info.taken && a.info.condition == b.info.condition));
    REQUIRE((a.info.hours == b.info.hours && a.info.operator_name == b.info.operator_name));
    REQUIRE(a.info.note == b.info.note);
    REQUIRE(
        (a.cam.part == b.cam.part && a.cam.follower == b.cam.follower && a.cam.retention == b.cam.retention));
    REQUIRE((a.cam.follower_radius_mm == b.cam.follower_radius_mm && a.cam.material == b.cam.material));
    REQUIRE(a.cam.case_depth_mm == b.cam.case_depth_mm);
    REQUIRE(a.tappet.has_value() == b.tappet.has_value());
    if (a.tappet) REQUIRE(a.tappet->diameter_mm == b.tappet->diameter_mm);
    if (a.tappet) REQUIRE(a.tappet->crown_radius_mm == b.tappet->crown_radius_mm);
    REQUIRE(a.valvetrain.has_value() == b.valvetrain.has_value());
    if (a.valvetrain) REQUIRE(a.valvetrain->rocker_ratio == b.valvetrain->rocker_ratio);
    if (a.valvetrain) REQUIRE(a.valvetrain->seat_force_n == b.valvetrain->seat_force_n);
    if (a.valvetrain) REQUIRE(a.valvetrain->rate_n_per_mm == b.valvetrain->rate_n_per_mm);
    require_same_rig(a.rig, b.rig);
    REQUIRE(a.datum.has_value() == b.datum.has_value());
    if (a.datum) REQUIRE(a.datum->method == b.datum->method);
    if (a.datum) REQUIRE(a.datum->rear_minus_front_mm == b.datum->rear_minus_front_mm);
    if (a.datum) REQUIRE(a.datum->u_mm == b.datum->u_mm);
    REQUIRE(a.journals.size() == b.journals.size());
    for (std::size_t i = 0; i < a.journals.size(); ++i) {
        REQUIRE((a.journals[i].name == b.journals[i].name && a.journals[i].z_mm == b.journals[i].z_mm));
        REQUIRE(a.journals[i].diameter_mm == b.journals[i].diameter_mm);
        REQUIRE(a.journals[i].v_angle_deg == b.journals[i].v_angle_deg);
    }
    REQUIRE(a.lobes.size() == b.lobes.size());
    for (std::size_t i = 0; i < a.lobes.size(); ++i) require_same_lobe(a.lobes[i], b.lobes[i]);
    REQUIRE(a.sweeps.size() == b.sweeps.size());
    for (std::size_t i = 0; i < a.sweeps.size(); ++i) require_same_sweep(a.sweeps[i], b.sweeps[i]);
}

}  // namespace lobewright_test
