// Wear against place along the cam: what stands out, what rises, what alternates.
#include "analysis/along/along_cam.hpp"

#include <cmath>
#include <vector>

#include <catch2/catch.hpp>

#include "rig/model/random.hpp"

using namespace lobewright;

namespace {

std::vector<PlacedWear> cam(const std::vector<double>& depths_um, double u95_um = 2.0) {
    std::vector<PlacedWear> out;
    for (std::size_t i = 0; i < depths_um.size(); ++i)
        out.push_back({"L" + std::to_string(i + 1),
                       30.0 * static_cast<double>(i),
                       {depths_um[i] * 1e-3, u95_um * 1e-3}});
    return out;
}

bool says(const AlongCam& along, const std::string& what) {
    for (const auto& note : along.notes)
        if (note.find(what) != std::string::npos) return true;
    return false;
}

}  // namespace

TEST_CASE("Kendall's tail for four values", "[outside][along]") {
    // Of 24 orders of 4 values 1 has S = 6, 3 have 4, 5 have 2, 6 have 0 (M. G. Kendall, Rank Correlation Methods, table of
    // the exact distribution, from memory; counted by hand).
    CHECK(kendall_tail(4, 6) == Approx(2.0 / 24.0));
    CHECK(kendall_tail(4, -4) == Approx(8.0 / 24.0));
    CHECK(kendall_tail(4, 2) == Approx(18.0 / 24.0));
    CHECK(kendall_tail(4, 0) == Approx(1.0));
}

TEST_CASE("a lobe out of line is named with its neighbours", "[along]") {
    // Common practice, no source: an outlier is named with its neighbours.
    const auto along = along_cam(cam({12, 14, 11, 13, 60, 12, 15, 11}), Units::mm);
    CHECK(along.outliers == std::vector<std::string>{"L5"});
    CHECK(says(along, "L5 wore 0.060 mm"));
    CHECK(says(along, "L4 0.013, L6 0.012"));
    CHECK(along.trend == WearTrend::none);
}

TEST_CASE("differences within the bench's own uncertainty are no outlier", "[along]") {
    CHECK(along_cam(cam({12, 14, 11, 13, 20, 12, 15, 11}, 10.0), Units::mm).outliers.empty());
    CHECK(along_cam(cam({12, 12, 12, 12, 14, 12, 12, 12}, 3.0), Units::mm).outliers.empty());
    CHECK(along_cam(cam({12, 90, 11}), Units::mm).outliers.empty());  // three lobes have no line
}

TEST_CASE("wear that rises toward one end is named as suspicion", "[along]") {
    const auto rear = along_cam(cam({5, 8, 12, 11, 17, 22, 25, 30}), Units::mm);
    CHECK(rear.trend == WearTrend::to_rear);
    CHECK(says(rear, "suspect less oil at that end"));
    const auto front = along_cam(cam({30, 25, 22, 17, 11, 12, 8, 5}), Units::mm);
    CHECK(front.trend == WearTrend::to_front);
    // A lobe out of line neither makes nor hides a rise.
    CHECK(along_cam(cam({5, 8, 120, 11, 17, 22, 25, 30}), Units::mm).trend == WearTrend::to_rear);
    CHECK(along_cam(cam({12, 14, 11, 13, 12, 15, 11, 90}), Units::mm).trend == WearTrend::none);
    // Order alone isn't enough: within u95 nothing rises.
    CHECK(along_cam(cam({5.0, 5.1, 5.2, 5.3, 5.4, 5.5, 5.6, 5.7}, 2.0), Units::mm).trend == WearTrend::none);
}

TEST_CASE("places count, not the order of the list", "[along]") {
    auto lobes = cam({5, 8, 12, 11, 17, 22, 25, 30});
    std::swap(lobes[0], lobes[6]);
    std::swap(lobes[2], lobes[5]);
    CHECK(along_cam(lobes, Units::mm).trend == WearTrend::to_rear);
}

TEST_CASE("wear that alternates is named", "[along]") {
    const auto along = along_cam(cam({10, 20, 11, 22, 9, 21, 10, 19}), Units::mm);
    CHECK(along.alternates);
    CHECK(says(along, "every other tappet bore"));
    CHECK_FALSE(along_cam(cam({10, 20, 11, 9, 22, 21, 10, 19}), Units::mm).alternates);
    CHECK_FALSE(along_cam(cam({10, 11, 10, 11, 10, 11}, 3.0), Units::mm).alternates);
}

TEST_CASE("what isn't known has no say", "[along]") {
    auto lobes = cam({12, 14, 11, 13, 60, 12, 15, 11});
    lobes[4].depth_mm = {};
    CHECK(along_cam(lobes, Units::mm).notes.empty());
    CHECK(along_cam({}, Units::mm).notes.empty());
}

TEST_CASE("on cams that wear alike false findings are rare", "[along]") {
    Random random(11, 0);
    int outliers = 0, trends = 0;
    constexpr int cams = 1000;
    for (int i = 0; i < cams; ++i) {
        std::vector<double> depths;
        depths.reserve(8);
        for (int k = 0; k < 8; ++k) depths.push_back(15.0 + 4.0 * random.normal());
        const auto along = along_cam(cam(depths), Units::mm);
        outliers += static_cast<int>(!along.outliers.empty());
        trends += static_cast<int>(along.trend != WearTrend::none);
    }
    // 5 % by the test itself for a rise; a normal sample of 8 passes the z score of 3.5 upward a few times in 100.
    CHECK(trends <= cams * 6 / 100);
    CHECK(outliers <= cams * 8 / 100);
}
