// write_sample_runs: writes every run of rig/model/sample_runs.hpp as a folder under the folder it is given,
// in place of what stood there by that name. sample_runs/rewrite.sh builds and runs it.
#include <exception>
#include <filesystem>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/run_folder.hpp"
#include "rig/model/sample_runs.hpp"

namespace {

int write_all(const std::filesystem::path& into) {
    using namespace lobewright;
    if (!std::filesystem::is_directory(into)) {
        throw NoInputError(fmt::format("{}: no such folder to write the sample runs into", into.string()));
    }
    for (const SampleRun& sample : sample_runs()) {
        const Run run = simulate_run(sample);
        const std::filesystem::path folder = into / sample.plan.info.id;
        std::filesystem::remove_all(folder);
        write_run(run, folder);
        fmt::print("{}\n", folder.string());
    }
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 2) {
        fmt::print(stderr, "usage: write_sample_runs <folder>\n");
        return static_cast<int>(lobewright::Exit::usage);
    }
    try {
        return write_all(argv[1]);
    } catch (const lobewright::Error& error) {
        fmt::print(stderr, "{}\n", error.what());
        return static_cast<int>(error.exit());
    } catch (const std::exception& error) {
        fmt::print(stderr, "{}\n", error.what());
        return static_cast<int>(lobewright::Exit::io);
    }
}
