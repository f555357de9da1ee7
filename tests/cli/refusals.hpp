// refusals.hpp: command lines that must be refused, each in one line that says why.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"

namespace lobewright::tests {

struct Refusal {
    const char* legend;
    std::vector<std::string> arguments;
    int status;
    std::string says;  // part of the line
};

/// Nothing on standard output, one line on standard error, the status that is due.
inline void check_refusals(const std::vector<Refusal>& rows) {
    for (const Refusal& row : rows) {
        INFO(row.legend);
        const Finished finished = run_program(row.arguments);
        INFO(finished.err);
        CHECK(finished.status == row.status);
        CHECK(finished.out.empty());
        CHECK(finished.err.rfind("lobewright: ", 0) == 0);
        CHECK(has(finished.err, row.says));
        CHECK(std::count(finished.err.begin(), finished.err.end(), '\n') == 1);
    }
}

}  // namespace lobewright::tests
