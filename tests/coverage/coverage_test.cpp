// The stated 95 % intervals hold as often as they say, over simulated cams of several kinds, in small; the
// study in full is lobewright_coverage.
#include <cmath>

#include <catch2/catch.hpp>

#include "tests/coverage/coverage_study.hpp"

using namespace lobewright;

namespace {

/// Few cams miss the bounds by chance (fifteen did), so there are as many under the sanitizers.
constexpr int cams = 60;

struct Share {
    double inside = 0.0;
    int count = 0;
};

Share share_inside(const CoverageOptions& options) {
    int count = 0, inside = 0;
    for (const auto& [key, figure] : study_coverage(options)) {
        count += figure.count;
        inside += figure.inside;
    }
    return {static_cast<double>(inside) / count, count};
}

/// Every lobe has some two dozen figures, few of which can't be known.
constexpr int least_figures = 20 * 3 * cams;

}  // namespace

TEST_CASE("stated intervals hold with indicators that err within their limit", "[coverage]") {
    CoverageOptions options;
    options.cams = cams;
    options.seed = 11;
    const auto share = share_inside(options);
    CHECK(share.count > least_figures);
    CHECK(share.inside > 0.93);
    CHECK(share.inside < 0.985);
}

TEST_CASE("stated intervals hold for tables taken by hand", "[coverage]") {
    CoverageOptions options;
    options.cams = cams;
    options.seed = 12;
    options.table = true;
    const auto share = share_inside(options);
    CHECK(share.count > least_figures);
    CHECK(share.inside > 0.93);
    CHECK(share.inside < 0.985);
}
