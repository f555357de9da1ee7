#include "analysis/run/run.hpp"

#include "analysis/run/run_words.hpp"

namespace lobewright {

namespace {

template <class Choice>
std::string_view word_of(Choice value) {
    for (const auto& entry : words<Choice>)
        if (entry.value == value) return entry.text;
    return {};
}

}  // namespace

std::string_view word(Condition value) {
    return word_of(value);
}
std::string_view word(Follower value) {
    return word_of(value);
}
std::string_view word(Retention value) {
    return word_of(value);
}
std::string_view word(Tip value) {
    return word_of(value);
}
std::string_view word(LobeKind value) {
    return word_of(value);
}
std::string_view word(DatumMethod value) {
    return word_of(value);
}
std::string_view word(StripePlace value) {
    return word_of(value);
}
std::string_view word(StripeSide value) {
    return word_of(value);
}
std::string_view word(Units value) {
    return word_of(value);
}

}  // namespace lobewright
