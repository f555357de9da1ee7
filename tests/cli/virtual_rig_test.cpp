// `lobewright virtual-rig` as it is shipped: its ports, its keys, its orders, its end.
#include <csignal>
#include <filesystem>

#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"
#include "tests/cli/pty_program.hpp"
#include "tests/cli/refusals.hpp"
#include "tests/cli/started_program.hpp"

using namespace lobewright::tests;
namespace fs = std::filesystem;

TEST_CASE("virtual-rig serves behind its link until Ctrl-C, and leaves nothing", "[cli][virtual]") {
    const TempFolder folder;
    StartedProgram rig({"virtual-rig", "--pty", folder / "rig", "--truth", folder / "truth"});
    REQUIRE(rig.says("ready at " + (folder / "rig")));
    CHECK(has(fs::read_symlink(folder / "rig").string(), "/dev/pts/"));
    CHECK(rig.end(SIGINT) == 0);
    CHECK_FALSE(fs::exists(fs::symlink_status(folder / "rig")));
    CHECK(has(rig.said(), "virtual rig: ended"));
    CHECK(text_of(folder / "truth").rfind("# lobewright-truth/1\nplace,0,", 0) == 0);
}

TEST_CASE("virtual-rig takes orders from its pipe and says where the tips stand", "[cli][virtual]") {
    const TempFolder folder;
    StartedProgram rig({"virtual-rig", "--pty", folder / "rig", "--control", folder / "pipe"});
    REQUIRE(rig.says("ready at"));
    REQUIRE(fs::is_fifo(folder / "pipe"));
    std::ofstream(folder / "pipe") << "dance\nlobe 3E\nnext\nlobe 9Z\n";
    CHECK(rig.says("'dance' is no order"));
    CHECK(rig.says("the cam has no '9Z'"));
    CHECK(rig.says("the tips stand on 3I"));
    std::ofstream(folder / "pipe") << "quit\n";
    CHECK(rig.ends_within(std::chrono::seconds(60)));
    CHECK(rig.status() == 0);
    CHECK_FALSE(fs::exists(folder / "pipe"));
}

TEST_CASE("virtual-rig on a terminal: keys move the tips, q ends, the terminal is as before",
          "[cli][virtual]") {
    const TempFolder folder;
    PtyProgram rig({"virtual-rig", "--pty", folder / "rig"});
    REQUIRE(rig.shows("the tips stand on J1"));
    rig.press("n");
    CHECK(rig.shows("the tips stand on 1E"));
    rig.press("p");
    CHECK(rig.shows("the tips stand on J1"));
    rig.press("q");
    CHECK(rig.ends() == 0);
    CHECK(rig.terminal_is_as_before());
}

TEST_CASE("virtual-rig with stand-alone devices says in rig.toml what they are", "[cli][virtual]") {
    const TempFolder folder;
    StartedProgram rig({"virtual-rig", "--devices", folder / "bench"});
    REQUIRE(rig.says("bench/rear"));
    const std::string toml = text_of(folder / "bench/rig.toml");
    for (const char* part : {"[counter]", "[front]", "[rear]", "counts_per_rev = 7200"})
        CHECK(has(toml, part));
    for (const char* device : {"counter", "front", "rear"})
        CHECK(fs::is_symlink((folder / "bench") + "/" + device));
    CHECK(rig.end(SIGTERM) == 0);
    CHECK_FALSE(fs::is_symlink(folder / "bench/rear"));
}

TEST_CASE("virtual-rig refuses what it can't serve in one line", "[cli][virtual]") {
    const TempFolder folder;
    std::ofstream(folder / "file") << "x";
    check_refusals(
        {{"fault", {"virtual-rig", "--fault", "slipp"}, 64, "there is no fault 'slipp'"},
         {"speed", {"virtual-rig", "--speed", "fast"}, 64, "--speed fast"},
         {"cam", {"virtual-rig", "--cam", "boat"}, 66, "boat"},
         {"place", {"virtual-rig", "--place", "9Z", "--pty", folder / "rig"}, 64, "the cam has no '9Z'"},
         {"script", {"virtual-rig", "--script", folder / "none"}, 66, "none"},
         {"link is a file", {"virtual-rig", "--pty", folder / "file"}, 74, "is no link"},
         {"pipe is a file",
          {"virtual-rig", "--pty", folder / "rig", "--control", folder / "file"},
          74,
          "is no pipe"},
         {"polled alone", {"virtual-rig", "--polled"}, 64, "--polled: only with --devices"},
         {"two kinds", {"virtual-rig", "--devices", folder / "b", "--motor"}, 64, "--devices"},
         {"tcp", {"virtual-rig", "--tcp", "70000"}, 64, "--tcp 70000"}});
}
