// present_sweep.hpp: the bench's screen while a cam is swept, drawn from a value: a full screen that can be read from two
// metres, one line for narrow or plain terminals, and lines for a pipe. Pure: a test calls what the terminal shows.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "cli/shown_sweep.hpp"

namespace lobewright {

struct ScreenSize {
    std::size_t columns = 80;
    std::size_t lines = 24;
};

/// How the screen may be drawn.
struct ScreenStyle {
    bool blocks = true;   // block characters, else ASCII
    bool colour = false;  // beside the words, never instead
};

/// The whole screen, `size.lines` lines of `size.columns` columns at most. Needs 80 x 24 for the big figures; on less it
/// gives the same in small.
std::vector<std::string> present_sweep_screen(const SweepView& view, ScreenSize size,
                                              const ScreenStyle& style);

/// The same in one line of at most `columns`.
std::string present_sweep_line(const SweepView& view, std::size_t columns);

/// The turn as `cells` characters from 0 to 360 degrees: covered, partly, missing.
std::string turn_bar(const std::vector<Stretch>& missing, std::size_t cells, bool blocks);

/// "118 to 126 deg, 212 to 355 deg", as many as fit into `columns`, the rest counted.
std::string missing_words(const std::vector<Stretch>& missing, std::size_t columns);

/// A reading with the decimals that the bench shows: 3 in mm, 4 in inches.
std::string reading_text(const std::optional<double>& mm, Units units);

}  // namespace lobewright
