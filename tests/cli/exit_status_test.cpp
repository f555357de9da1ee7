// What a shell sees: the exit status, on runs with known truth and on the runs that come with the project.
#include <filesystem>
#include <fstream>

#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"
#include "tests/cli/refusals.hpp"
#include "tests/cli/small_run.hpp"

using namespace lobewright::tests;

TEST_CASE("the exit status is the verdict", "[cli]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    SmallRun used;
    used.id = "cam-used";
    used.condition = "used";
    used.zero_deg = 7.3;
    SECTION("nothing worn: fit") {
        write_small_run(folder / "used", used);
        CHECK(run_program({"compare", folder / "new", folder / "used"}).status == 0);
        CHECK(run_program({"inspect", folder / "used"}).status == 0);
    }
    SECTION("lift lost: not fit") {
        used.lift_1i_mm = 4.8;
        write_small_run(folder / "used", used);
        CHECK(run_program({"compare", folder / "new", folder / "used"}).status == 1);
        CHECK(run_program({"inspect", folder / "used"}).status == 0);  // one run can't tell lift loss
    }
    SECTION("no taper: not fit") {
        used.taper_mm = 0.0;
        write_small_run(folder / "used", used);
        CHECK(run_program({"compare", folder / "new", folder / "used"}).status == 1);
        CHECK(run_program({"inspect", folder / "used"}).status == 1);
    }
    SECTION("no datum: measure again") {
        used.datum = false;
        write_small_run(folder / "used", used);
        CHECK(run_program({"compare", folder / "new", folder / "used"}).status == 2);
        CHECK(run_program({"inspect", folder / "used"}).status == 2);
    }
    SECTION("the shop's limits decide") {
        used.lift_1i_mm = 5.0;
        write_small_run(folder / "used", used);
        CHECK(run_program({"compare", folder / "new", folder / "used"}).status == 1);
        std::ofstream(folder / "shop.toml")
            << "format = \"lobewright-limits/1\"\nunits = \"mm\"\n[limits]\nlift_loss = 0.3\n";
        CHECK(run_program({"compare", folder / "new", folder / "used", "--limits", folder / "shop.toml"})
                  .status == 0);
    }
}

TEST_CASE("the sample runs show what they are there to show", "[cli][samples]") {
    struct Row {
        const char* reference;
        const char* used;
        int status;
    };
    const auto row = GENERATE(values<Row>({
        {"launch-4-new", "launch-4-used-nose", 0},   // noses flat, ramps tapered
        {"launch-4-new", "launch-4-used-wiped", 1},  // one lobe wiped
        {"launch-4-before", "launch-4-after", 1},    // run-in failed on two lobes
        {"pump-6-new", "pump-6-used", 0},            // little wear, all even
        {"hand-4-new", "hand-4-used", 2},            // 7 um of taper left, by indicators good to 4 um
    }));
    INFO(row.reference << " " << row.used);
    const Finished finished = run_program({"compare", sample(row.reference), sample(row.used)});
    CHECK(finished.status == row.status);
    CHECK(finished.err.empty());
    CHECK_FALSE(finished.out.empty());
}

TEST_CASE("what isn't there is 66, what is wrong is 65, both in one line", "[cli]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    std::filesystem::create_directory(folder / "empty");
    write_small_run(folder / "bad", {});
    std::ofstream(folder / "bad/sweeps/b.csv", std::ios::app) << "12,x,0.0\n";
    std::ofstream(folder / "limits.toml")
        << "format = \"lobewright-limits/1\"\nunits = \"mm\"\n[limits]\nbend = 0\n";
    check_refusals({
        {"no such run", {"inspect", folder / "nowhere"}, 66, "nowhere"},
        {"a folder that holds no run", {"inspect", folder / "empty"}, 66, "run.toml"},
        {"no such reference", {"compare", folder / "nowhere", folder / "new"}, 66, "nowhere"},
        {"no such limits",
         {"inspect", folder / "new", "--limits", folder / "nowhere.toml"},
         66,
         "nowhere.toml"},
        {"bad cell", {"inspect", folder / "bad"}, 65, "b.csv:364"},
        {"bad limits", {"inspect", folder / "new", "--limits", folder / "limits.toml"}, 65, "limits.toml:4"},
        {"no such lobe", {"inspect", folder / "new", "--lobe", "9X"}, 64, "the run has 1E, 1I"},
    });
}

TEST_CASE("standard output that can't be written is 74", "[cli]") {
    const Finished finished = run_program({"--help"}, "/dev/full");
    CHECK(finished.status == 74);
    CHECK(finished.err.find("standard output can't be written") != std::string::npos);
}

TEST_CASE("a reader that has gone is 74 and no message", "[cli]") {
    // A pipe whose reading end is closed before the program starts.
    int ends[2] = {-1, -1};
    REQUIRE(::pipe(ends) == 0);
    ::close(ends[0]);
    const Finished finished = run_program({"--help"}, "/dev/fd/" + std::to_string(ends[1]));
    ::close(ends[1]);
    CHECK(finished.status == 74);
    CHECK(finished.err.empty());
}
