#include "rig/firmware/order.hpp"

namespace lobewright::firmware {

namespace {

bool same(const char* text, std::size_t size, const char* word) {
    std::size_t i = 0;
    while (i < size && word[i] == text[i] && word[i] != '\0') ++i;
    return i == size && word[i] == '\0';
}

/// Reads fields of whole numbers from left to right; once one fails, all do.
class Numbers {
public:
    Numbers(const char* text, std::size_t size) : at_(text), end_(text + size) {}

    std::int32_t next() {
        if (at_ == end_ || *at_ != ',') return fail();
        ++at_;
        const bool negative = at_ != end_ && *at_ == '-';
        if (negative) ++at_;
        if (at_ == end_ || *at_ < '0' || *at_ > '9') return fail();
        std::int64_t number = 0;
        for (; at_ != end_ && *at_ >= '0' && *at_ <= '9'; ++at_) {
            number = number * 10 + (*at_ - '0');
            if (number > INT32_MAX) return fail();
        }
        return static_cast<std::int32_t>(negative ? -number : number);
    }

    /// All fields were good and none is left.
    [[nodiscard]] bool done() const { return good_ && at_ == end_; }

private:
    std::int32_t fail() {
        good_ = false;
        return 0;
    }

    const char* at_;
    const char* end_;
    bool good_ = true;
};

struct Word {
    const char* text;
    OrderKind kind;
    int numbers;
};

constexpr Word words[] = {{"hello", OrderKind::hello, 0}, {"start", OrderKind::start, 0},
                          {"stop", OrderKind::stop, 0},   {"zero", OrderKind::zero, 0},
                          {"every", OrderKind::every, 1}, {"turn", OrderKind::turn, 2},
                          {"keep", OrderKind::keep, 0},   {"halt", OrderKind::halt, 0}};

}  // namespace

Order parse_order(const char* payload, std::size_t size) {
    std::size_t length = 0;
    while (length < size && payload[length] != ',') ++length;
    for (const Word& word : words) {
        if (!same(payload, length, word.text)) continue;
        Numbers numbers(payload + length, size - length);
        Order order{word.kind, 0, 0};
        if (word.numbers > 0) order.counts = numbers.next();
        if (word.numbers > 1) order.counts_per_s = numbers.next();
        const bool sane = (order.kind != OrderKind::every || order.counts > 0) &&
                          (order.kind != OrderKind::turn || (order.counts != 0 && order.counts_per_s > 0));
        return numbers.done() && sane ? order : Order{};
    }
    return {};
}

Order OrderReader::take(char byte) {
    if (byte != '\n') {
        if (size_ < longest_line - 1) {
            text_[size_++] = byte;
        } else {
            overlong_ = true;
        }
        return {};
    }
    const std::size_t payload = overlong_ ? 0 : checked_size(text_, size_);
    const Order order = parse_order(text_, payload);
    if (order.kind == OrderKind::none) ++refused_;
    size_ = 0;
    overlong_ = false;
    return order;
}

}  // namespace lobewright::firmware
