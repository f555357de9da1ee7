// run_words.hpp: the words of docs/run-folder.md for each choice of run.toml, in one table that reading, printing and
// messages share.
#pragma once

#include <array>
#include <string_view>

#include "analysis/run/run.hpp"

namespace lobewright {

template <class Choice>
struct Word {
    Choice value;
    std::string_view text;
};

/// Every word of a choice, in the order of docs/run-folder.md.
template <class Choice>
inline constexpr auto words = std::array<Word<Choice>, 0>{};

template <>
inline constexpr auto words<Units> = std::to_array<Word<Units>>({{Units::mm, "mm"}, {Units::in, "in"}});

template <>
inline constexpr auto words<Condition> = std::to_array<Word<Condition>>({
    {Condition::as_new, "new"},
    {Condition::before, "before"},
    {Condition::after, "after"},
    {Condition::used, "used"},
});

template <>
inline constexpr auto words<Follower> = std::to_array<Word<Follower>>({
    {Follower::flat, "flat"},
    {Follower::flat_offset, "flat-offset"},
    {Follower::roller, "roller"},
});

template <>
inline constexpr auto words<Retention> = std::to_array<Word<Retention>>({
    {Retention::thrust_plate, "thrust-plate"},
    {Retention::none, "none"},
    {Retention::button, "button"},
});

template <>
inline constexpr auto words<Tip> = std::to_array<Word<Tip>>({
    {Tip::flat, "flat"},
    {Tip::roller, "roller"},
    {Tip::point, "point"},
});

template <>
inline constexpr auto words<LobeKind> = std::to_array<Word<LobeKind>>({
    {LobeKind::intake, "intake"},
    {LobeKind::exhaust, "exhaust"},
    {LobeKind::other, "other"},
});

template <>
inline constexpr auto words<DatumMethod> = std::to_array<Word<DatumMethod>>({
    {DatumMethod::bar, "bar"},
    {DatumMethod::end_for_end, "end-for-end"},
});

template <>
inline constexpr auto words<StripePlace> = std::to_array<Word<StripePlace>>({
    {StripePlace::heel, "heel"},
    {StripePlace::opening, "opening"},
    {StripePlace::nose, "nose"},
    {StripePlace::closing, "closing"},
});

template <>
inline constexpr auto words<StripeSide> = std::to_array<Word<StripeSide>>({
    {StripeSide::front, "front"},
    {StripeSide::rear, "rear"},
    {StripeSide::both, "both"},
    {StripeSide::neither, "neither"},
});

}  // namespace lobewright
