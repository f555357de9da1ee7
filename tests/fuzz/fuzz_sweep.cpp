// A sweep from anywhere. Rows that end in LF are read eight bytes at a time, rows that end in CR LF with care: both must
// come to the same numbers, or to the same refusal.
#include <cstdint>
#include <cstdlib>
#include <optional>
#include <string>
#include <string_view>

#include "analysis/errors.hpp"
#include "analysis/run/sweep_csv.hpp"

namespace {

using namespace lobewright;

std::optional<Sweep> read_or_refuse(std::string_view text, std::string& refusal) {
    try {
        return parse_sweep(text, "fuzz", Units::in);
    } catch (const DataError& error) {
        refusal = error.what();
        return std::nullopt;
    }
}

bool same(const Sweep& a, const Sweep& b) {
    return a.of == b.of && a.pass == b.pass && a.t_us == b.t_us && a.count == b.count &&
           a.angle_deg == b.angle_deg && a.front_mm == b.front_mm && a.rear_mm == b.rear_mm;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    std::string refusal, careful_refusal;
    const auto quick = read_or_refuse(text, refusal);
    if (text.find('\r') != std::string_view::npos) return 0;
    std::string with_returns;
    for (const char c : text) {
        if (c == '\n') with_returns += '\r';
        with_returns += c;
    }
    const auto careful = read_or_refuse(with_returns, careful_refusal);
    if (quick.has_value() != careful.has_value() || refusal != careful_refusal) std::abort();
    if (quick && !same(*quick, *careful)) std::abort();
    return 0;
}
