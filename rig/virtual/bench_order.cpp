#include "rig/virtual/bench_order.hpp"

#include <algorithm>
#include <charconv>

#include <fmt/format.h>

#include "analysis/errors.hpp"

namespace lobewright::virtual_rig {
namespace {

std::vector<std::string_view> words_of(std::string_view line) {
    std::vector<std::string_view> words;
    std::size_t at = 0;
    while ((at = line.find_first_not_of(" \t\r", at)) != std::string_view::npos) {
        const std::size_t end = std::min(line.find_first_of(" \t\r", at), line.size());
        words.push_back(line.substr(at, end - at));
        at = end;
    }
    return words;
}

double number(std::string_view word) {
    double value = 0.0;
    const auto [end, problem] = std::from_chars(word.data(), word.data() + word.size(), value);
    if (problem != std::errc{} || end != word.data() + word.size() || !(value > -1e6 && value < 1e6))
        throw UsageError(fmt::format("'{}' isn't a number", word));
    return value;
}

struct Form {
    std::string_view word;
    BenchDoes does;
    std::size_t least;
    std::size_t most;  // words behind it
    std::string_view says;
};

constexpr Form forms[] = {{"lobe", BenchDoes::stand_on, 1, 1, "lobe NAME"},
                          {"next", BenchDoes::step, 0, 0, "next"},
                          {"previous", BenchDoes::step, 0, 0, "previous"},
                          {"turn", BenchDoes::turn, 1, 2, "turn DEG [DEG_PER_S]"},
                          {"rest", BenchDoes::rest, 1, 1, "rest SECONDS"},
                          {"await", BenchDoes::await, 0, 0, "await"},
                          {"run", BenchDoes::run, 0, 0, "run"},
                          {"halt", BenchDoes::halt, 0, 0, "halt"},
                          {"speed", BenchDoes::speed, 1, 1, "speed DEG_PER_S"},
                          {"parallel", BenchDoes::parallel, 1, 1, "parallel MM"},
                          {"cam", BenchDoes::cam, 0, 0, "cam"},
                          {"fault", BenchDoes::fault, 1, 1, "fault KIND[:AMOUNT][@WHERE][+FOR]"},
                          {"quit", BenchDoes::quit, 0, 0, "quit"}};

void check_positive(double value, std::string_view what) {
    if (!(value > 0.0)) throw UsageError(fmt::format("{} {}: must be above 0", what, value));
}

}  // namespace

BenchOrder parse_bench_order(std::string_view line) {
    const auto words = words_of(line);
    if (words.empty()) throw UsageError("an empty line is no order");
    for (const Form& form : forms) {
        if (form.word != words[0]) continue;
        if (words.size() - 1 < form.least || words.size() - 1 > form.most)
            throw UsageError(fmt::format("'{}': the form is {}", line, form.says));
        BenchOrder order;
        order.does = form.does;
        if (form.does == BenchDoes::stand_on) {
            order.place = words[1];
        } else if (form.does == BenchDoes::step) {
            order.amount = form.word == "next" ? 1.0 : -1.0;
        } else if (form.does == BenchDoes::fault) {
            order.fault = parse_fault(words[1]);
        } else if (form.least > 0) {
            order.amount = number(words[1]);
        }
        if (words.size() == 3) check_positive(order.deg_per_s = number(words[2]), "turning at");
        if (form.does == BenchDoes::speed || form.does == BenchDoes::rest)
            check_positive(order.amount, form.word);
        return order;
    }
    throw UsageError(fmt::format(
        "'{}' is no order; there are lobe, next, previous, turn, rest, await, run, halt, speed, parallel, "
        "cam, fault, quit",
        words[0]));
}

std::vector<BenchOrder> parse_bench_script(std::string_view text, const std::string& name) {
    std::vector<BenchOrder> orders;
    for (int number = 1; !text.empty(); ++number) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        const std::string_view line = text.substr(0, std::min(end, text.find('#')));
        text.remove_prefix(std::min(end + 1, text.size()));
        if (words_of(line).empty()) continue;
        try {
            orders.push_back(parse_bench_order(line));
        } catch (const UsageError& error) {
            throw UsageError(fmt::format("{}, line {}: {}", name, number, error.what()));
        }
    }
    return orders;
}

}  // namespace lobewright::virtual_rig
