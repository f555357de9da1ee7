// study_summary.hpp: what many judged cams say together: verdicts, and wear by a lobe's place, by hours, by part. Medians
// and quartiles, so that a few wiped lobes or bad runs don't carry the rest along (Tukey, Exploratory Data Analysis, 1977,
// from memory).
#pragma once

#include <array>
#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "analysis/errors.hpp"
#include "analysis/judge/judgement.hpp"

namespace lobewright {

/// What a summary takes of one lobe; what isn't known is empty.
struct SummaryLobe {
    std::string name;
    std::string kind;
    Verdict verdict = Verdict::remeasure;
    std::optional<double> z_mm;
    std::optional<double> nose_wear_mm;
    std::optional<double> lift_loss_mm;
    std::optional<double> ramp_taper_mm;  // size of the lesser ramp's
};

/// And of one run that was judged.
struct SummaryRun {
    std::string path;
    std::string part;  // empty: the run doesn't say
    bool compared = false;
    Verdict verdict = Verdict::remeasure;
    std::optional<double> hours;
    std::vector<SummaryLobe> lobes;
};

/// Values in the order of their size: middle, quarters by linear interpolation (type 7 of Hyndman and Fan 1996), largest.
struct Spread {
    std::size_t count = 0;  // 0: the others mean nothing
    double median = 0.0;
    double quarter = 0.0;
    double three_quarters = 0.0;
    double largest = 0.0;
};
Spread spread_of(std::vector<double> values);

inline constexpr std::array<Verdict, 4> all_verdicts{Verdict::reuse, Verdict::remeasure, Verdict::regrind,
                                                     Verdict::scrap};
/// How often each verdict, in the order of Verdict.
using VerdictCounts = std::array<std::size_t, all_verdicts.size()>;

/// One lobe of one part, over all cams.
struct PlaceSummary {
    std::string part;
    std::string lobe;
    std::string kind;
    std::optional<double> z_mm;  // median
    VerdictCounts verdicts{};
    Spread nose_wear_mm;
    Spread lift_loss_mm;
    Spread ramp_taper_mm;
};

/// Runs whose hours lie in one band.
struct HoursSummary {
    double from = 0.0;
    double to = 0.0;  // not included
    VerdictCounts verdicts{};
    Spread nose_wear_mm;        // of all lobes
    Spread worst_nose_wear_mm;  // of each cam's worst lobe
    Spread wear_per_1000_h_mm;  // of each cam's middle lobe, from 50 hours on
};

struct PartSummary {
    std::string part;
    VerdictCounts verdicts{};
    Spread hours;
    Spread nose_wear_mm;
    Spread worst_nose_wear_mm;
};

struct StudySummary {
    std::size_t runs = 0;                 // lines
    std::size_t compared = 0;             // of those judged
    std::map<int, std::size_t> failures;  // by exit status
    VerdictCounts cams{};
    VerdictCounts lobes{};
    std::vector<PlaceSummary> places;                       // by part, then from front to rear
    std::vector<HoursSummary> hours;                        // bands that hold a run
    std::vector<PartSummary> parts;                         // by name
    std::vector<std::pair<std::string, double>> most_worn;  // up to five paths, mm at the worst nose
};

/// Takes runs one by one and keeps a few numbers of each lobe.
class StudySummaryMaker {
public:
    void add(const SummaryRun& run);
    void add_failure(int exit) {
        ++summary_.failures[exit];
        ++summary_.runs;
    }
    [[nodiscard]] StudySummary summary() const;

private:
    struct Values {
        VerdictCounts verdicts{};
        std::string kind;
        std::vector<double> z_mm, nose_mm, loss_mm, taper_mm, worst_mm, hours, rate_mm;
    };
    StudySummary summary_;
    std::map<std::pair<std::string, std::string>, Values> places_;  // part, lobe
    std::map<std::size_t, Values> hours_;                           // band
    std::map<std::string, Values> parts_;
};

}  // namespace lobewright
