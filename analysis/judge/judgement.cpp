#include "analysis/judge/judgement.hpp"

#include <algorithm>
#include <iterator>

#include "analysis/judge/decision.hpp"
#include "analysis/judge/findings.hpp"
#include "analysis/judge/regrind.hpp"
#include "analysis/judge/rules.hpp"

namespace lobewright {
namespace {

bool any(const std::vector<Ruling>& rulings, Proof proof) {
    return std::any_of(rulings.begin(), rulings.end(), [&](const Ruling& r) { return r.proof == proof; });
}

/// The deciding ruling first: proved bad, then open, each in the rules' own order; then proved good, the one
/// nearest its limit first.
void put_deciding_first(std::vector<Ruling>& rulings) {
    const auto weight = [](const Ruling& ruling) {
        return ruling.proof == Proof::bad ? 0 : ruling.proof == Proof::open ? 1 : 2;
    };
    std::stable_sort(rulings.begin(), rulings.end(), [&](const Ruling& a, const Ruling& b) {
        if (weight(a) != weight(b)) return weight(a) < weight(b);
        return a.proof == Proof::good && room_used(a) > room_used(b);
    });
}

void append(std::vector<std::string>& to, std::vector<std::string> from) {
    to.insert(to.end(), std::make_move_iterator(from.begin()), std::make_move_iterator(from.end()));
}

LobeJudgement judge_lobe(const LobeFigures& lobe, const RuleContext& context) {
    LobeJudgement judged{lobe.name, Verdict::reuse, fitness_rulings(lobe, context), {}};
    judged.notes = lobe_findings(lobe, judged.rulings, context);
    if (any(judged.rulings, Proof::bad)) {
        Regrind regrind = judge_regrind(lobe, lobe.stock_to_clean_mm, context);
        judged.verdict = regrind.possible ? Verdict::regrind : Verdict::scrap;
        judged.rulings.insert(judged.rulings.end(), regrind.rulings.begin(), regrind.rulings.end());
        append(judged.notes, std::move(regrind.notes));
    } else if (any(judged.rulings, Proof::open)) {
        judged.verdict = Verdict::remeasure;
    }
    put_deciding_first(judged.rulings);
    return judged;
}

/// What the bend alone makes of the cam: a bent one isn't fit until it has been straightened and ground.
Verdict verdict_of_bend(const std::optional<Ruling>& bend) {
    if (!bend || bend->proof == Proof::good) return Verdict::reuse;
    return bend->proof == Proof::bad ? Verdict::regrind : Verdict::remeasure;
}

/// Of a cam fit for reuse: the one ruling that is nearest its limit.
std::vector<CamReason> nearest_reason(const std::vector<LobeJudgement>& lobes,
                                      const std::optional<Ruling>& bend) {
    const Ruling* nearest = bend ? &*bend : nullptr;
    std::optional<std::string> name;
    for (const LobeJudgement& lobe : lobes) {
        const Ruling& ruling = lobe.rulings.front();
        if (nearest != nullptr && room_used(ruling) <= room_used(*nearest)) continue;
        nearest = &ruling;
        name = lobe.name;
    }
    if (nearest == nullptr) return {};
    return {{nearest->rule, nearest->says, name}};
}

/// What made the cam's verdict: the bend, then the lobes, the worst first. Of a cam that isn't fit only what
/// was proved bad, and what stands against a regrind; lobes that only want measuring again don't decide
/// there.
std::vector<CamReason> cam_reasons(Verdict verdict, const std::vector<LobeJudgement>& lobes,
                                   const std::optional<Ruling>& bend) {
    if (verdict == Verdict::reuse) return nearest_reason(lobes, bend);
    const Verdict least = verdict == Verdict::remeasure ? Verdict::remeasure : Verdict::regrind;
    std::vector<CamReason> reasons;
    if (verdict_of_bend(bend) >= least) reasons.push_back({bend->rule, bend->says, std::nullopt});
    for (const Verdict rank : {Verdict::scrap, Verdict::regrind, Verdict::remeasure}) {
        if (rank < least) break;
        for (const LobeJudgement& lobe : lobes) {
            if (lobe.verdict != rank) continue;
            for (const Ruling& ruling : deciding_rulings(lobe)) {
                reasons.push_back({ruling.rule, ruling.says, lobe.name});
            }
        }
    }
    return reasons;
}

}  // namespace

std::string_view word(Verdict value) {
    switch (value) {
        case Verdict::reuse:
            return "reuse";
        case Verdict::remeasure:
            return "remeasure";
        case Verdict::regrind:
            return "regrind";
        case Verdict::scrap:
            break;
    }
    return "scrap";
}

CamJudgement judge(const CamFigures& figures, const Limits& limits, Units units) {
    const RuleContext context{figures, limits, units};
    const std::optional<Ruling> bend = bend_ruling(context);
    CamJudgement judged;
    judged.verdict = verdict_of_bend(bend);
    for (const LobeFigures& lobe : figures.lobes) {
        judged.lobes.push_back(judge_lobe(lobe, context));
        judged.verdict = std::max(judged.verdict, judged.lobes.back().verdict);
    }
    judged.reasons = cam_reasons(judged.verdict, judged.lobes, bend);
    judged.notes = cam_findings(judged.lobes, judged.verdict, context);
    return judged;
}

}  // namespace lobewright
