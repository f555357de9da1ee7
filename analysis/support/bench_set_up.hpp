// bench_set_up.hpp: what is known of the bench beyond what a run folder holds: where the indicators stand round the cam, how
// far their line misses its axis, how good the encoder is. A file of its own, so that run folders stay as they are.
#pragma once

#include <filesystem>

namespace lobewright {

/// Lengths in mm. The defaults are those of an indicator over the cam, on the V-blocks' bisector, in line with its axis.
struct BenchSetUp {
    // Where the tips stand round the cam, from the V-blocks' bisector outward, counted in the running direction: 0 over
    // the cam, 90 at its side, 180 under it.
    double indicator_deg = 0.0;
    double tip_offset_mm = 0.0;      // the tips' line passes the axis on the side of rising cam angles
    double tip_lean_deg = 0.0;       // the tips' line leans along the cam
    double encoder_limit_deg = 0.0;  // the encoder's largest error, plus or minus
    // What journals in V-blocks that weren't swept may be out of round by, largest less smallest: common practice, no
    // source.
    double journal_roundness_mm = 0.002;
};

/// Reads a set-up file. Keys: `format = "lobewright-setup/1"`, `units = "mm" | "in"`, and under [setup] the names of
/// the struct's fields, lengths without `_mm` in those units; keys left out keep their defaults. Throws NoInputError,
/// IoError, or DataError naming file, line and key for an unknown key, a wrong type, or a figure out of range.
BenchSetUp read_bench_set_up(const std::filesystem::path& file);

}  // namespace lobewright
