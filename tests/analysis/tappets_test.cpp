// Which tappet goes back where. Common practice, no source: a run-in tappet belongs to its lobe alone.
#include "analysis/judge/tappets.hpp"

#include <catch2/catch.hpp>

using namespace lobewright;

namespace {

Run cam_with(const std::vector<std::pair<std::string, std::string>>& tags) {
    Run run;
    for (const auto& [name, tag] : tags) {
        Lobe& lobe = run.lobes.emplace_back();
        lobe.name = name;
        if (!tag.empty()) lobe.tappet = tag;
    }
    return run;
}

std::vector<LobeJudgement> judged(const std::vector<std::pair<std::string, Verdict>>& verdicts) {
    std::vector<LobeJudgement> out;
    out.reserve(verdicts.size());
    for (const auto& [name, verdict] : verdicts) out.push_back({name, verdict, {}, {}});
    return out;
}

}  // namespace

TEST_CASE("common practice, no source: on a fit cam each tappet goes back on its own lobe",
          "[judge][tappets]") {
    const Run run = cam_with({{"1E", "T1"}, {"1I", ""}});
    const auto places = place_tappets(&run, run, judged({{"1E", Verdict::reuse}, {"1I", Verdict::reuse}}),
                                      Verdict::reuse, false);
    REQUIRE(places.size() == 1);
    CHECK(places[0].tag == "T1");
    CHECK(places[0].fate == TappetFate::back);
}

TEST_CASE("common practice, no source: a tappet of a lobe that isn't fit must not go back",
          "[judge][tappets]") {
    const Run run = cam_with({{"1E", "T1"}, {"1I", "T2"}, {"2I", "T3"}});
    auto lobes = judged({{"1E", Verdict::regrind}, {"1I", Verdict::reuse}, {"2I", Verdict::remeasure}});
    const auto places = place_tappets(&run, run, lobes, Verdict::regrind, false);
    CHECK(places[0].fate == TappetFate::away);
    CHECK(places[0].why == "its lobe isn't fit");
    CHECK(places[1].fate == TappetFate::only_as_is);
    CHECK(places[2].fate == TappetFate::wait);
    note_tappets(places, lobes);
    CHECK(lobes[0].notes == std::vector<std::string>{"tappet T1 must not go back: its lobe isn't fit"});
    CHECK(lobes[1].notes.size() == 1);
    CHECK(lobes[2].notes.size() == 1);
}

TEST_CASE("common practice, no source: every reground lobe gets a new tappet", "[judge][tappets]") {
    const Run run = cam_with({{"1E", "T1"}, {"1I", "T2"}});
    for (const TappetPlace& place : place_tappets(
             &run, run, judged({{"1E", Verdict::regrind}, {"1I", Verdict::reuse}}), Verdict::regrind, true)) {
        CHECK(place.fate == TappetFate::away);
        CHECK(place.why == "every reground lobe gets a new tappet");
    }
}

TEST_CASE("a tag on two lobes, or on another lobe than before, must not go back", "[judge][tappets]") {
    const Run before = cam_with({{"1E", "T1"}, {"1I", "T2"}, {"2I", "T3"}, {"2E", "T4"}});
    const Run now = cam_with({{"1E", "T2"}, {"1I", "T9"}, {"2I", "T9"}, {"2E", "T4"}});
    const auto places = place_tappets(
        &before, now,
        judged(
            {{"1E", Verdict::reuse}, {"1I", Verdict::reuse}, {"2I", Verdict::reuse}, {"2E", Verdict::reuse}}),
        Verdict::reuse, false);
    CHECK(places[0].why == "it ran on 1I in the reference run and on 1E in the used one");
    CHECK(places[1].why == "its tag stands on 1I and 2I: which of them it ran on can't be told");
    CHECK(places[2].fate == TappetFate::away);
    CHECK(places[3].fate == TappetFate::back);
    // One run alone knows of no lobe before.
    CHECK(place_tappets(nullptr, now, judged({{"1E", Verdict::reuse}}), Verdict::reuse, false)[0].fate ==
          TappetFate::back);
}

TEST_CASE("of a scrap cam no tappet goes back", "[judge][tappets]") {
    const Run run = cam_with({{"1E", "T1"}, {"1I", "T2"}});
    for (const TappetPlace& place : place_tappets(
             &run, run, judged({{"1E", Verdict::scrap}, {"1I", Verdict::reuse}}), Verdict::scrap, false))
        CHECK(place.fate == TappetFate::away);
}
