// Is the stock there? Moving the profile inward by s takes 2 s off the base diameter and s off the case.
#include <optional>

#include <catch2/catch.hpp>

#include "analysis/judge/decision.hpp"
#include "analysis/judge/judgement.hpp"
#include "tests/analysis/judge_fixture.hpp"

using namespace lobewright;
using lobewright::tests::good_cam;

namespace {

struct Row {
    const char* legend;
    Measured stock_mm;
    std::optional<double> base_mm;
    std::optional<double> least_base_mm;
    std::optional<double> case_mm;
    Verdict verdict;
};

constexpr auto none = std::nullopt;

/// A cam whose first lobe has lost its lift.
CamFigures worn_cam() {
    CamFigures cam = good_cam();
    cam.lobes.front().lift.loss_mm = {0.4, 0.004};
    return cam;
}

bool says(const std::vector<std::string>& notes, const std::string& part) {
    for (const std::string& note : notes) {
        if (note.find(part) != std::string::npos) return true;
    }
    return false;
}

}  // namespace

TEST_CASE("a lobe not fit is reground when the stock is proved to be there", "[judge]") {
    // Least case left 0.5 mm. Binary fractions, so that the boundaries are exact.
    const auto row = GENERATE(values<Row>({
        {"nothing given rules it out", {0.5, 0.25}, none, none, none, Verdict::regrind},
        {"case left exactly enough with U", {0.5, 0.25}, none, none, 1.25, Verdict::regrind},
        {"case left enough but for U", {0.5, 0.25}, none, none, 1.125, Verdict::scrap},
        {"case left too little", {0.5, 0.25}, none, none, 0.625, Verdict::scrap},
        {"base exactly enough with U", {0.5, 0.25}, 28.0, 26.5, none, Verdict::regrind},
        {"base enough but for U", {0.5, 0.25}, 28.0, 26.75, none, Verdict::scrap},
        {"base too small", {0.5, 0.25}, 28.0, 27.75, none, Verdict::scrap},
        {"base enough, case not", {0.5, 0.25}, 28.0, 26.5, 0.625, Verdict::scrap},
        {"least base given, base diameter not", {0.5, 0.25}, none, 26.5, none, Verdict::regrind},
        {"stock unknown", {}, 28.0, 26.5, 1.25, Verdict::regrind},
    }));
    INFO(row.legend);
    CamFigures cam = worn_cam();
    cam.lobes.front().stock_to_clean_mm = row.stock_mm;
    cam.lobes.front().reference_base_diameter_mm = row.base_mm;
    cam.cam.case_depth_mm = row.case_mm;
    Limits limits;
    limits.least_base_diameter_mm = row.least_base_mm;
    const CamJudgement judged = judge(cam, limits, Units::mm);
    CHECK(judged.lobes.front().verdict == row.verdict);
    CHECK(judged.verdict == row.verdict);
    CHECK(judged.lobes.front().rulings.front().rule == "lift loss");
}

TEST_CASE("a scrapped lobe says why it can't be reground", "[judge]") {
    CamFigures cam = worn_cam();
    cam.lobes.front().stock_to_clean_mm = {0.9, 0.01};
    const CamJudgement judged = judge(cam, {}, Units::mm);
    const std::vector<Ruling> deciding = deciding_rulings(judged.lobes.front());
    REQUIRE(deciding.size() == 2);
    CHECK(deciding[1].rule == "case left");
    CHECK(deciding[1].figure.value == Approx(0.3));
    CHECK(deciding[1].proof == Proof::bad);
    REQUIRE(judged.reasons.size() == 2);
    CHECK(judged.reasons[1].rule == "case left");
}

TEST_CASE("stock that U alone takes away asks for a second look before scrapping", "[judge]") {
    CamFigures cam = worn_cam();
    cam.lobes.front().stock_to_clean_mm = {0.65, 0.1};
    const LobeJudgement lobe = judge(cam, {}, Units::mm).lobes.front();
    CHECK(lobe.verdict == Verdict::scrap);
    CHECK(says(lobe.notes, "measure again before scrapping"));
}

TEST_CASE("a regrind says what could not rule it out", "[judge]") {
    CamFigures cam = worn_cam();
    CHECK(says(judge(cam, {}, Units::mm).lobes.front().notes, "least_base_diameter"));
    CHECK_FALSE(says(judge(cam, {}, Units::mm).lobes.front().notes, "case_depth"));
    cam.cam.case_depth_mm.reset();
    CHECK(says(judge(cam, {}, Units::mm).lobes.front().notes, "case_depth"));
    Limits limits;
    limits.least_base_diameter_mm = 26.0;
    cam.lobes.front().reference_base_diameter_mm.reset();
    CHECK(says(judge(cam, limits, Units::mm).lobes.front().notes, "base_diameter in run.toml"));
    cam.has_reference = false;
    cam.lobes.front().stock_to_clean_mm = {};
    cam.lobes.front().taper.closing_mm = {0.0, 0.001};
    CHECK(says(judge(cam, {}, Units::mm).lobes.front().notes, "without a reference run"));
}

TEST_CASE("the cam's regrind says depth, base diameter and case left", "[judge]") {
    CamFigures cam = worn_cam();
    cam.stock_to_clean_mm = {0.3, 0.02};
    cam.lobes.back().reference_base_diameter_mm = 27.5;
    const CamJudgement judged = judge(cam, {}, Units::mm);
    CHECK(judged.verdict == Verdict::regrind);
    CHECK(says(judged.notes, "takes 0.320 mm off every lobe"));
    CHECK(says(judged.notes, "smallest base diameter becomes 26.860 mm"));
    CHECK(says(judged.notes, "0.880 mm of case is left"));
}

TEST_CASE("one depth for the whole cam that a good lobe can't give is said", "[judge]") {
    CamFigures cam = worn_cam();
    cam.stock_to_clean_mm = {0.3, 0.02};
    cam.lobes.back().reference_base_diameter_mm = 27.5;
    Limits limits;
    limits.least_base_diameter_mm = 27.0;
    const CamJudgement judged = judge(cam, limits, Units::mm);
    CHECK(judged.verdict == Verdict::regrind);
    CHECK(says(judged.notes, "leaves too little on 1I"));
}
