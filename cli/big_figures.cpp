#include "cli/big_figures.hpp"

#include <algorithm>

namespace lobewright {
namespace {

struct Figure {
    char character;
    std::array<std::string_view, big_lines> dots;
};

constexpr std::array<Figure, 15> figures{{{'0', {"###", "# #", "# #", "# #", "###"}},
                                          {'1', {" # ", "## ", " # ", " # ", "###"}},
                                          {'2', {"###", "  #", "###", "#  ", "###"}},
                                          {'3', {"###", "  #", " ##", "  #", "###"}},
                                          {'4', {"# #", "# #", "###", "  #", "  #"}},
                                          {'5', {"###", "#  ", "###", "  #", "###"}},
                                          {'6', {"###", "#  ", "###", "# #", "###"}},
                                          {'7', {"###", "  #", "  #", " # ", " # "}},
                                          {'8', {"###", "# #", "###", "# #", "###"}},
                                          {'9', {"###", "# #", "###", "  #", "###"}},
                                          {'.', {" ", " ", " ", " ", "#"}},
                                          {'-', {"  ", "  ", "##", "  ", "  "}},
                                          {'+', {"   ", " # ", "###", " # ", "   "}},
                                          {' ', {" ", " ", " ", " ", " "}},
                                          {'?', {"###", "  #", " ##", "   ", " # "}}}};

const Figure& figure_of(char character) {
    constexpr std::size_t blank = 13;
    const auto found = std::find_if(figures.begin(), figures.end(),
                                    [&](const Figure& figure) { return figure.character == character; });
    return found != figures.end() ? *found : figures[blank];
}

}  // namespace

std::array<std::string, big_lines> big_figures(std::string_view text, bool wide, bool blocks) {
    std::array<std::string, big_lines> lines;
    const std::string_view dot = blocks ? "\u2588" : "#";
    for (std::size_t i = 0; i < text.size(); ++i) {
        const Figure& figure = figure_of(text[i]);
        for (std::size_t line = 0; line < big_lines; ++line) {
            if (i > 0) lines[line] += ' ';
            for (const char c : figure.dots[line])
                for (int column = 0; column < (wide ? 2 : 1); ++column) lines[line] += c == '#' ? dot : " ";
        }
    }
    return lines;
}

std::size_t big_width(std::string_view text, bool wide) {
    std::size_t width = text.empty() ? 0 : text.size() - 1;
    for (const char c : text) width += figure_of(c).dots[0].size() * (wide ? 2 : 1);
    return width;
}

}  // namespace lobewright
