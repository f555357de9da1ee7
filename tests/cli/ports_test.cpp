#include <catch2/catch.hpp>

#include "tests/cli/json_answer.hpp"

using namespace lobewright;
using namespace lobewright::tests;

TEST_CASE("ports answers on any machine", "[cli][ports]") {
    const Json answer = json_of({"ports", "--json"});
    CHECK(answer["format"] == "lobewright-ports/1");
    for (const Json& port : answer["ports"])
        CHECK(keys_of(port) == std::vector<std::string>{"port", "description", "usb"});
    const Finished table = run_program({"ports"});
    CHECK(table.status == 0);
    CHECK(table.out.find(answer["ports"].empty() ? "no serial ports" : "port ") == 0);
}
