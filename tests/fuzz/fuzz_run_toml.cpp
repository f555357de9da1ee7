// A run.toml from anywhere. What is accepted prints to a text that is accepted and prints the same.
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

#include "analysis/errors.hpp"
#include "analysis/run/run_toml.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace lobewright;
    Run run;
    try {
        run = parse_run_toml(std::string_view(reinterpret_cast<const char*>(data), size), "fuzz");
    } catch (const DataError&) {
        return 0;
    }
    const std::string printed = print_run_toml(run);
    if (print_run_toml(parse_run_toml(printed, "again")) != printed) std::abort();
    return 0;
}
