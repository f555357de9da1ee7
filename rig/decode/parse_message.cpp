#include "rig/decode/parse_message.hpp"

#include <algorithm>
#include <charconv>

namespace lobewright {
namespace {

/// Takes fields off a payload from left to right. Once one fails, all do.
class Fields {
public:
    explicit Fields(std::string_view payload) : at_(payload.data()), end_(at_ + payload.size()) {}

    template <class Number>
    void number(Number& into) {
        const auto parsed = std::from_chars(at_, end_, into);
        good_ = good_ && parsed.ec == std::errc{};
        at_ = parsed.ptr;
        end_field();
    }

    void reading(std::optional<std::int32_t>& into) {
        if (at_ != end_ && *at_ == '-' && (at_ + 1 == end_ || at_[1] == ',')) {
            ++at_;
            return end_field();
        }
        number(into.emplace());
    }

    std::string_view word() {
        const char* const begin = at_;
        at_ = std::find(at_, end_, ',');
        const std::string_view word(begin, static_cast<std::size_t>(at_ - begin));
        end_field();
        return word;
    }

    /// All fields were good and none is left.
    [[nodiscard]] bool done() const { return good_ && !more_; }

private:
    void end_field() {
        good_ = good_ && more_ && (at_ == end_ || *at_ == ',');
        more_ = at_ != end_;
        if (more_) ++at_;
    }

    const char* at_;
    const char* end_;
    bool good_ = true;
    bool more_ = true;  // a field is due
};

std::optional<RigMessage> hello(Fields fields) {
    Hello out;
    fields.number(out.version);
    // A later version may have other fields; that it is one is worth knowing all the same.
    if (out.version > 1) return out;
    out.name = fields.word();
    fields.number(out.counts_per_rev);
    fields.number(out.step_nm);
    const std::string_view can = fields.word();
    const bool letters = std::all_of(can.begin(), can.end(), [](char c) { return c >= 'a' && c <= 'z'; });
    const bool printable =
        std::all_of(out.name.begin(), out.name.end(), [](char c) { return c >= 0x20 && c <= 0x7e; });
    out.turns = can.find('t') != std::string_view::npos;
    constexpr std::int64_t most_counts = 100'000'000, most_step_nm = 1'000'000;
    const bool sane = out.version == 1 && out.counts_per_rev > 0 && out.counts_per_rev <= most_counts &&
                      out.step_nm > 0 && out.step_nm <= most_step_nm && printable && !can.empty() &&
                      (can == "-" || letters);
    return fields.done() && sane ? std::optional<RigMessage>(out) : std::nullopt;
}

std::optional<RigMessage> fault(Fields fields) {
    Fault out;
    fields.number(out.seq);
    fields.number(out.t_us);
    const std::string_view code = fields.word();
    constexpr std::string_view codes[] = {"range-front", "range-rear", "encoder", "overrun", "halted"};
    const auto* const found = std::find(std::begin(codes), std::end(codes), code);
    if (!fields.done() || found == std::end(codes)) return std::nullopt;
    out.code = static_cast<FaultCode>(found - std::begin(codes));
    return out;
}

std::optional<RigMessage> sample(Fields fields) {
    Sample out;
    fields.number(out.seq);
    fields.number(out.t_us);
    fields.number(out.count);
    fields.reading(out.front);
    fields.reading(out.rear);
    return fields.done() ? std::optional<RigMessage>(out) : std::nullopt;
}

template <class Message>
std::optional<RigMessage> count_only(Fields fields) {
    Message out;
    fields.number(out.seq);
    fields.number(out.t_us);
    fields.number(out.count);
    return fields.done() ? std::optional<RigMessage>(out) : std::nullopt;
}

std::optional<RigMessage> stopped(Fields fields) {
    Stopped out;
    fields.number(out.seq);
    return fields.done() ? std::optional<RigMessage>(out) : std::nullopt;
}

}  // namespace

std::optional<RigMessage> parse_message(std::string_view payload) {
    if (payload.size() < 3 || payload[1] != ',') return std::nullopt;
    const Fields fields(payload.substr(2));
    switch (payload.front()) {
        case 'S':
            return sample(fields);
        case 'X':
            return count_only<IndexMark>(fields);
        case 'F':
            return fault(fields);
        case 'B':
            return count_only<Beat>(fields);
        case 'H':
            return hello(fields);
        case 'Q':
            return stopped(fields);
        default:
            return std::nullopt;
    }
}

}  // namespace lobewright
