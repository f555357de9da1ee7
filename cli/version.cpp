#include "cli/version.hpp"

#include <duktape.h>

#include <CLI/Version.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "build_facts.hpp"
#include "cli/text_table.hpp"

namespace lobewright {
namespace {

/// 20700 of Duktape's, 90100 of fmt's: two digits a place.
std::string dotted(long number) {
    return fmt::format("{}.{}.{}", number / 10000, number / 100 % 100, number % 100);
}

/// With a blank behind each comma, where a line may end.
std::string spaced(std::string_view list) {
    std::string out;
    for (const char c : list) out += c == ',' ? std::string(", ") : std::string(1, c);
    return out;
}

}  // namespace

std::string version_text() {
    std::string out = fmt::format("lobewright {}\nbuilt by {} for {}, {}", LOBEWRIGHT_VERSION,
                                  built::compiler, built::system, built::type);
    out += "\n";
    if (*built::sanitizers != '\0') out += paragraph("sanitizers " + spaced(built::sanitizers));
    out += fmt::format("with fmt {}, Eigen {}, Boost {}, toml++ {}, nlohmann-json {}.{}.{},\n",
                       dotted(FMT_VERSION), built::eigen, built::boost, built::tomlplusplus,
                       NLOHMANN_JSON_VERSION_MAJOR, NLOHMANN_JSON_VERSION_MINOR, NLOHMANN_JSON_VERSION_PATCH);
    out += fmt::format("CLI11 {}, libserialport {}, Duktape {}, ECharts {}\n", CLI11_VERSION,
                       built::serialport, dotted(DUK_VERSION), built::echarts);
    return out;
}

}  // namespace lobewright
