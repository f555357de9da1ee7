// The decision rule of ISO 14253-1 at its boundaries. Figures are binary fractions, so that the sums are
// exact.
#include <limits>

#include <catch2/catch.hpp>

#include "analysis/judge/decision.hpp"

using namespace lobewright;

namespace {

struct Row {
    const char* legend;
    Measured figure;
    double limit;
    bool at_least;
    Proof expected;
};

constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

}  // namespace

TEST_CASE("a figure is proved good or bad only by its whole interval", "[judge]") {
    const auto row = GENERATE(values<Row>({
        {"at most: interval ends exactly on the limit", {0.75, 0.25}, 1.0, false, Proof::good},
        {"at most: interval ends just over", {0.75, 0.2501}, 1.0, false, Proof::open},
        {"at most: value on the limit", {1.0, 0.25}, 1.0, false, Proof::open},
        {"at most: interval starts exactly on the limit", {1.25, 0.25}, 1.0, false, Proof::open},
        {"at most: interval starts just over", {1.25, 0.2499}, 1.0, false, Proof::bad},
        {"at most: value within, U of nothing", {1.0, 0.0}, 1.0, false, Proof::good},
        {"at most: a negative figure is within", {-3.0, 0.25}, 1.0, false, Proof::good},
        {"at least: interval starts exactly on the limit", {1.25, 0.25}, 1.0, true, Proof::good},
        {"at least: interval starts just under", {1.25, 0.2501}, 1.0, true, Proof::open},
        {"at least: interval ends exactly on the limit", {0.75, 0.25}, 1.0, true, Proof::open},
        {"at least: interval ends just under", {0.75, 0.2499}, 1.0, true, Proof::bad},
        {"unknown figure, at most", {}, 1.0, false, Proof::open},
        {"unknown figure, at least", {}, 1.0, true, Proof::open},
        {"known figure, unknown U", {0.1, unknown}, 1.0, false, Proof::open},
        {"U without end", {0.1, std::numeric_limits<double>::infinity()}, 1.0, false, Proof::open},
    }));
    INFO(row.legend);
    CHECK(prove(row.figure, row.limit, row.at_least) == row.expected);
}

TEST_CASE("the nearest ruling is the one with least room left", "[judge]") {
    const Ruling lift{"lift loss", Proof::good, {0.0625, 0.0625}, 0.25, false, ""};
    CHECK(room_used(lift) == 0.5);
    const Ruling taper{"ramp taper", Proof::good, {0.0625, 0.0}, 0.0078125, true, ""};
    CHECK(room_used(taper) == 0.125);
}
