#include <system_error>
#include <type_traits>
#include <unistd.h>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/run/run_folder.hpp"
#include "analysis/run/run_toml.hpp"
#include "analysis/run/sweep_file.hpp"
#include "analysis/run/sweep_place.hpp"
#include "analysis/run/sweep_text.hpp"

namespace lobewright {

namespace {

namespace fs = std::filesystem;

std::string sweep_name(std::size_t ordinal) {
    return fmt::format("s{:03}.csv", ordinal);
}

/// A sweep with the same columns and a row at most, named after the file that it will be.
Sweep first_row_of(const Sweep& sweep, std::size_t ordinal) {
    const auto first = [](const auto& column) {
        using Column = std::remove_cvref_t<decltype(column)>;
        return column.empty() ? Column{} : Column{column.front()};
    };
    return {.file = sweep_name(ordinal),
            .of = sweep.of,
            .pass = sweep.pass,
            .t_us = first(sweep.t_us),
            .count = first(sweep.count),
            .angle_deg = first(sweep.angle_deg),
            .front_mm = first(sweep.front_mm),
            .rear_mm = first(sweep.rear_mm)};
}

/// Throws DataError when read_run would refuse what is about to be written. The rules on sweeps ask which
/// columns there are, never what stands in the rows.
void require_readable(const Run& run, const std::string& toml, const fs::path& folder) {
    try {
        Run read_back = parse_run_toml(toml, folder / "run.toml");
        std::vector<SweepText> sweeps;
        for (const Sweep& sweep : run.sweeps)
            sweeps.push_back({.sweep = first_row_of(sweep, sweeps.size()), .header = {}});
        place_sweeps(std::move(sweeps), read_back);
    } catch (const DataError& problem) {
        throw DataError(fmt::format("this run can't be written: {}", problem.what()));
    }
}

/// A new folder on the same disk as the one to be written, so that a rename moves what it holds. Takes itself
/// away, with all it still holds.
class Stage {
public:
    explicit Stage(const fs::path& parent, const std::string& name) {
        // Whatever an earlier program of the same process number left behind stays as it is.
        for (int attempt = 0; attempt < 100; ++attempt) {
            path_ = parent / fmt::format(".{}.{}-{}.part", name, ::getpid(), attempt);
            std::error_code problem;
            if (fs::create_directory(path_, problem)) return;
            if (problem) throw IoError(with_cause(place(path_) + ": can't be made", problem.value()));
        }
        throw IoError(place(path_) + ": stands in the way, as do others like it; remove them");
    }
    Stage(const Stage&) = delete;
    Stage& operator=(const Stage&) = delete;
    ~Stage() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }

    [[nodiscard]] const fs::path& path() const { return path_; }

private:
    fs::path path_;
};

void move(const fs::path& from, const fs::path& to) {
    std::error_code problem;
    fs::rename(from, to, problem);
    if (problem) throw IoError(with_cause(place(to) + ": can't be made", problem.value()));
}

void write_sweeps(const Run& run, const fs::path& folder) {
    std::error_code problem;
    if (!fs::create_directory(folder, problem))
        throw IoError(with_cause(place(folder) + ": can't be made", problem.value()));
    for (std::size_t i = 0; i < run.sweeps.size(); ++i) {
        write_new_file(folder / sweep_name(i),
                       sweep_file_text(run.sweeps[i], run.units, run.rig.resolution_mm));
    }
    sync_folder(folder);
}

}  // namespace

void write_run(const Run& run, const std::filesystem::path& folder) {
    // "runs/launch-4/" and "runs/launch-4" are one folder, whose parent is "runs".
    const fs::path target = folder.has_filename() ? folder : folder.parent_path();
    const fs::path parent = target.has_parent_path() ? target.parent_path() : fs::path(".");
    std::error_code ignored;
    for (const char* part : {"run.toml", "sweeps"})
        if (fs::exists(fs::symlink_status(target / part, ignored)))
            throw IoError(fmt::format("{}: is there already; write to another folder", place(target / part)));
    const std::string toml = print_run_toml(run);
    require_readable(run, toml, target);

    const bool is_there = fs::is_directory(target, ignored);
    const Stage stage(is_there ? target : parent, target.filename().string());
    write_sweeps(run, stage.path() / "sweeps");
    write_new_file(stage.path() / "run.toml", toml);
    sync_folder(stage.path());
    if (!is_there) {
        move(stage.path(), target);
        sync_folder(parent);
        return;
    }
    // A folder that may hold captures already: run.toml comes last, because it makes the folder a run.
    move(stage.path() / "sweeps", target / "sweeps");
    try {
        move(stage.path() / "run.toml", target / "run.toml");
    } catch (const IoError&) {
        fs::remove_all(target / "sweeps", ignored);
        throw;
    }
    sync_folder(target);
}

}  // namespace lobewright
