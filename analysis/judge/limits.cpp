#include "analysis/judge/limits.hpp"

#include <array>
#include <string_view>

#include <fmt/format.h>

#include "analysis/number_file.hpp"
#include "analysis/run/message_text.hpp"

namespace lobewright {
namespace {

struct Key {
    NumberKey number;
    void (*set)(Limits&, double mm);
};

constexpr std::array keys{
    Key{{"lift_loss"}, [](Limits& limits, double mm) { limits.lift_loss_mm = mm; }},
    Key{{"base_circle_runout"}, [](Limits& limits, double mm) { limits.base_circle_runout_mm = mm; }},
    Key{{"bend"}, [](Limits& limits, double mm) { limits.bend_mm = mm; }},
    Key{{"least_ramp_taper"}, [](Limits& limits, double mm) { limits.least_ramp_taper_mm = mm; }},
    Key{{"run_in_lift_loss"}, [](Limits& limits, double mm) { limits.run_in_lift_loss_mm = mm; }},
    Key{{"run_in_least_ramp_taper"},
        [](Limits& limits, double mm) { limits.run_in_least_ramp_taper_mm = mm; }},
    Key{{"flat_taper"}, [](Limits& limits, double mm) { limits.flat_taper_mm = mm; }},
    Key{{"taper_without_need"}, [](Limits& limits, double mm) { limits.taper_without_need_mm = mm; }},
    Key{{"least_base_diameter"}, [](Limits& limits, double mm) { limits.least_base_diameter_mm = mm; }},
    Key{{"least_case_left"}, [](Limits& limits, double mm) { limits.least_case_left_mm = mm; }},
};

/// Common practice stays named as such for the keys that the file leaves out.
std::string source_of(const std::filesystem::path& file, const Numbers& given) {
    std::string left_out;
    for (const Key& key : keys) {
        const std::string_view name = key.number.name;
        if (given.contains(name) || name == "least_base_diameter") continue;
        (left_out += left_out.empty() ? "" : ", ") += name;
    }
    const std::string source = place(file);
    return left_out.empty() ? source : fmt::format("{} (common practice for {})", source, left_out);
}

}  // namespace

Limits read_limits(const std::filesystem::path& file) {
    std::array<NumberKey, keys.size()> names;
    for (std::size_t i = 0; i < keys.size(); ++i) names[i] = keys[i].number;
    const Numbers given = read_number_file(file, "lobewright-limits/1", "limits", names);
    Limits limits;
    limits.source = source_of(file, given);
    for (const Key& key : keys) {
        const auto at = given.find(key.number.name);
        if (at != given.end()) key.set(limits, at->second);
    }
    return limits;
}

}  // namespace lobewright
