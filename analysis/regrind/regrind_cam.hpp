// regrind_cam.hpp: can a worn cam be ground again, to what, how deep, and what does that leave (docs/regrind.md)?
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "analysis/compare.hpp"
#include "analysis/judge/judgement.hpp"
#include "analysis/judge/regrind.hpp"
#include "analysis/judge/tappets.hpp"
#include "analysis/regrind/ground_lobe.hpp"
#include "analysis/regrind/profiles.hpp"

namespace lobewright {

struct RegrindOptions {
    AnalysisOptions analysis;
    Limits limits;
    Units units = Units::mm;  // of sentences
    double shift_deg =
        0.5;  // that each lobe may turn from its place, cam degrees; common practice, no source
    std::optional<double> taper_mm;  // size of the taper to grind; none: as it was ground
};

/// One lobe of the ground cam.
struct RegroundLobe {
    std::string name;
    LobeKind kind = LobeKind::other;
    std::optional<std::int64_t> cylinder;
    std::string target;  // what it is ground to; empty: no profile is for its kind, and it isn't ground
    GroundLobe ground;
    TaperRestored taper;
    double shift_deg =
        0.0;  // against where its drive has it (its own worn flanks without a reference), later is +
    std::optional<Measured> base_diameter_left_mm;  // at its own stock
    std::optional<Measured> case_left_mm;
    Regrind left;           // the rules on what is left
    double depth_mm = 0.0;  // to grind: U included; the cam's one depth, or its own where that is too deep
    std::vector<std::string> notes;

    [[nodiscard]] bool has_target() const { return !target.empty(); }
};

/// A profile of the library held against every lobe of its kind.
struct ProfileFit {
    std::string name;
    LobeKind kind = LobeKind::other;
    double lift_mm = 0.0;
    Measured stock_mm;  // of the lobe that needs most
    bool fits = true;
    std::string ruled_out;  // the figure that does, with its lobe
};

struct Separation {
    std::int64_t cylinder = 0;
    std::string intake, exhaust;  // lobes
    double deg = 0.0;             // between the ground centrelines, cam degrees
    double change_deg = 0.0;      // by the shifts
};

/// What the valve train has to make up for tappets that sit lower.
struct ValveTrainChange {
    double at_tappet_mm = 0.0;          // pushrod longer, or plunger higher in its body
    std::optional<double> at_valve_mm;  // lash opened there, where the rocker ratio is known
};

struct RegrindPlan {
    bool has_reference = false;
    std::string target;  // id of the reference run, or the name of the profile or library
    RunInfo used;
    CamInfo cam;
    CamJudgement as_it_is;  // against the reference, or by the used run alone
    Verdict verdict = Verdict::remeasure;
    std::vector<CamReason> reasons;
    Measured stock_mm;       // of the lobe that needs most
    double depth_mm = 0.0;   // one depth for every lobe, U included
    bool one_depth = true;   // it leaves enough on every lobe
    std::string limited_by;  // lobe that needs most
    std::vector<RegroundLobe> lobes;
    std::vector<ProfileFit> ranking;  // by kind; what fits first, the largest lift first
    std::vector<Separation> separations;
    ValveTrainChange valve_train;
    std::vector<TappetPlace> tappets;
    std::vector<std::string> notes;
};

/// Grinds the used cam back to its reference run's profile. Throws as compare_runs does.
RegrindPlan regrind_to_reference(const Run& reference, const Run& used, const RegrindOptions& options);

/// Grinds each lobe to the largest-lift profile that fits it. `name` is what the profiles are called together. Throws as
/// inspect_run does, and DataError when no profile is for any lobe.
RegrindPlan regrind_to_profiles(const std::vector<Profile>& profiles, const std::string& name,
                                const Run& used, const RegrindOptions& options);

/// Reads what `target` names (run folder, profile file, or a folder of both) and grinds to it.
RegrindPlan regrind_to(const std::filesystem::path& target, const Run& used, const RegrindOptions& options);

}  // namespace lobewright
