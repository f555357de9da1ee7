#include "analysis/regrind/profiles.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/lobe/lobe_alone.hpp"
#include "analysis/prepared_run.hpp"
#include "analysis/regrind/profile_file.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/run/run_folder.hpp"

namespace lobewright {
namespace {

/// A profile or run that is for another follower than the cam's: no error in a library.
struct OtherFollower : DataError {
    explicit OtherFollower(const std::string& text) : DataError(text) {}
};

/// Flat tappets lift alike, on the lobe's centre or off it; a roller's lift holds for its own radius only.
void check_follower(const std::string& where, Follower follower, const std::optional<double>& radius_mm,
                    const CamInfo& cam) {
    const bool roller = follower == Follower::roller;
    if (roller != (cam.follower == Follower::roller)) {
        throw OtherFollower(fmt::format("{}: its lift is a {} follower's, the cam's is {}", where,
                                        word(follower), word(cam.follower)));
    }
    constexpr double same_mm = 1e-6;
    if (roller && std::abs(radius_mm.value_or(0.0) - cam.follower_radius_mm.value_or(0.0)) > same_mm) {
        throw OtherFollower(
            fmt::format("{}: its lift is that of another roller; the cam's follower_radius counts", where));
    }
}

std::vector<double> centred(const std::vector<double>& lift, double middle) {
    std::vector<double> out(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g) out[g] = value_at(lift, static_cast<double>(g) + middle);
    return out;
}

}  // namespace

Profile profile_of_file(const std::filesystem::path& file, const CamInfo& cam) {
    const ProfileFile read = read_profile_file(file);
    check_follower(place(file), read.follower, read.follower_radius_mm, cam);
    Profile out{read.name, read.kind, lift_on_grid(read), 0.0, read.taper_per_mm};
    out.largest_lift_mm = peak_of(out.lift_mm).value;
    return out;
}

std::vector<Profile> profiles_of_run(const std::filesystem::path& folder, const CamInfo& cam) {
    const Run run = read_run(folder);
    check_follower(place(folder), run.cam.follower, run.cam.follower_radius_mm, cam);
    const PreparedRun prepared = std::move(prepare_runs({{&run, {}}}, 0).front());
    std::vector<Profile> out;
    for (std::size_t i = 0; i < run.lobes.size(); ++i) {
        const Lobe& lobe = run.lobes[i];
        const LobeAlone alone(*prepared.curves[i], lobe, run);
        const LobeView& view = alone.view();
        const auto mid = mixed(view.shape, view.geometry.mid());
        Profile profile{fmt::format("{}, lobe {}", run.info.id, lobe.name), lobe.kind,
                        centred(mid, view.own.half.middle()), view.own.peak.value, std::nullopt};
        auto same =
            std::find_if(out.begin(), out.end(), [&](const Profile& p) { return p.kind == profile.kind; });
        if (same == out.end()) {
            out.push_back(std::move(profile));
        } else if (profile.largest_lift_mm > same->largest_lift_mm) {
            *same = std::move(profile);
        }
    }
    return out;
}

std::vector<Profile> read_library(const std::filesystem::path& folder, const CamInfo& cam,
                                  std::vector<std::string>& notes) {
    std::error_code error;
    std::vector<std::filesystem::path> entries;
    for (const auto& entry : std::filesystem::directory_iterator(folder, error))
        entries.push_back(entry.path());
    if (error) throw IoError(fmt::format("{}: can't be read: {}", place(folder), error.message()));
    std::sort(entries.begin(), entries.end());
    std::vector<Profile> out;
    for (const auto& entry : entries) {
        try {
            if (std::filesystem::exists(entry / "run.toml", error)) {
                for (Profile& profile : profiles_of_run(entry, cam)) out.push_back(std::move(profile));
            } else if (entry.extension() == ".profile") {
                out.push_back(profile_of_file(entry, cam));
            }
        } catch (const OtherFollower& other) {
            notes.push_back(fmt::format("left out, {}", other.what()));
        }
    }
    for (std::size_t i = 0; i < out.size(); ++i) {
        for (std::size_t j = i + 1; j < out.size(); ++j) {
            if (out[i].name != out[j].name) continue;
            throw DataError(fmt::format("{}: two profiles are called {}: give each its own name",
                                        place(folder), in_quotes(out[i].name)));
        }
    }
    if (out.empty()) {
        throw DataError(
            fmt::format("{}: no run folder and no *.profile file here is for this cam's follower; name a "
                        "reference run, a profile file, or a folder of them",
                        place(folder)));
    }
    return out;
}

}  // namespace lobewright
