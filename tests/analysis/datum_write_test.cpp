// A zero taken on a parallel, and its way into a run.toml that is there already.
#include "analysis/run/datum_write.hpp"

#include <cmath>

#include <catch2/catch.hpp>

#include "analysis/datum/datum_by_bar.hpp"
#include "analysis/errors.hpp"
#include "analysis/run/run_folder.hpp"
#include "tests/cli/program.hpp"
#include "tests/cli/small_run.hpp"

using namespace lobewright;
using namespace lobewright::tests;

TEST_CASE("a zero by a parallel is the seatings' mean, its u their scatter by Student and the steps",
          "[datum]") {
    // 0.0010, 0.0012, 0.0014: s = 0.0002, s / sqrt 3 = 0.00011547. Student's t at 97.5 % with 2 degrees of freedom is
    // 4.303 (any table), the normal's 1.960.
    const DatumEstimate zero = datum_by_bar({0.0010, 0.0012, 0.0014}, 0.0005);
    CHECK(zero.rear_minus_front_mm == Approx(0.0012));
    CHECK(zero.u_mm ==
          Approx(std::hypot(0.00011547 * 4.303 / 1.960, 0.0005 * std::sqrt(1.0 / 6.0))).epsilon(1e-3));
    CHECK(datum_by_bar({0.001, 0.001}, 0.0005).u_mm == Approx(0.0005 * std::sqrt(1.0 / 6.0)));
    CHECK_THROWS_AS(datum_by_bar({0.001}, 0.0005), std::domain_error);
    CHECK_THROWS_AS(datum_by_bar({0.001, 0.001}, -1.0), std::domain_error);
}

TEST_CASE("a datum goes into run.toml and every other line stays", "[datum][run]") {
    const bool has_one = GENERATE(true, false);
    const bool inches = GENERATE(true, false);
    const TempFolder folder;
    SmallRun small;
    small.datum = has_one;
    small.inches = inches;
    write_small_run(folder / "run", small);
    const std::string before = text_of(folder / "run/run.toml") + "# a remark of the bench\n";
    std::ofstream(folder / "run/run.toml") << before;
    const DatumInfo zero{DatumMethod::end_for_end, -0.0013, 0.0002};
    const auto kept = write_datum(folder / "run", zero);
    CHECK(text_of(kept) == before);
    const Run run = read_run(folder / "run");
    REQUIRE(run.datum);
    CHECK(run.datum->method == DatumMethod::end_for_end);
    CHECK(run.datum->rear_minus_front_mm == Approx(-0.0013));
    CHECK(run.datum->u_mm == Approx(0.0002));
    CHECK(text_of(folder / "run/run.toml").find("# a remark of the bench") != std::string::npos);
    write_datum(folder / "run",
                {DatumMethod::bar, 0.1 * 3 * 0.02 - 0.0123, 0.0002});  // -0.006299999999999998
    if (!inches)
        CHECK(text_of(folder / "run/run.toml").find("rear_minus_front = -0.0063\n") != std::string::npos);
    write_datum(folder / "run", zero);
    CHECK(run.lobes.size() == 2);
    const auto second = write_datum(folder / "run", zero);
    CHECK(second != kept);
}

TEST_CASE("a datum that stands in one line of another table's is refused, and nothing is written",
          "[datum][run]") {
    const TempFolder folder;
    SmallRun small;
    small.datum = false;
    write_small_run(folder / "run", small);
    const std::string text =
        "datum = { method = \"bar\", rear_minus_front = 0.0, u = 0.1 }\n" + text_of(folder / "run/run.toml");
    std::ofstream(folder / "run/run.toml") << text;
    CHECK_THROWS_AS(write_datum(folder / "run", {DatumMethod::bar, 0.0, 0.1}), DataError);
    CHECK(text_of(folder / "run/run.toml") == text);
}
