// run.hpp: one camshaft measured on one occasion, as docs/run-folder.md defines a run folder.
// Plain values; lengths in millimetres whatever the folder's unit, angles in degrees as the file gives them.
// Optional keys are std::optional: unknown is never zero.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "analysis/units.hpp"

namespace lobewright {

enum class Condition { as_new, before, after, used };
enum class Follower { flat, flat_offset, roller };
enum class Retention { thrust_plate, none, button };
enum class Tip { flat, roller, point };
enum class LobeKind { intake, exhaust, other };
enum class DatumMethod { bar, end_for_end };
enum class StripePlace { heel, opening, nose, closing };
enum class StripeSide { front, rear, both, neither };

/// `[run]`. `taken` is kept as RFC 3339 text.
struct RunInfo {
    std::string id;
    std::string taken;
    Condition condition = Condition::used;
    std::optional<double> hours;
    std::optional<std::string> operator_name;
    std::optional<std::string> note;
};

/// `[cam]`.
struct CamInfo {
    std::optional<std::string> part;
    Follower follower = Follower::flat;
    std::optional<double> follower_radius_mm;
    Retention retention = Retention::thrust_plate;
    std::optional<std::string> material;
    std::optional<double> case_depth_mm;
};

/// `[tappet]`.
struct TappetInfo {
    std::optional<double> diameter_mm;
    std::optional<double> crown_radius_mm;
};

/// `[valvetrain]`.
struct ValvetrainInfo {
    std::optional<double> rocker_ratio;
    std::optional<double> seat_force_n;
    std::optional<double> rate_n_per_mm;
};

/// `[rig]`. Indicator positions are relative to the lobe centre, z rising from front to rear.
struct RigInfo {
    std::optional<std::int64_t> counts_per_rev;
    int direction = 1;
    double zero_deg = 0.0;
    Tip tip = Tip::flat;
    std::optional<double> tip_radius_mm;
    double front_z_mm = 0.0;
    double rear_z_mm = 0.0;
    std::optional<double> resolution_mm;
    std::optional<double> error_limit_mm;
    std::optional<double> temperature_c;
};

/// `[datum]`: rear reading minus front reading on a true parallel, with its standard uncertainty.
struct DatumInfo {
    DatumMethod method = DatumMethod::bar;
    double rear_minus_front_mm = 0.0;
    double u_mm = 0.0;
};

/// `[[journal]]`.
struct Journal {
    std::string name;
    double z_mm = 0.0;
    std::optional<double> diameter_mm;
    std::optional<double> v_angle_deg;
};

/// `[[lobe.stripe]]`: the bright band as the eye saw it.
struct Stripe {
    StripePlace at = StripePlace::nose;
    double width_mm = 0.0;
    StripeSide side = StripeSide::neither;
};

/// `[[lobe]]`.
struct Lobe {
    std::string name;
    LobeKind kind = LobeKind::other;
    std::optional<std::int64_t> cylinder;
    double z_mm = 0.0;
    double width_mm = 0.0;
    std::optional<double> base_diameter_mm;
    std::optional<std::string> tappet;
    std::vector<Stripe> stripes;
};

/// One sweep: a turn or more with the indicators on one lobe or journal. Columns of equal length, in file order;
/// a column that the file lacks is empty. Exactly one of `count` and `angle_deg` is there.
struct Sweep {
    std::filesystem::path file;  // where it came from, for messages
    std::string of;              // lobe or journal
    int pass = 1;
    std::vector<std::int64_t> t_us;
    std::vector<std::int64_t> count;  // signed, not wrapped
    std::vector<double> angle_deg;    // cam degrees in the running direction
    std::vector<double> front_mm;
    std::vector<double> rear_mm;

    [[nodiscard]] std::size_t rows() const { return count.empty() ? angle_deg.size() : count.size(); }
    [[nodiscard]] bool by_count() const { return !count.empty(); }
};

/// A run folder in memory.
struct Run {
    std::filesystem::path folder;
    Units units = Units::mm;  // the folder's own unit; every length here is in mm all the same
    RunInfo info;
    CamInfo cam;
    std::optional<TappetInfo> tappet;
    std::optional<ValvetrainInfo> valvetrain;
    RigInfo rig;
    std::optional<DatumInfo> datum;
    std::vector<Journal> journals;
    std::vector<Lobe> lobes;
    std::vector<Sweep> sweeps;  // sorted by lobe or journal in run.toml order, then by pass
};

/// The words of docs/run-folder.md for each choice, as they stand in run.toml and in JSON.
std::string_view word(Condition value);
std::string_view word(Follower value);
std::string_view word(Retention value);
std::string_view word(Tip value);
std::string_view word(LobeKind value);
std::string_view word(DatumMethod value);
std::string_view word(StripePlace value);
std::string_view word(StripeSide value);
std::string_view word(Units value);

}  // namespace lobewright
