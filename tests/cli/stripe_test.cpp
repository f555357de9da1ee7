// `lobewright stripe` and `lobewright thrust`: what a shell sees.
#include <fstream>

#include "tests/cli/json_answer.hpp"
#include "tests/cli/refusals.hpp"
#include "tests/cli/small_run.hpp"

using namespace lobewright::tests;

TEST_CASE("stripe and thrust fit 80 columns, plain, for every flat sample with a zero",
          "[cli][stripe][thrust][samples]") {
    for (const char* name : {"launch-4-used-nose", "pump-6-new", "hand-4-new"}) {
        for (const std::vector<std::string>& more :
             {std::vector<std::string>{"stripe", sample(name)},
              {"stripe", sample(name), "--lobe", "1E", "--units", "in"},
              {"thrust", sample(name)},
              {"thrust", sample(name), "--rpm", "2500", "--mass", "0.25"}}) {
            const Finished shown = run_program(more);
            CAPTURE(more);
            CHECK(shown.status == 0);
            CHECK(shown.err.empty());
            CHECK(longest_line(shown.out) <= 80);
            CHECK(shown.out.find('\x1b') == std::string::npos);
            CHECK_FALSE(has(shown.out, "nan"));
        }
    }
}

TEST_CASE("stripe's JSON holds every lobe's places, and what the eye saw", "[cli][stripe][json]") {
    const Json json = json_of({"stripe", sample("launch-4-used-nose"), "--json"});
    CHECK(keys_of(json) ==
          std::vector<std::string>{"format", "units", "run", "crown_radius", "assumed", "lobes", "notes"});
    CHECK(json["format"] == "lobewright-stripe/1");
    REQUIRE(json["lobes"].size() == 8);
    const Json& lobe = json["lobes"][0];
    REQUIRE(lobe["places"].size() == 4);
    CHECK(lobe["places"][2]["at"] == "nose");
    CHECK(lobe["places"][2]["seen"]["match"] == "wider");
    CHECK(lobe["places"][0]["seen"]["match"] == "as expected");
    CHECK(json["lobes"][1]["places"][2]["seen"].is_null());
    CHECK(lobe["around"]["cam_deg"].size() == 180);
    CHECK(lobe["around"]["from"].size() == 180);
    // Lengths follow the units.
    const Json inches = json_of({"stripe", sample("launch-4-used-nose"), "--json", "--units", "in"});
    CHECK(25.4 * inches["lobes"][0]["places"][1]["band"]["width"].get<double>() ==
          Approx(lobe["places"][1]["band"]["width"].get<double>()));
}

TEST_CASE("thrust's JSON holds every lobe's push and the turn's", "[cli][thrust][json]") {
    const Json json = json_of({"thrust", sample("launch-4-new"), "--json"});
    CHECK(keys_of(json) == std::vector<std::string>{"format", "units", "run", "retention", "pushes", "share",
                                                    "mean_n", "lobes", "through_turn", "notes"});
    CHECK(json["retention"] == "thrust-plate");
    CHECK(json["lobes"].size() == 8);
    CHECK(json["through_turn"].size() == 180);
    CHECK(json["pushes"] == "balanced");
    CHECK(json_of({"thrust", sample("pump-6-used"), "--json"})["mean_n"].is_null());  // its load isn't given
}

TEST_CASE("what has no band is 65, what isn't there 66, in one line", "[cli][stripe][thrust]") {
    const TempFolder folder;
    SmallRun no_zero;
    no_zero.datum = false;
    write_small_run(folder / "no-zero", no_zero);
    SmallRun offset;
    offset.follower = "flat-offset";
    write_small_run(folder / "offset", offset);
    check_refusals({
        {"no zero", {"stripe", folder / "no-zero"}, 65, "take a datum"},
        {"no zero either", {"thrust", folder / "no-zero"}, 65, "take a datum"},
        {"tappet off the middle", {"stripe", folder / "offset"}, 65, "no band to one side"},
        {"no such run", {"stripe", folder / "nowhere"}, 66, "nowhere"},
        {"no such lobe", {"stripe", sample("launch-4-new"), "--lobe", "9X"}, 64, "the run has 1E"},
        {"picture in JSON", {"stripe", sample("launch-4-new"), "--lobe", "1E", "--json"}, 64, "--json"},
    });
}
