// A rig.toml from anywhere. What is accepted prints to a text that is accepted and prints the same.
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

#include "analysis/errors.hpp"
#include "rig/acquisition/rig_description.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace lobewright;
    RigDescription rig;
    try {
        rig = parse_rig_description(std::string_view(reinterpret_cast<const char*>(data), size), "fuzz");
    } catch (const DataError&) {
        return 0;
    }
    const std::string printed = print_rig_description(rig);
    if (print_rig_description(parse_rig_description(printed, "again")) != printed) std::abort();
    return 0;
}
