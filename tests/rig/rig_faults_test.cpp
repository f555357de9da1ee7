// A rig's troubles through the shipped commands, a few of those that docs/rig-faults.md tells of.
#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"
#include "tests/faults/fault_study.hpp"

using namespace lobewright::tests;

TEST_CASE("no trouble of a rig is silently in the data", "[rig][faults]") {
    for (const FaultCase& fault :
         fault_cases({"no fault", "a bit in 1000 turned over", "bursts each 16 ms", "3 counts lost",
                      "front out of range over 15 deg", "unplugged for 1 s", "controller starts afresh",
                      "count wraps"})) {
        const FaultOutcome outcome = try_fault(fault);
        INFO(fault.name << "\n" << outcome.said);
        CHECK(outcome.ended);
        CHECK(outcome.whole);
        CHECK(outcome.wrong == 0);
        CHECK(outcome.rows > 100);
        CHECK_FALSE(outcome.silent());
        if (fault.name == "no fault") CHECK(outcome.named.empty());
        if (fault.name == "3 counts lost") CHECK(has(outcome.said, "index off by 3 counts"));
        if (fault.name == "controller starts afresh")
            CHECK(has(outcome.said, "the controller started afresh"));
        if (fault.name == "front out of range over 15 deg") CHECK(has(outcome.said, "front out of range"));
    }
}

TEST_CASE("the page of troubles tells of each that can be tried, none silent", "[rig][faults]") {
    const std::string page = text_of(LOBEWRIGHT_SOURCE_DIR "/docs/rig-faults.md");
    for (const FaultCase& fault : fault_cases()) CHECK(has(page, "| " + fault.name + " |"));
    CHECK_FALSE(has(page, "SILENT"));
}
