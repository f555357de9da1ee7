// json_figure.hpp: measured figures in JSON, the same in every command.
#pragma once

#include <string>

#include <nlohmann/json.hpp>

#include "analysis/measured.hpp"

namespace lobewright {

/// The number, or null where it isn't finite.
inline nlohmann::ordered_json number_json(double value) {
    return std::isfinite(value) ? nlohmann::ordered_json(value) : nlohmann::ordered_json(nullptr);
}

/// {"value", "u95"} in the unit of which one is `per` of the figure's own, or null where it isn't known.
inline nlohmann::ordered_json figure_json(const Measured& figure, double per = 1.0) {
    if (!figure.known()) return nullptr;
    return {{"value", figure.value / per}, {"u95", number_json(figure.u95 / per)}};
}

/// One object and a newline. A name in a run need not be UTF-8; JSON must be.
inline std::string json_text(const nlohmann::ordered_json& json) {
    return json.dump(1, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace lobewright
