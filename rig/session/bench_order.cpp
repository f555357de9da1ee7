#include "rig/session/bench_order.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/message_text.hpp"

namespace lobewright {

std::vector<BenchPlace> bench_order(const Run& run, const std::vector<std::string>& named) {
    std::vector<BenchPlace> places;
    for (const Journal& journal : run.journals) places.push_back({journal.name, true, journal.z_mm});
    for (const Lobe& lobe : run.lobes) places.push_back({lobe.name, false, lobe.z_mm});
    std::stable_sort(places.begin(), places.end(),
                     [](const BenchPlace& a, const BenchPlace& b) { return a.z_mm < b.z_mm; });
    if (named.empty()) return places;
    for (const std::string& name : named) {
        if (std::any_of(places.begin(), places.end(), [&](const BenchPlace& p) { return p.name == name; }))
            continue;
        std::vector<std::string_view> known;
        known.reserve(places.size());
        for (const BenchPlace& place : places) known.emplace_back(place.name);
        throw UsageError(fmt::format("{}: the run has no lobe or journal of this name{}; it has {}",
                                     in_quotes(name), meant(name, known), joined(known)));
    }
    std::erase_if(places, [&](const BenchPlace& place) {
        return std::find(named.begin(), named.end(), place.name) == named.end();
    });
    return places;
}

}  // namespace lobewright
