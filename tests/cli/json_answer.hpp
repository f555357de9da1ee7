// json_answer.hpp: what a command says with --json.
#pragma once

#include <string>
#include <vector>

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "tests/cli/program.hpp"

namespace lobewright::tests {

using Json = nlohmann::ordered_json;

/// The one object on standard output of a command that must end with 0 and say nothing else.
inline Json json_of(const std::vector<std::string>& arguments) {
    const Finished finished = run_program(arguments);
    INFO(finished.err);
    REQUIRE(finished.status == 0);
    REQUIRE(finished.err.empty());
    return Json::parse(finished.out);
}

inline std::vector<std::string> keys_of(const Json& object) {
    std::vector<std::string> keys;
    for (const auto& [key, value] : object.items()) keys.push_back(key);
    return keys;
}

}  // namespace lobewright::tests
