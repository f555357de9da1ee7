// Student's factors against outside figures: NIST Technical Note 1297 table B.1 (seen), the same figures as JCGM
// 100:2008 table G.2 (from memory), to more digits by scipy.stats.
#include <array>
#include <limits>

#include <catch2/catch.hpp>

#include "analysis/uncertainty/influence.hpp"

using namespace lobewright;

TEST_CASE("Student's two-sided 95 % factors", "[outside][uncertainty]") {
    struct Row {
        double nu, t95;
    };
    constexpr std::array<Row, 16> rows{{{1, 12.706204736},
                                        {2, 4.302652730},
                                        {3, 3.182446305},
                                        {4, 2.776445105},
                                        {5, 2.570581837},
                                        {6, 2.446911849},
                                        {8, 2.306004135},
                                        {10, 2.228138852},
                                        {16, 2.119905299},
                                        {20, 2.085963447},
                                        {30, 2.042272456},
                                        {50, 2.008559110},
                                        {100, 1.983971518},
                                        {717, 1.963278089},
                                        {6.25, 2.423381029},
                                        {16.75, 2.112216902}}};
    for (const auto& row : rows) {
        CAPTURE(row.nu);
        CHECK(student_factor_95(row.nu) == Approx(row.t95).epsilon(1e-8));
    }
    CHECK(student_factor_95(std::numeric_limits<double>::infinity()) == Approx(1.959963985).epsilon(1e-9));
}
