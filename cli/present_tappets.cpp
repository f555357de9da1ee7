#include "cli/present_tappets.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "cli/output.hpp"
#include "cli/text_table.hpp"

namespace lobewright {
namespace {

std::string line_of(const std::vector<TappetPlace>& places, TappetFate fate, const char* head) {
    std::vector<std::string> each;
    for (const TappetPlace& place : places) {
        if (place.fate != fate) continue;
        each.push_back(fmt::format("{} on {}", one_line(place.tag), one_line(place.lobe)));
    }
    return each.empty() ? "" : fmt::format("{}: {}", head, fmt::join(each, ", "));
}

/// Those that must not go back, a line for each cause.
std::vector<std::string> away(const std::vector<TappetPlace>& places) {
    std::vector<std::string> causes;
    std::vector<std::string> out;
    for (const TappetPlace& first : places) {
        if (first.fate != TappetFate::away) continue;
        if (std::find(causes.begin(), causes.end(), first.why) != causes.end()) continue;
        causes.push_back(first.why);
        std::vector<std::string> each;
        for (const TappetPlace& place : places) {
            if (place.fate != TappetFate::away || place.why != first.why) continue;
            each.push_back(fmt::format("{} of {}", one_line(place.tag), one_line(place.lobe)));
        }
        out.push_back(fmt::format("must not go back, {}: {}", one_line(first.why), fmt::join(each, ", ")));
    }
    return out;
}

}  // namespace

std::vector<std::string> say_tappets(const std::vector<TappetPlace>& places) {
    std::vector<std::string> lines{
        line_of(places, TappetFate::back, "each back on its own lobe"),
        line_of(places, TappetFate::only_as_is, "back on their lobes if these aren't ground"),
        line_of(places, TappetFate::wait, "stay with their lobes until measured again")};
    lines.erase(std::remove(lines.begin(), lines.end(), ""), lines.end());
    const std::vector<std::string> others = away(places);
    lines.insert(lines.end(), others.begin(), others.end());
    return lines;
}

std::string present_tappets(const std::vector<TappetPlace>& places) {
    std::string out;
    for (const std::string& line : say_tappets(places)) out += paragraph(line, "- ");
    return out.empty() ? "" : "\nTappets\n" + out;
}

}  // namespace lobewright
