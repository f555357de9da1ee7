// present_sweep.hpp: the bench's screen while a cam is swept, drawn from a value: a full screen that can be read from two
// metres, one line for narrow or plain terminals, and lines for a pipe. Pure: a test calls what the terminal shows.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "analysis/units.hpp"
#include "rig/acquisition/turn_track.hpp"

namespace lobewright {

enum class BenchStage {
    place,    // indicators are to be set on the lobe; nothing is taken yet
    sweep,    // the cam is turned
    finished  // the lobe is done; what next?
};

/// One trouble as it is shown.
struct ShownTrouble {
    std::string says;    // "gap 118 to 126 deg"
    std::string advice;  // "turn on round and over it again, slower"
    bool put_right = false;
};

/// All that the screen shows.
struct SweepView {
    BenchStage stage = BenchStage::place;
    std::string of;  // "1E"
    bool journal = false;
    int pass = 1;
    std::size_t ordinal = 1;  // of the lobes and journals to be swept
    std::size_t places = 1;
    Units units = Units::mm;
    std::string port;                 // where the rig is
    bool away = false;                // unplugged, or not answering
    bool true_angles = false;         // else counted from the beginning until the index mark
    std::optional<double> angle_deg;  // in the turn
    std::optional<double> front_mm;
    std::optional<double> rear_mm;
    double speed_deg_per_s = 0.0;
    std::optional<double> most_deg_per_s;
    std::optional<double> front_drift_mm, rear_drift_mm;  // none until an angle was read twice
    std::vector<Stretch> missing;                         // of the turn
    std::optional<double> to_index_deg;                   // to turn to the next mark
    std::vector<ShownTrouble> troubles;                   // oldest first
    std::vector<std::string> says;  // what to do now, cautions, what became of the sweep
    std::string keys;               // "Enter go  s skip  u undo  q quit"
    bool motor = false;             // the motor turns
};

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
