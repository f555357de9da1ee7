#include "rig/session/sweep_store.hpp"

#include <algorithm>
#include <set>
#include <sstream>
#include <system_error>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/run/run_folder.hpp"
#include "analysis/run/sweep_file.hpp"

namespace lobewright {

namespace {

namespace fs = std::filesystem;

constexpr std::size_t least_places = 12;  // as the cleaning of a sweep asks
constexpr std::size_t most_marks_bytes = std::size_t{1} << 20;
constexpr auto unfinished = ".part";

void move(const fs::path& from, const fs::path& to) {
    std::error_code problem;
    fs::rename(from, to, problem);
    if (problem) throw IoError(with_cause(place(to) + ": can't be put in place", problem.value()));
}

/// The file whole, on the disk, under its own name; never half of it.
void write_whole(const fs::path& file, const std::string& text) {
    const fs::path part = file.parent_path() / fmt::format(".{}{}", file.filename().string(), unfinished);
    std::error_code ignored;
    fs::remove(part, ignored);
    write_new_file(part, text);
    move(part, file);
    sync_folder(file.parent_path());
}

/// A lobe's name as part of a file name; what a file name can't hold becomes '_'.
std::string plain_name(const std::string& name) {
    std::string plain;
    for (const char c : name) {
        const bool kept = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                          c == '-' || c == '_';
        plain += kept ? c : '_';
    }
    return plain;
}

/// "1E-1", or with a letter behind it where a file of that name is there already.
std::string free_stem(const fs::path& folder, const std::string& wanted) {
    std::error_code ignored;
    for (int attempt = 1;; ++attempt) {
        std::string stem = attempt == 1 ? wanted : fmt::format("{}.{}", wanted, attempt);
        if (!fs::exists(fs::symlink_status(folder / (stem + ".csv"), ignored)) &&
            !fs::exists(fs::symlink_status(folder / (stem + ".txt"), ignored)))
            return stem;
    }
}

fs::path marks_file_of(fs::path sweep_file) {
    return sweep_file.replace_extension(".txt");
}

std::vector<std::string> read_marks(const fs::path& file) {
    std::error_code ignored;
    if (!fs::exists(file, ignored)) return {};
    std::string text;
    read_file(file, text, most_marks_bytes);
    std::istringstream stream(text);
    std::vector<std::string> marks;
    for (std::string line; std::getline(stream, line);)
        if (!line.empty()) marks.push_back(line);
    return marks;
}

std::string marks_text(const std::vector<std::string>& marks) {
    return fmt::format("{}\n", fmt::join(marks, "\n"));
}

void make_folder(const fs::path& folder) {
    std::error_code problem;
    if (fs::create_directory(folder, problem)) sync_folder(folder.parent_path());
    if (problem) throw IoError(with_cause(place(folder) + ": can't be made", problem.value()));
}

/// Takes away what a power cut left of files that were being written; the capture has their bytes.
void sweep_up(const fs::path& folder) {
    std::error_code problem;
    std::vector<fs::path> parts;
    for (fs::directory_iterator entry(folder, problem), end; !problem && entry != end;
         entry.increment(problem)) {
        const std::string name = entry->path().filename().string();
        if (name.starts_with('.') && name.ends_with(unfinished)) parts.push_back(entry->path());
    }
    for (const fs::path& part : parts) fs::remove(part, problem);
}

/// Writes marks and sweep; the marks first, so that a sweep never stands there unmarked.
fs::path write_sweep(const fs::path& folder, const Sweep& sweep, const std::vector<std::string>& marks,
                     const Run& run) {
    const std::string text = sweep_file_text(sweep, run.units, run.rig.resolution_mm);
    const std::string stem = free_stem(folder, fmt::format("{}-{}", plain_name(sweep.of), sweep.pass));
    fs::path file = folder / (stem + ".csv");
    if (!marks.empty()) write_whole(marks_file_of(file), marks_text(marks));
    try {
        write_whole(file, text);
    } catch (const IoError&) {
        std::error_code ignored;
        fs::remove(marks_file_of(file), ignored);  // it would mark nothing
        throw;
    }
    return file;
}

}  // namespace

bool holds_enough(const Sweep& sweep) {
    const std::set<std::int64_t> places(sweep.count.begin(), sweep.count.end());
    return places.size() >= least_places;
}

SweepStore::SweepStore(const std::filesystem::path& run_folder)
    : folder_(run_folder), run_(read_run(run_folder)) {
    sweep_up(folder_ / "sweeps");
    for (const Sweep& sweep : run_.sweeps)
        sweeps_.push_back({sweep.file, sweep.of, sweep.pass, read_marks(marks_file_of(sweep.file))});
}

std::vector<StoredSweep> SweepStore::sweeps_of(const std::string& name) const {
    std::vector<StoredSweep> found;
    std::copy_if(sweeps_.begin(), sweeps_.end(), std::back_inserter(found),
                 [&](const StoredSweep& sweep) { return sweep.of == name; });
    return found;
}

bool SweepStore::has(const std::string& name, int pass) const {
    return std::any_of(sweeps_.begin(), sweeps_.end(),
                       [&](const StoredSweep& sweep) { return sweep.of == name && sweep.pass == pass; });
}

bool SweepStore::has_whole(const std::string& name) const {
    return std::any_of(sweeps_.begin(), sweeps_.end(),
                       [&](const StoredSweep& sweep) { return sweep.of == name && sweep.marks.empty(); });
}

int SweepStore::next_pass(const std::string& name) const {
    int highest = 0;
    for (const StoredSweep& sweep : sweeps_)
        if (sweep.of == name) highest = std::max(highest, sweep.pass);
    return highest + 1;
}

StoredSweep SweepStore::keep(const Sweep& sweep, const std::vector<std::string>& marks) {
    StoredSweep stored{write_sweep(folder_ / "sweeps", sweep, marks, run_), sweep.of, sweep.pass, marks};
    sweeps_.push_back(stored);
    return stored;
}

std::filesystem::path SweepStore::keep_aside(const Sweep& sweep, const std::vector<std::string>& marks) {
    make_folder(folder_ / "aside");
    return write_sweep(folder_ / "aside", sweep, marks, run_);
}

std::filesystem::path SweepStore::put_aside(const std::string& name, int pass) {
    const auto found = std::find_if(sweeps_.begin(), sweeps_.end(), [&](const StoredSweep& sweep) {
        return sweep.of == name && sweep.pass == pass;
    });
    if (found == sweeps_.end()) throw UsageError(fmt::format("{} has no pass {} to put aside", name, pass));
    const fs::path aside = folder_ / "aside";
    make_folder(aside);
    fs::path file = aside / (free_stem(aside, found->file.stem().string()) + ".csv");
    // The sweep first: should the power fail between the two, its marks stay behind and mark nothing.
    move(found->file, file);
    if (!found->marks.empty()) move(marks_file_of(found->file), marks_file_of(file));
    sync_folder(aside);
    sync_folder(folder_ / "sweeps");
    sweeps_.erase(found);
    return file;
}

void SweepStore::mark(const std::string& name, int pass, const std::string& text) {
    for (StoredSweep& sweep : sweeps_) {
        if (sweep.of != name || sweep.pass != pass) continue;
        sweep.marks.push_back(text);
        write_whole(marks_file_of(sweep.file), marks_text(sweep.marks));
    }
}

}  // namespace lobewright
