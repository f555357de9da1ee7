// README shows what the program says: the pasted screen must be the screen.
#include <string>

#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"

using namespace lobewright::tests;

TEST_CASE("README's pasted screen is what the program prints", "[cli][readme]") {
    const std::filesystem::path source = LOBEWRIGHT_SOURCE_DIR;
    const std::string readme = text_of(source / "README.md");
    const Finished shown = run_program({"compare", (source / "sample_runs/launch-4-new").string(),
                                        (source / "sample_runs/launch-4-used-wiped").string()});
    REQUIRE(shown.status == 1);
    REQUIRE(shown.out.size() > 1000);
    CHECK(readme.find("\n" + shown.out) != std::string::npos);
}
