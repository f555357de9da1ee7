// A file of limits, or another file of numbers, from anywhere. What is accepted lies within the bounds of its key.
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "analysis/errors.hpp"
#include "analysis/number_file.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace lobewright;
    static constexpr std::array<NumberKey, 3> keys{
        {{"lift_loss"}, {"least_case_left"}, {"turns", false, 1.0, 100.0}}};
    try {
        const Numbers numbers = parse_number_file(std::string_view(reinterpret_cast<const char*>(data), size),
                                                  "fuzz", "lobewright-limits/1", "limits", keys);
        for (const auto& [name, value] : numbers) {
            if (name != "turns" && name != "lift_loss" && name != "least_case_left") std::abort();
            if (!(value > 0.0) || (name == "turns" && value > 100.0)) std::abort();
        }
    } catch (const DataError&) {
        return 0;
    }
    return 0;
}
