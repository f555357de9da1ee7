#include "rig/virtual/virtual_cam.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/errors.hpp"
#include "analysis/units.hpp"

namespace lobewright::virtual_rig {
namespace {

/// The same draw as in simulate_run, so that the virtual rig has the sample run's indicators.
Indicators indicators_of(const SampleRun& sample) {
    Random draws(sample.seed);
    return {sample.rig, draws};
}

std::vector<std::string> from_front_to_rear(const CamModel& cam) {
    std::vector<std::pair<double, std::string>> all;
    for (const LobeModel& lobe : cam.lobes) all.emplace_back(lobe.lobe.z_mm, lobe.lobe.name);
    for (const JournalModel& model : cam.journals) all.emplace_back(model.journal.z_mm, model.journal.name);
    std::sort(all.begin(), all.end());
    std::vector<std::string> names;
    names.reserve(all.size());
    for (const auto& [z, name] : all) names.push_back(name);
    return names;
}

constexpr std::uint64_t noise_stream = 7;  // apart from the draw of the indicators' errors

}  // namespace

VirtualCam::VirtualCam(const SampleRun& sample, std::uint64_t seed)
    : cam_(sample.cam),
      rig_(sample.rig),
      indicators_(indicators_of(sample)),
      random_(seed, noise_stream),
      places_(from_front_to_rear(sample.cam)) {
    check(cam_);
    stand_on(places_.front());
}

void VirtualCam::stand_on(const std::string& place) {
    if (std::find(places_.begin(), places_.end(), place) == places_.end())
        throw UsageError(fmt::format("the cam has no '{}'; there are {}", place, fmt::join(places_, ", ")));
    station_.emplace(cam_, rig_, place);
    place_ = place;
}

void VirtualCam::step(int places) {
    const auto count = static_cast<int>(places_.size());
    const auto at = static_cast<int>(std::find(places_.begin(), places_.end(), place_) - places_.begin());
    stand_on(places_[static_cast<std::size_t>(((at + places) % count + count) % count)]);
}

Edges VirtualCam::without_noise(double cam_deg) const {
    Edges edges = parallel_mm_ ? Edges{*parallel_mm_, *parallel_mm_}
                               : station_->readings(wrapped_rad(rad_from_deg(cam_deg)));
    edges.front += rig_.zero_mm.front;
    edges.rear += rig_.zero_mm.rear;
    edges.front += indicators_.front.at(edges.front);
    edges.rear += indicators_.rear.at(edges.rear);
    return edges;
}

Edges VirtualCam::shown_mm(double cam_deg) {
    Edges edges = without_noise(cam_deg);
    edges.front += rig_.noise_mm * random_.normal();
    edges.rear += rig_.noise_mm * random_.normal();
    return edges;
}

void VirtualCam::zero(double cam_deg) {
    const Edges now = without_noise(cam_deg);
    rig_.zero_mm.front -= now.front;
    rig_.zero_mm.rear -= now.rear;
}

}  // namespace lobewright::virtual_rig
