// judgement.hpp: from figures to a verdict (docs/measuring.md section 8).
// Each rule compares one figure with one limit under the standard decision rule of ISO 14253-1: proved good
// when value + U is within, proved bad when value - U is beyond, otherwise open.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "analysis/figures.hpp"
#include "analysis/judge/limits.hpp"

namespace lobewright {

enum class Verdict { reuse, remeasure, regrind, scrap };
/// As it stands in JSON and tables.
std::string_view word(Verdict value);

enum class Proof { good, bad, open };

/// One rule applied to one figure. `says` is the sentence for people; it carries figure, U and limit, in
/// `units`.
struct Ruling {
    std::string rule;  // short name, e.g. "ramp taper"
    Proof proof = Proof::open;
    Measured figure;  // mm
    double limit_mm = 0.0;
    bool at_least = false;  // the figure must be at least the limit (taper), not at most
    std::string says;
};

struct LobeJudgement {
    std::string name;
    Verdict verdict = Verdict::remeasure;
    std::vector<Ruling> rulings;  // every rule applied; the deciding one first
    std::vector<std::string> notes;
};

struct CamReason {
    std::string rule;
    std::string says;
    std::optional<std::string> lobe;
};

struct CamJudgement {
    Verdict verdict = Verdict::remeasure;
    std::vector<CamReason> reasons;
    std::vector<std::string> notes;
    std::vector<LobeJudgement> lobes;
};

/// Judges every lobe and the cam. `units` only chooses how `says` prints lengths.
CamJudgement judge(const CamFigures& figures, const Limits& limits, Units units);

}  // namespace lobewright
