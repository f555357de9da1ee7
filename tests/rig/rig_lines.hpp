// rig_lines.hpp: lines of the rig's protocol made by hand, and events as text to compare.
#pragma once

#include <string>
#include <type_traits>
#include <variant>
#include <vector>

#include <fmt/format.h>

#include "rig/acquisition/rig_listener.hpp"
#include "rig/framing/crc16.hpp"

namespace lobewright::tests {

/// `payload*CCCC` without the line end.
inline std::string rig_text(const std::string& payload) {
    return fmt::format("{}*{:04X}", payload, crc16(payload.data(), payload.size()));
}

inline std::string rig_line(const std::string& payload) {
    return rig_text(payload) + "\n";
}

/// The hello of a controller with 14400 counts a turn and steps of half a micrometre.
inline std::string hello_line() {
    return rig_line("H,1,bench,14400,500,-");
}

/// One event on one line, times left out where they come from the host.
inline std::string event_text(const RigEvent& event, bool with_time = true) {
    return std::visit(
        [with_time](const auto& e) -> std::string {
            using Event = std::decay_t<decltype(e)>;
            const std::string at = with_time ? fmt::format(" @{}", e.t_us) : std::string();
            if constexpr (std::is_same_v<Event, RigBack>) {
                return fmt::format("back {} {} {}{}{}", e.name, e.counts_per_rev, e.step_mm.value_or(0.0),
                                   e.turns ? " turns" : "", at);
            } else if constexpr (std::is_same_v<Event, RigReading>) {
                const auto mm = [](const std::optional<double>& v) {
                    return v ? fmt::format("{}", *v) : "-";
                };
                return fmt::format("reading {} {} {}{}", e.count, mm(e.front_mm), mm(e.rear_mm), at);
            } else if constexpr (std::is_same_v<Event, RigIndex>) {
                return fmt::format("index {}{}", e.count, at);
            } else if constexpr (std::is_same_v<Event, RigIdle>) {
                return fmt::format("idle {}{}", e.count, at);
            } else {
                return fmt::format("trouble {} {} {}{}", static_cast<int>(e.kind), e.amount, e.says, at);
            }
        },
        event);
}

/// Hears events and keeps them as text.
struct EventList {
    std::vector<RigEvent> events;
    RigListener listener() {
        return [this](const RigEvent& event) { events.push_back(event); };
    }
    [[nodiscard]] std::vector<std::string> texts(bool with_time = true) const {
        std::vector<std::string> out;
        for (const RigEvent& event : events) out.push_back(event_text(event, with_time));
        return out;
    }
    template <class Event>
    [[nodiscard]] std::vector<Event> all() const {
        std::vector<Event> out;
        for (const RigEvent& event : events) {
            if (const auto* found = std::get_if<Event>(&event)) out.push_back(*found);
        }
        return out;
    }
    /// Sum of the amounts of one kind of trouble.
    [[nodiscard]] std::uint64_t amount(TroubleKind kind) const {
        std::uint64_t sum = 0;
        for (const auto& trouble : all<RigTrouble>()) sum += trouble.kind == kind ? trouble.amount : 0;
        return sum;
    }
};

}  // namespace lobewright::tests
