// In small what docs/verdicts-tried.md shows in full: verdicts on worn cams whose truth is known.
#include <numeric>

#include <catch2/catch.hpp>

#include "tests/coverage/verdict_study.hpp"

using namespace lobewright;

TEST_CASE("no unfit lobe passes as fit, and no fit lobe is condemned, on a few drawn cams",
          "[judge][coverage]") {
    VerdictOptions options;
    options.cams = 15;
    options.lobes = 4;
    const VerdictStudy study = study_verdicts(options);
    int lobes = 0;
    for (const auto& [truth, counts] : study.lobes)
        lobes = std::accumulate(counts.begin(), counts.end(), lobes);
    CHECK(lobes == 60);
    CHECK(study.lobes.at(Verdict::reuse)[static_cast<std::size_t>(Verdict::reuse)] > 10);
    CHECK(study.lobes.at(Verdict::regrind)[static_cast<std::size_t>(Verdict::regrind)] > 3);
    for (const std::string& line : study.unfit_passed) FAIL_CHECK(line);
    for (const std::string& line : study.fit_condemned) FAIL_CHECK(line);
    CHECK(study.scrap_cams_passed == 0);
}
