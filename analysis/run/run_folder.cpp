#include "analysis/run/run_folder.hpp"

#include <algorithm>
#include <new>
#include <system_error>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/in_parallel.hpp"
#include "analysis/run/file_bytes.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/run/run_toml.hpp"
#include "analysis/run/sweep_place.hpp"
#include "analysis/run/sweep_text.hpp"

namespace lobewright {

namespace {

namespace fs = std::filesystem;

/// Some thirty million rows: a whole day of one lobe at 400 samples a second.
constexpr std::size_t most_sweep_bytes = std::size_t{1} << 30;

void require_folder(const fs::path& folder) {
    std::error_code problem;
    const fs::file_status status = fs::status(folder, problem);
    if (status.type() == fs::file_type::not_found) throw NoInputError(place(folder) + ": no such run folder");
    if (problem) throw IoError(with_cause(place(folder) + ": can't be read", problem.value()));
    if (status.type() != fs::file_type::directory)
        throw NoInputError(place(folder) + ": isn't a run folder; name the folder that holds run.toml");
}

bool is_sweep_name(const fs::path& file) {
    std::string extension = file.extension().string();
    // A memory stick may have put the name in capitals.
    std::transform(extension.begin(), extension.end(), extension.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    return extension == ".csv";
}

/// The sweep files in the order of their names, so that messages don't depend on the disk's order.
std::vector<fs::path> sweep_files(const fs::path& folder) {
    std::error_code problem;
    fs::directory_iterator entries(folder, problem);
    if (problem == std::errc::no_such_file_or_directory)
        throw NoInputError(place(folder) + ": no such folder; a run holds its sweeps there");
    std::vector<fs::path> files;
    for (; !problem && entries != fs::directory_iterator(); entries.increment(problem)) {
        std::error_code
            ignored;  // a link that leads nowhere isn't a folder, and reading it will say what is wrong
        if (is_sweep_name(entries->path()) && !entries->is_directory(ignored))
            files.push_back(entries->path());
    }
    if (problem) throw IoError(with_cause(place(folder) + ": can't be read", problem.value()));
    std::sort(files.begin(), files.end());
    return files;
}

/// A buffer for each thread, used again for each file: fresh memory costs more than the reading.
std::string& buffer_of_this_thread() {
    thread_local std::string buffer;
    return buffer;
}

std::vector<SweepText> parse_all(const std::vector<fs::path>& files, Units units, unsigned threads) {
    std::vector<SweepText> sweeps(files.size());
    in_parallel(files.size(), threads, [&](std::size_t i) {
        std::string& text = buffer_of_this_thread();
        read_file(files[i], text, most_sweep_bytes);
        sweeps[i] = parse_sweep_text(text, files[i], units);
    });
    std::string().swap(buffer_of_this_thread());
    return sweeps;
}

}  // namespace

Run read_run_toml(const std::filesystem::path& folder) {
    require_folder(folder);
    std::string text;
    read_file(folder / "run.toml", text, most_run_toml_bytes);
    Run run = parse_run_toml(text, folder / "run.toml");
    run.folder = folder;
    return run;
}

Run read_run(const std::filesystem::path& folder, unsigned threads) try {
    Run run = read_run_toml(folder);
    place_sweeps(parse_all(sweep_files(folder / "sweeps"), run.units, threads), run);
    return run;
} catch (const std::bad_alloc&) {
    throw IoError(place(folder) + ": the run doesn't fit in memory");
}

}  // namespace lobewright
