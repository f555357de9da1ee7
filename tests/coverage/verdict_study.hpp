// verdict_study.hpp: verdicts on simulated worn cams whose truth is known: how often each is right.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "analysis/judge/judgement.hpp"

namespace lobewright {

struct VerdictOptions {
    int cams = 300;
    std::size_t lobes = 8;     // a cam, 8 at most
    double noise_mm = 0.0005;  // of each reading, standard deviation: an ordinary bench
    std::uint64_t seed = 20260203;
};

/// Counts by verdict, in the order of Verdict: reuse, remeasure, regrind, scrap.
using VerdictCounts = std::array<int, 4>;

struct VerdictStudy {
    std::map<Verdict, VerdictCounts> lobes;        // by true verdict
    std::map<Verdict, VerdictCounts> cams;         // by true verdict
    std::map<std::string, VerdictCounts> by_wear;  // lobes by what wore them
    std::map<std::string, int> fit_by_wear;        // and how many of those are truly fit
    std::vector<std::string> unfit_passed;         // a line each: cam, lobe, what is true of it
    std::vector<std::string> fit_condemned;
    int scrap_cams_passed = 0;
    int cams_judged = 0;
    std::vector<std::string> refused;  // cams that compare took for bad data, in its words; judged by nobody
};

/// Truth is never "remeasure": it is held against the limits as it stands.
VerdictStudy study_verdicts(const VerdictOptions& options);

}  // namespace lobewright
