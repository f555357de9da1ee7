// Taking a run apart by passes: nothing lost, nothing twice, journals whole.
#include <catch2/catch.hpp>

#include "analysis/repeat/split_passes.hpp"

using namespace lobewright;

namespace {

Sweep sweep(const std::string& of, int pass) {
    Sweep out;
    out.of = of;
    out.pass = pass;
    out.angle_deg = {static_cast<double>(pass)};
    return out;
}

Run swept() {
    Run run;
    run.info.id = "swept";
    run.journals = {{"J1", 5.0, {}, {}}};
    for (const char* name : {"1E", "1I", "2I"}) {
        run.lobes.emplace_back();
        run.lobes.back().name = name;
    }
    run.sweeps = {sweep("J1", 1), sweep("J1", 2), sweep("1E", 1), sweep("1E", 2),
                  sweep("1E", 7), sweep("1I", 2), sweep("1I", 7)};  // 2I has none
    return run;
}

std::vector<std::string> lobes_of(const Run& run) {
    std::vector<std::string> out;
    for (const Lobe& lobe : run.lobes) out.push_back(lobe.name);
    return out;
}

}  // namespace

TEST_CASE("a run splits into one run a pass, with the lobes that have that pass", "[repeat]") {
    const auto split = split_passes(swept());
    REQUIRE(split.size() == 3);
    CHECK(lobes_of(split[0]) == std::vector<std::string>{"1E"});
    CHECK(lobes_of(split[1]) == std::vector<std::string>{"1E", "1I"});
    CHECK(lobes_of(split[2]) == std::vector<std::string>{"1E", "1I"});
    std::size_t lobe_sweeps = 0;
    for (const Run& one : split) {
        CHECK(one.info.id == "swept");
        CHECK(one.journals.size() == 1);
        std::size_t journal_sweeps = 0;
        for (const Sweep& s : one.sweeps) (s.of == "J1" ? journal_sweeps : lobe_sweeps) += 1;
        CHECK(journal_sweeps == 2);
    }
    CHECK(lobe_sweeps == 5);
    CHECK(split[2].sweeps.back().angle_deg.front() == 7.0);
}

TEST_CASE("splitting what is split changes nothing more", "[repeat]") {
    for (const Run& one : split_passes(swept())) {
        const auto again = split_passes(one);
        REQUIRE(again.size() == 1);
        CHECK(lobes_of(again[0]) == lobes_of(one));
        CHECK(again[0].sweeps.size() == one.sweeps.size());
    }
}

TEST_CASE("one lobe alone keeps its passes and the journals", "[repeat]") {
    const Run one = only_lobe(swept(), "1I");
    CHECK(lobes_of(one) == std::vector<std::string>{"1I"});
    CHECK(one.sweeps.size() == 4);
    CHECK(split_passes(Run{}).empty());
}
