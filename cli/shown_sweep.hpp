// shown_sweep.hpp: all that any view of the bench shows while a cam is swept, as one plain value: made anew from the session
// for each picture (sweep_view.hpp), drawn on the terminal (present_sweep.hpp). It holds no pointer and no clock, so a view
// elsewhere may take a copy, and need not keep pace.
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

/// All that is shown.
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

}  // namespace lobewright
