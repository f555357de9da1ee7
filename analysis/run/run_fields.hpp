// run_fields.hpp: every key of run.toml, once, in the order of docs/run-folder.md.
// Reading and printing walk the same list (a Form is either), so that neither can know a key that the other
// doesn't. A key is required unless its field is std::optional or the call says defaulted_.
#pragma once

#include <concepts>
#include <type_traits>

#include "analysis/run/run.hpp"

namespace lobewright {

/// What a number must satisfy beside being finite.
enum class Bound { any, positive, not_negative, between_0_and_180 };

/// T or const T: a Form that reads takes the one, a Form that prints the other.
template <class Field, class T>
concept Like = std::same_as<std::remove_const_t<Field>, T>;

void fields(auto& form, Like<RunInfo> auto& info) {
    form.text("id", info.id);
    form.time("taken", info.taken);
    form.choice("condition", info.condition);
    form.number("hours", info.hours, Bound::not_negative);
    form.text("operator", info.operator_name);
    form.text("note", info.note);
}

void fields(auto& form, Like<CamInfo> auto& cam) {
    form.text("part", cam.part);
    form.choice("follower", cam.follower);
    form.length("follower_radius", cam.follower_radius_mm, Bound::not_negative);
    form.choice("retention", cam.retention);
    form.text("material", cam.material);
    form.length("case_depth", cam.case_depth_mm, Bound::not_negative);
}

void fields(auto& form, Like<TappetInfo> auto& tappet) {
    form.length("diameter", tappet.diameter_mm, Bound::positive);
    form.length("crown_radius", tappet.crown_radius_mm, Bound::positive);
}

void fields(auto& form, Like<ValvetrainInfo> auto& valvetrain) {
    form.number("rocker_ratio", valvetrain.rocker_ratio, Bound::positive);
    form.number("seat_force_n", valvetrain.seat_force_n, Bound::not_negative);
    form.number("rate_n_per_mm", valvetrain.rate_n_per_mm, Bound::not_negative);
}

void fields(auto& form, Like<RigInfo> auto& rig) {
    form.whole("counts_per_rev", rig.counts_per_rev);
    form.defaulted_sign("direction", rig.direction);
    form.defaulted_number("zero_deg", rig.zero_deg);
    form.choice("tip", rig.tip);
    form.length("tip_radius", rig.tip_radius_mm, Bound::not_negative);
    form.length("front_z", rig.front_z_mm, Bound::any);
    form.length("rear_z", rig.rear_z_mm, Bound::any);
    form.length("resolution", rig.resolution_mm, Bound::positive);
    form.length("error_limit", rig.error_limit_mm, Bound::not_negative);
    form.number("temperature_c", rig.temperature_c, Bound::any);
}

void fields(auto& form, Like<DatumInfo> auto& datum) {
    form.choice("method", datum.method);
    form.length("rear_minus_front", datum.rear_minus_front_mm, Bound::any);
    form.length("u", datum.u_mm, Bound::not_negative);
}

void fields(auto& form, Like<Journal> auto& journal) {
    form.name("name", journal.name);
    form.length("z", journal.z_mm, Bound::any);
    form.length("diameter", journal.diameter_mm, Bound::positive);
    form.number("v_angle_deg", journal.v_angle_deg, Bound::between_0_and_180);
}

void fields(auto& form, Like<Stripe> auto& stripe) {
    form.choice("at", stripe.at);
    form.length("width", stripe.width_mm, Bound::not_negative);
    form.choice("side", stripe.side);
}

void fields(auto& form, Like<Lobe> auto& lobe) {
    form.name("name", lobe.name);
    form.choice("kind", lobe.kind);
    form.whole("cylinder", lobe.cylinder);
    form.length("z", lobe.z_mm, Bound::any);
    form.length("width", lobe.width_mm, Bound::positive);
    form.length("base_diameter", lobe.base_diameter_mm, Bound::positive);
    form.text("tappet", lobe.tappet);
    form.list("stripe", lobe.stripes);
}

void fields(auto& form, Like<Run> auto& run) {
    form.format("format", "lobewright-run/1");
    form.units("units", run.units);
    form.section("run", run.info);
    form.section("cam", run.cam);
    form.section("tappet", run.tappet);
    form.section("valvetrain", run.valvetrain);
    form.section("rig", run.rig);
    form.section("datum", run.datum);
    form.list("journal", run.journals);
    form.list("lobe", run.lobes);
}

}  // namespace lobewright
