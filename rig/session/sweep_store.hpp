// sweep_store.hpp: the sweeps of a run folder while the run is being made. A sweep's file appears whole or not at all; a
// sweep that falls short has what is amiss with it in a text file of the same name beside it; nothing is deleted: what is
// undone or replaced moves to the run's folder `aside`.
//
//   sweeps/1E-1.csv   the sweep
//   sweeps/1E-1.txt   what is amiss, a line each; there only when something is
//   aside/            undone and repeated sweeps, and such as hold too little to be read as one
// Throws IoError when the disk won't.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "analysis/run/run.hpp"

namespace lobewright {

/// A sweep that stands in the run.
struct StoredSweep {
    std::filesystem::path file;
    std::string of;
    int pass = 1;
    std::vector<std::string> marks;
};

class SweepStore {
public:
    /// Reads the run; throws what read_run throws. Temporary files that a power cut left behind are taken away.
    explicit SweepStore(const std::filesystem::path& run_folder);

    /// The run as run.toml says; its sweeps are those that were there at the start.
    [[nodiscard]] const Run& run() const { return run_; }
    [[nodiscard]] const std::vector<StoredSweep>& sweeps() const { return sweeps_; }
    [[nodiscard]] std::vector<StoredSweep> sweeps_of(const std::string& name) const;
    [[nodiscard]] bool has(const std::string& name, int pass) const;
    /// Whether a sweep of this lobe or journal stands there without a mark.
    [[nodiscard]] bool has_whole(const std::string& name) const;
    /// One above the highest pass of this lobe or journal.
    [[nodiscard]] int next_pass(const std::string& name) const;

    /// Writes the sweep and its marks; gives its place.
    StoredSweep keep(const Sweep& sweep, const std::vector<std::string>& marks);
    /// The same into `aside`, where no analysis looks.
    std::filesystem::path keep_aside(const Sweep& sweep, const std::vector<std::string>& marks);
    /// Moves a sweep that stands in the run to `aside`; gives its place there.
    std::filesystem::path put_aside(const std::string& name, int pass);
    /// Adds a mark to a sweep that stands in the run.
    void mark(const std::string& name, int pass, const std::string& text);

private:
    std::filesystem::path folder_;
    Run run_;
    std::vector<StoredSweep> sweeps_;
};

/// Whether a sweep holds enough to stand in a run: the analysis refuses a file of fewer than 12 places.
bool holds_enough(const Sweep& sweep);

}  // namespace lobewright
