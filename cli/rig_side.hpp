// rig_side.hpp: from the options that name a rig to one that is connected, recorded and heard; what every command at the
// bench needs of it.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>

#include "rig/acquisition/rig_connection.hpp"
#include "rig/session/session_queue.hpp"
#include "rig/session/turn_guard.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct RigSideOptions {
    std::string port;  // a controller's, or empty
    std::string rig;   // rig.toml, or empty
    int baud = 921600;
};

/// --port, --baud, --rig.
void add_rig_side_options(CLI::App& command, RigSideOptions& options);

/// Throws UsageError unless exactly one of --port and --rig was given.
void check_rig_side_options(const RigSideOptions& options);

/// What the options describe; throws what read_rig_description throws.
RigDescription rig_of(const RigSideOptions& options);

/// A short name of it for the screen.
std::string rig_name(const RigSideOptions& options);

class RigSide {
public:
    /// Connects; events and session notes go into `queue`. `capture`: the file to record into, made new, or empty for
    /// none. Throws what CaptureRecorder and RigConnection throw.
    RigSide(const RigDescription& rig, const std::filesystem::path& capture, SessionQueue& queue);

    /// Asks for a sample each so many counts, and streams.
    void start(std::int64_t each_counts);
    void note(const SessionNote& note);
    [[nodiscard]] TurnOrders motor();
    [[nodiscard]] const RigBack& rig() const { return connection_->rig(); }
    /// Ends the connection and has the capture on the disk; false when it isn't.
    bool close();

private:
    void take_away(const std::filesystem::path& capture);

    std::shared_ptr<CaptureRecorder> recorder_;
    std::unique_ptr<RigConnection> connection_;
};

/// Counts between samples, so that the link carries a brisk hand: a tenth of a degree where it can.
std::int64_t sample_step(std::int64_t counts_per_rev, const RigDescription& rig);

/// The fastest turning that link or indicators can follow, where that is known.
std::optional<double> fastest_deg_per_s(std::int64_t counts_per_rev, std::int64_t each_counts,
                                        double most_gap_deg, const RigDescription& rig);

/// Whether the rig's encoder tells its index mark.
bool has_index(const RigDescription& rig);

/// A new capture's name in the run's folder of captures, which is made when it isn't there.
std::filesystem::path new_capture(const std::filesystem::path& run_folder);

}  // namespace lobewright
