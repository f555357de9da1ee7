// virtual_cam.hpp: a cam of known truth under the tips of a virtual rig: which lobe or journal the tips stand on, and what
// the two indicators show at an angle, with their zero, own error and noise. Readings in mm; angles in cam degrees from
// the encoder's index mark.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "rig/model/random.hpp"
#include "rig/model/sample_runs.hpp"
#include "rig/model/simulate.hpp"

namespace lobewright::virtual_rig {

class VirtualCam {
public:
    /// The cam, rig and indicators that this sample run was taken with. The seed draws the noise.
    VirtualCam(const SampleRun& sample, std::uint64_t seed);

    /// Lobes and journals from front to rear.
    [[nodiscard]] const std::vector<std::string>& places() const { return places_; }
    [[nodiscard]] const std::string& place() const { return place_; }
    /// Puts the tips on a lobe or journal. Throws UsageError that lists those there are.
    void stand_on(const std::string& place);
    /// The place that many further on, round and round.
    void step(int places);
    /// A true parallel under both tips instead of the cam, this high; or none.
    void lay_parallel(std::optional<double> height_mm) { parallel_mm_ = height_mm; }

    /// What the indicators show.
    Edges shown_mm(double cam_deg);
    /// Reads zero from here on at this angle.
    void zero(double cam_deg);

    [[nodiscard]] const RigModel& rig() const { return rig_; }

private:
    [[nodiscard]] Edges without_noise(double cam_deg) const;

    CamModel cam_;
    RigModel rig_;
    Indicators indicators_;
    Random random_;
    std::vector<std::string> places_;
    std::string place_;
    std::optional<Station> station_;
    std::optional<double> parallel_mm_;
};

}  // namespace lobewright::virtual_rig
