// The runs in sample_runs/: they are what the model writes, and they show what their README says.
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>

#include <catch2/catch.hpp>

#include "analysis/run/run_folder.hpp"
#include "rig/model/sample_runs.hpp"
#include "rig/model/truth.hpp"

using namespace lobewright;

namespace {

namespace fs = std::filesystem;

std::string bytes_of(const fs::path& file) {
    std::ifstream stream(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

/// Every file under a folder, by its path from there.
std::vector<fs::path> files_under(const fs::path& folder) {
    std::vector<fs::path> files;
    for (const fs::directory_entry& entry : fs::recursive_directory_iterator(folder)) {
        if (entry.is_regular_file()) files.push_back(fs::relative(entry.path(), folder));
    }
    std::sort(files.begin(), files.end());
    return files;
}

/// A folder of its own for one test, gone with it.
struct TemporaryFolder {
    fs::path path =
        fs::temp_directory_path() / ("lobewright-samples-" + std::to_string(std::random_device{}()));
    TemporaryFolder() { fs::create_directory(path); }
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    ~TemporaryFolder() { fs::remove_all(path); }
};

CamTruth truth_of(const std::string& reference_id, const std::string& used_id) {
    const SampleRun reference = sample_run(reference_id);
    const SampleRun used = sample_run(used_id);
    return true_figures(reference.cam, reference.rig, used.cam, used.rig);
}

/// The smaller of the two ramps' tapers, in size.
double ramp_taper_mm(const LobeTruth& lobe) {
    return std::min(std::fabs(lobe.taper_opening_mm.value), std::fabs(lobe.taper_closing_mm.value));
}

}  // namespace

TEST_CASE("sample_runs/ holds what the model writes, byte for byte") {
    const fs::path stored = fs::path(LOBEWRIGHT_SOURCE_DIR) / "sample_runs";
    for (const SampleRun& sample : sample_runs()) {
        const std::string& id = sample.plan.info.id;
        INFO("run sh sample_runs/rewrite.sh and look at the difference in " << id);
        const TemporaryFolder folder;
        write_run(simulate_run(sample), folder.path / id);
        const std::vector<fs::path> files = files_under(folder.path / id);
        REQUIRE(files.size() >= 3);
        REQUIRE(files == files_under(stored / id));
        for (const fs::path& file : files) {
            INFO(file.string());
            const bool same = bytes_of(folder.path / id / file) == bytes_of(stored / id / file);
            CHECK(same);
        }
    }
}

TEST_CASE("every sample run says that it is invented") {
    for (const SampleRun& sample : sample_runs()) {
        CHECK_THAT(sample.plan.info.note.value_or(""),
                   Catch::StartsWith("Invented and simulated, not measured."));
    }
}

TEST_CASE("launch-4-used-nose: noses flat, ramps tapered, little lift lost") {
    for (const LobeTruth& lobe : truth_of("launch-4-new", "launch-4-used-nose").lobes) {
        INFO(lobe.name);
        CHECK(std::fabs(lobe.taper_nose_mm.value) < 0.001);
        CHECK(ramp_taper_mm(lobe) > 0.020);
        CHECK(lobe.max_depth_mm.value > 0.010);
        CHECK(lobe.max_depth_mm.value < 0.042);
        CHECK(lobe.lift_loss_mm.value < 0.04);
    }
}

TEST_CASE("launch-4-used-wiped: 3E lost its lift and its taper, the others neither") {
    for (const LobeTruth& lobe : truth_of("launch-4-new", "launch-4-used-wiped").lobes) {
        INFO(lobe.name);
        const bool wiped = lobe.name == "3E";
        CHECK((lobe.lift_loss_mm.value > 0.45) == wiped);
        CHECK((ramp_taper_mm(lobe) < 0.001) == wiped);
        CHECK((lobe.stock_to_clean_mm.value > 0.13) == wiped);
    }
}

TEST_CASE("launch-4-after: 2I and 3E lost their taper all round, the others bedded in") {
    for (const LobeTruth& lobe : truth_of("launch-4-before", "launch-4-after").lobes) {
        INFO(lobe.name);
        const bool failed = lobe.name == "2I" || lobe.name == "3E";
        CHECK((ramp_taper_mm(lobe) < 0.001) == failed);
        CHECK((std::fabs(lobe.taper_nose_mm.value) < 0.001) == failed);
        CHECK(std::fabs(lobe.taper_base_mm.value) > 0.020);
        CHECK(lobe.max_depth_mm.value < 0.031);
    }
}

TEST_CASE("pump-6-used: even wear, every lobe high to the rear") {
    const CamTruth truth = truth_of("pump-6-new", "pump-6-used");
    CHECK(truth.thrust_share.value == Approx(1.0));
    for (const LobeTruth& lobe : truth.lobes) {
        INFO(lobe.name);
        CHECK(lobe.taper_opening_mm.value > 0.02);
        CHECK(lobe.lift_loss_mm.value < 0.01);
    }
}

TEST_CASE("hand-4-used: one sound lobe, one with taper near the limit") {
    const CamTruth truth = truth_of("hand-4-new", "hand-4-used");
    REQUIRE(truth.lobes.size() == 2);
    CHECK(ramp_taper_mm(truth.lobes[0]) > 0.020);
    CHECK(ramp_taper_mm(truth.lobes[1]) == Approx(0.007).margin(1e-4));
}
