// --csv FOLDER: one file a lobe, whole, and never over an old one without being told to.
#include <algorithm>
#include <filesystem>
#include <set>

#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"
#include "tests/cli/small_run.hpp"

using namespace lobewright::tests;

namespace {

std::set<std::string> files_in(const std::filesystem::path& folder) {
    std::set<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        names.insert(entry.path().filename().string());
    }
    return names;
}

}  // namespace

TEST_CASE("the option --csv writes a file a lobe", "[cli][csv]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    SmallRun used;
    used.id = "cam-used";
    write_small_run(folder / "used", used);
    const Finished finished = run_program({"compare", folder / "new", folder / "used", "--csv",
                                           folder / "deep/curves", "--curve-points", "90"});
    CHECK(finished.status == 0);
    CHECK(finished.out.find("Curves of 2 lobes written to ") != std::string::npos);
    CHECK(files_in(folder / "deep/curves") == std::set<std::string>{"1E.csv", "1I.csv"});
    const std::string text = text_of(folder / "deep/curves/1I.csv");
    CHECK(text.rfind("# lobewright-curves/1\n# used: cam-used\n# reference: cam-new\n# of: 1I\n# units: mm\n"
                     "angle_deg,front,rear,taper,wear_front,wear_rear\n",
                     0) == 0);
    CHECK(std::count(text.begin(), text.end(), '\n') == 6 + 90);
    const std::size_t last_line = text.rfind('\n', text.size() - 2);
    CHECK(std::count(text.begin() + static_cast<long>(last_line), text.end(), ',') == 5);
}

TEST_CASE("the option --csv of one run has no wear", "[cli][csv]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    CHECK(run_program({"inspect", folder / "new", "--csv", folder / "c", "--json"}).status == 0);
    CHECK(text_of(folder / "c/1E.csv").find("\nangle_deg,front,rear,taper\n") != std::string::npos);
}

TEST_CASE("the option --csv replaces a file only when told to", "[cli][csv]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    std::filesystem::create_directory(folder / "c");
    std::ofstream(folder / "c/1I.csv") << "kept\n";
    const Finished refused = run_program({"inspect", folder / "new", "--csv", folder / "c"});
    CHECK(refused.status == 74);
    CHECK(refused.out.empty());
    CHECK(refused.err.find("--overwrite") != std::string::npos);
    CHECK(text_of(folder / "c/1I.csv") == "kept\n");
    CHECK(files_in(folder / "c") == std::set<std::string>{"1I.csv"});
    CHECK(run_program({"inspect", folder / "new", "--csv", folder / "c", "--overwrite"}).status == 0);
    CHECK(text_of(folder / "c/1I.csv").rfind("# lobewright-curves/1\n", 0) == 0);
    CHECK(files_in(folder / "c") == std::set<std::string>{"1E.csv", "1I.csv"});
}
