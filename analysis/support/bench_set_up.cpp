#include "analysis/support/bench_set_up.hpp"

#include <array>

#include "analysis/number_file.hpp"

namespace lobewright {

BenchSetUp read_bench_set_up(const std::filesystem::path& file) {
    // A tip further off or leaning more isn't a set-up but an accident; an encoder worse than 5 degrees isn't one.
    constexpr std::array keys{
        NumberKey{"indicator_deg", false, -360.0, 360.0}, NumberKey{"tip_offset", true, -20.0, 20.0},
        NumberKey{"tip_lean_deg", false, -45.0, 45.0},    NumberKey{"encoder_limit_deg", false, 0.0, 5.0},
        NumberKey{"journal_roundness", true, 0.0, 1.0},
    };
    const Numbers given = read_number_file(file, "lobewright-setup/1", "setup", keys);
    const auto take = [&given](std::string_view name, double& into) {
        const auto at = given.find(name);
        if (at != given.end()) into = at->second;
    };
    BenchSetUp out;
    take("indicator_deg", out.indicator_deg);
    take("tip_offset", out.tip_offset_mm);
    take("tip_lean_deg", out.tip_lean_deg);
    take("encoder_limit_deg", out.encoder_limit_deg);
    take("journal_roundness", out.journal_roundness_mm);
    return out;
}

}  // namespace lobewright
