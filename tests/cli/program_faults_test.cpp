// Every trouble that docs/program-faults.md tells of, tried again.
#include "tests/faults/program_faults.hpp"

#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"

using namespace lobewright::tests;

namespace {

void hold(const std::vector<FaultGroup>& groups) {
    const std::string page = text_of(LOBEWRIGHT_SOURCE_DIR "/docs/program-faults.md");
    for (const FaultGroup& group : groups) {
        CHECK(has(page, "## " + group.name + "\n"));
        for (const ProgramFault& fault : group.faults) {
            INFO(group.name << ": " << fault.done);
            const FaultRow row = try_program_fault(fault);
            if (!row.skipped.empty()) {
                WARN("not tried: " << group.name << ": " << fault.done << ": " << row.skipped);
                continue;
            }
            INFO(row.wrong << "\n" << row.row);
            CHECK(row.wrong.empty());
            CHECK(has(page, row.row + "\n"));
        }
    }
}

}  // namespace

TEST_CASE("memory and disks that run out end in one line, and nothing is left half written",
          "[cli][faults]") {
    hold(faults_of_memory_and_disk());
}

TEST_CASE("locked folders and links do no harm", "[cli][faults]") {
    hold(faults_of_folders_and_links());
}

TEST_CASE("hostile names and what isn't a file are told in one safe line", "[cli][faults]") {
    hold(faults_of_names_and_files());
}

TEST_CASE("neither a jumping clock nor a decimal comma changes anything", "[cli][faults]") {
    hold(faults_of_time_and_place());
}

TEST_CASE("closed streams and signals leave everything whole", "[cli][faults]") {
    hold(faults_of_ends());
}
