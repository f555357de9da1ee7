#include "rig/virtual/fault_plan.hpp"

#include <algorithm>
#include <array>
#include <charconv>

#include <fmt/format.h>

#include "analysis/errors.hpp"

namespace lobewright::virtual_rig {
namespace {

enum class Amount { none, probability, seconds, whole, counts };

struct Kind {
    FaultKind kind;
    std::string_view name;
    Amount amount;
    double unless_given;
    std::string_view says;
};

constexpr std::array<Kind, 22> kinds = {{
    {FaultKind::bit_errors, "bit-errors", Amount::probability, 1e-4, "a bit turned over, probability P each"},
    {FaultKind::lost_bytes, "lost-bytes", Amount::probability, 1e-3, "a byte lost, probability P each"},
    {FaultKind::doubled_bytes, "doubled-bytes", Amount::probability, 1e-3,
     "a byte twice, probability P each"},
    {FaultKind::split_lines, "split-lines", Amount::probability, 0.01, "a line end within a line, P a line"},
    {FaultKind::glued_lines, "glued-lines", Amount::probability, 0.01, "a line end lost, P a line"},
    {FaultKind::garbage, "garbage", Amount::whole, 200, "N random bytes; without @: when the port opens"},
    {FaultKind::bursts, "bursts", Amount::whole, 16, "bytes held back N ms or until 62 are there"},
    {FaultKind::stuck_front, "stuck-front", Amount::none, 0, "the front indicator stands still"},
    {FaultKind::stuck_rear, "stuck-rear", Amount::none, 0, "the rear indicator stands still"},
    {FaultKind::range_front, "range-front", Amount::none, 0, "the front tip is out of range"},
    {FaultKind::range_rear, "range-rear", Amount::none, 0, "the rear tip is out of range"},
    {FaultKind::slip, "slip", Amount::counts, 3, "the encoder loses N counts (-N: gains)"},
    {FaultKind::encoder, "encoder", Amount::none, 0, "both encoder tracks change at once"},
    {FaultKind::no_index, "no-index", Amount::none, 0, "the index mark isn't seen"},
    {FaultKind::back, "back", Amount::whole, 10, "the hand turns back N degrees, then goes on"},
    {FaultKind::unplug, "unplug", Amount::seconds, 1, "the plug is out for S seconds"},
    {FaultKind::reset, "reset", Amount::none, 0, "the controller starts afresh"},
    {FaultKind::reset_on_open, "reset-on-open", Amount::none, 0, "it starts afresh when the port opens"},
    {FaultKind::silence, "silence", Amount::none, 0, "nothing is sent"},
    {FaultKind::clock_wrap, "clock-wrap", Amount::seconds, 5, "its clock wraps S seconds after power-up"},
    {FaultKind::count_wrap, "count-wrap", Amount::whole, 2000, "its count wraps N counts after power-up"},
    {FaultKind::stop_button, "stop-button", Amount::none, 0, "somebody presses the motor's stop button"},
}};

const Kind& kind_of(FaultKind kind) {
    return *std::find_if(kinds.begin(), kinds.end(), [&](const Kind& known) { return known.kind == kind; });
}

[[noreturn]] void refuse_fault(std::string_view text, const std::string& why) {
    throw UsageError(
        fmt::format("fault '{}': {}; the form is KIND[:AMOUNT][@WHERE][+FOR], as slip:3@200deg", text, why));
}

double number(std::string_view digits, std::string_view text) {
    double value = 0.0;
    const auto [end, problem] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
    if (problem != std::errc{} || end != digits.data() + digits.size() || !(value > -1e9 && value < 1e9))
        refuse_fault(text, fmt::format("'{}' isn't a number", digits));
    return value;
}

FaultPlace place(std::string_view words, std::string_view text) {
    const auto ends = [&](std::string_view unit) {
        return words.size() > unit.size() && words.substr(words.size() - unit.size()) == unit;
    };
    FaultPlace out;
    if (ends("deg")) {
        out = {number(words.substr(0, words.size() - 3), text), true};
    } else if (ends("s")) {
        out = {number(words.substr(0, words.size() - 1), text), false};
    } else {
        refuse_fault(text, fmt::format("'{}' must end in deg or s", words));
    }
    if (out.value < 0.0) refuse_fault(text, fmt::format("'{}' lies before the beginning", words));
    return out;
}

void check_amount(const Kind& kind, double amount, std::string_view text) {
    if (kind.amount == Amount::none) refuse_fault(text, fmt::format("{} takes no amount", kind.name));
    if (kind.amount == Amount::probability && !(amount >= 0.0 && amount <= 1.0))
        refuse_fault(text, "a probability lies between 0 and 1");
    if (kind.amount != Amount::counts && amount < 0.0) refuse_fault(text, "the amount must be 0 or more");
}

std::string place_text(const FaultPlace& place) {
    return fmt::format("{}{}", place.value, place.degrees ? "deg" : "s");
}

bool reached(const FaultPlace& place, const Progression& from, const Progression& now) {
    return place.degrees ? now.turned_deg - from.turned_deg >= place.value
                         : now.seconds - from.seconds >= place.value;
}

}  // namespace

std::string_view kind_name(FaultKind kind) {
    return kind_of(kind).name;
}

PlannedFault parse_fault(std::string_view text) {
    std::string_view rest = text;
    const auto cut = [&](char mark) -> std::optional<std::string_view> {
        const std::size_t at = rest.rfind(mark);
        if (at == std::string_view::npos) return std::nullopt;
        const std::string_view behind = rest.substr(at + 1);
        rest = rest.substr(0, at);
        return behind;
    };
    PlannedFault fault;
    if (const auto lasts = cut('+')) fault.lasts = place(*lasts, text);
    if (const auto at = cut('@')) fault.at = place(*at, text);
    const auto amount = cut(':');
    const auto* const found =
        std::find_if(kinds.begin(), kinds.end(), [&](const Kind& kind) { return kind.name == rest; });
    if (found == kinds.end()) {
        std::string names;
        for (const Kind& kind : kinds) names += fmt::format("{}{}", names.empty() ? "" : ", ", kind.name);
        refuse_fault(text, fmt::format("there is no fault '{}'; there are {}", rest, names));
    }
    fault.kind = found->kind;
    fault.amount = found->unless_given;
    if (amount) {
        fault.amount = number(*amount, text);
        check_amount(*found, fault.amount, text);
    }
    return fault;
}

std::string fault_text(const PlannedFault& fault) {
    const Kind& kind = kind_of(fault.kind);
    std::string text(kind.name);
    if (kind.amount != Amount::none) text += fmt::format(":{}", fault.amount);
    if (fault.at) text += "@" + place_text(*fault.at);
    if (fault.lasts) text += "+" + place_text(*fault.lasts);
    return text;
}

std::string fault_help() {
    std::string text;
    for (const Kind& kind : kinds) {
        constexpr std::array<std::string_view, 5> letters = {"", ":P", ":S", ":N", ":N"};
        const auto form = fmt::format("{}{}", kind.name, letters[static_cast<std::size_t>(kind.amount)]);
        text += fmt::format("  {:<18}{}\n", form, kind.says);
    }
    return text;
}

FaultPlan::FaultPlan(const std::vector<PlannedFault>& faults) {
    for (const PlannedFault& fault : faults) add(fault);
}

void FaultPlan::add(const PlannedFault& fault) {
    // What has no place is there before anything is turned.
    states_.push_back({fault, false, !fault.at && !fault.lasts, {}});
}

std::vector<PlannedFault> FaultPlan::due(const Progression& now) {
    std::vector<PlannedFault> out;
    if (!now.begun) return out;
    for (State& state : states_) {
        if (state.fired && state.on && state.fault.lasts && reached(*state.fault.lasts, state.fired_at, now))
            state.on = false;
        if (state.fired || (state.fault.at && !reached(*state.fault.at, {}, now))) continue;
        state.fired = state.on = true;
        state.fired_at = now;
        out.push_back(state.fault);
    }
    return out;
}

std::optional<double> FaultPlan::on(FaultKind kind) const {
    for (const State& state : states_)
        if (state.on && state.fault.kind == kind) return state.fault.amount;
    return std::nullopt;
}

std::optional<double> FaultPlan::from_the_beginning(FaultKind kind) const {
    for (const State& state : states_)
        if (!state.fault.at && state.fault.kind == kind) return state.fault.amount;
    return std::nullopt;
}

}  // namespace lobewright::virtual_rig
