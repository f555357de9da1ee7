// The u95 of a card's figures hold as often as they say, in small; the study in full is `lobewright_coverage 200 card`.
#include <catch2/catch.hpp>

#include "tests/coverage/card_study.hpp"

using namespace lobewright;

namespace {

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
constexpr int cams = 5;  // a tenth as fast
#else
constexpr int cams = 15;
#endif

}  // namespace

TEST_CASE("the intervals of a card's figures hold", "[coverage][card]") {
    CoverageOptions options;
    options.cams = cams;
    options.seed = 21;
    int count = 0, inside = 0;
    for (const auto& [key, figure] : study_card_coverage(options)) {
        CAPTURE(key, figure.count, figure.inside);
        CHECK(figure.inside >= 0.8 * figure.count);
        count += figure.count;
        inside += figure.inside;
    }
    CHECK(count > 40 * cams);
    CHECK(inside > 0.93 * count);
    CHECK(inside < 0.995 * count);
}
