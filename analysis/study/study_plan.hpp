// study_plan.hpp: which runs a study judges, and what each is held against.
//
// A run folder can't name its reference, so a run that nobody paired finds it by its place: among the runs that stand in
// the same folder. For a `used` run that is one that is `new`, for an `after` one that is `before` (or, where there is
// none, `new`); of the same part where both say one, and with the same lobes. A folder of many cams keeps them apart by
// name: a reference whose folder ends in its condition (`launch-4-new`) is taken only by runs whose folders begin with
// the rest (`launch-4-used-wiped`), and the longest such name wins. Two that fit equally well are never guessed between.
#pragma once

#include <filesystem>
#include <optional>
#include <string_view>
#include <vector>

#include "analysis/errors.hpp"

namespace lobewright {

/// One run of a study. `reference` is empty where the run is judged alone.
struct StudyItem {
    std::filesystem::path path;
    std::filesystem::path reference;
    std::optional<Error> failure;  // why it can't be judged, known already; its line says so
};

/// Every run (a folder that holds run.toml) in and below these folders, in the order of their paths, each once. Doesn't look
/// into runs, into folders whose name begins with a dot, or through links to folders. A folder that can't be read is an
/// item with its failure.
/// Throws NoInputError when one of `folders` isn't there.
std::vector<StudyItem> find_runs(const std::vector<std::filesystem::path>& folders);

/// The runs of a list, in its order: a line is `RUN`, or `REFERENCE`, a tab and `USED`; blank lines don't count.
/// Throws DataError naming `name` and the line for anything else.
std::vector<StudyItem> listed_runs(std::string_view text, const std::filesystem::path& name);

/// Finds the reference of each item that has neither that nor a failure. Reads run.toml of the runs and of those beside
/// them, on `threads` threads (0: as many as the machine has cores). A run.toml that can't be read is passed over
/// here: judging it will say why.
void pair_runs(std::vector<StudyItem>& items, unsigned threads);

}  // namespace lobewright
