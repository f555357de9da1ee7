#include "cli/rig_side.hpp"

#include <algorithm>
#include <cmath>
#include <system_error>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"
#include "analysis/run/message_text.hpp"
#include "cli/new_run.hpp"
#include "rig/session/session_note_capture.hpp"

namespace lobewright {
namespace {

constexpr double line_bytes = 40.0;      // of a sample on the wire, as long as they get in practice
constexpr double bits_a_byte = 10.0;     // with start and stop bit
constexpr double finest_step_deg = 0.1;  // finer than that the analysis joins readings again
constexpr double brisk_deg_per_s =
    72.0;  // a turn in five seconds: faster nobody turns a cam under indicators

bool has_wire_speed(const RigDescription& rig) {
    return rig.latched() && !rig.devices.front().port.name.starts_with("tcp:");
}

double lines_per_s(const RigDescription& rig) {
    return static_cast<double>(rig.devices.front().port.baud) / bits_a_byte / line_bytes;
}

}  // namespace

void add_rig_side_options(CLI::App& command, RigSideOptions& options) {
    command.add_option("--port", options.port, "a controller: device, usb:SERIAL or tcp:host:port")
        ->type_name("PORT");
    command.add_option("--baud", options.baud, "its speed, 921600 unless given")
        ->check(CLI::PositiveNumber)
        ->type_name("N");
    command.add_option("--rig", options.rig, "stand-alone devices, described in a rig.toml")
        ->type_name("FILE");
}

void check_rig_side_options(const RigSideOptions& options) {
    if (options.port.empty() && options.rig.empty())
        throw UsageError(
            "say where the rig is: --port PORT for a controller, --rig rig.toml for stand-alone devices");
    if (!options.port.empty() && !options.rig.empty())
        throw UsageError("--port and --rig exclude each other");
}

RigDescription rig_of(const RigSideOptions& options) {
    return options.port.empty() ? read_rig_description(options.rig)
                                : controller_on(options.port, options.baud);
}

std::string rig_name(const RigSideOptions& options) {
    return options.port.empty() ? options.rig : options.port;
}

RigSide::RigSide(const RigDescription& rig, const std::filesystem::path& capture, SessionQueue& queue) {
    if (!capture.empty()) recorder_ = std::make_shared<CaptureRecorder>(capture, rig);
    const auto hear_note = [&queue](const CaptureNote& heard) {
        if (auto note = session_note_of(heard)) queue.push(std::move(*note));
    };
    try {
        connection_ = std::make_unique<RigConnection>(
            rig, recorder_, [&queue](const RigEvent& event) { queue.push(event); }, hear_note);
    } catch (...) {
        take_away(capture);
        throw;
    }
}

/// A rig that never answered leaves nothing behind but what was there before.
void RigSide::take_away(const std::filesystem::path& capture) {
    recorder_.reset();
    if (capture.empty()) return;
    std::error_code ignored;
    std::filesystem::remove(capture, ignored);
    std::filesystem::remove(capture.parent_path(), ignored);                // folders only when
    std::filesystem::remove(capture.parent_path().parent_path(), ignored);  // nothing else is in them
}

void RigSide::start(std::int64_t each_counts) {
    connection_->send({RigOrder::Kind::every, each_counts, 0});
    connection_->send({RigOrder::Kind::start, 0, 0});
}

void RigSide::note(const SessionNote& note) {
    connection_->note(capture_note_of(note));
}

TurnOrders RigSide::motor() {
    const auto order = [this](RigOrder::Kind kind, std::int64_t counts, std::int64_t per_s) {
        if (connection_) connection_->send({kind, counts, per_s});
    };
    return {.turn = [order](std::int64_t counts,
                            std::int64_t per_s) { order(RigOrder::Kind::turn, counts, per_s); },
            .keep = [order] { order(RigOrder::Kind::keep, 0, 0); },
            .halt = [order] { order(RigOrder::Kind::halt, 0, 0); }};
}

bool RigSide::close() {
    connection_.reset();
    return !recorder_ || recorder_->sync();
}

std::int64_t sample_step(std::int64_t counts_per_rev, const RigDescription& rig) {
    const double per_deg = static_cast<double>(counts_per_rev) / 360.0;
    const double finest = std::floor(finest_step_deg * per_deg);
    const double carried =
        has_wire_speed(rig) ? std::ceil(brisk_deg_per_s * per_deg / lines_per_s(rig)) : 1.0;
    return std::max<std::int64_t>(1, std::llround(std::max(finest, carried)));
}

std::optional<double> fastest_deg_per_s(std::int64_t counts_per_rev, std::int64_t each_counts,
                                        double most_gap_deg, const RigDescription& rig) {
    if (has_wire_speed(rig))
        return lines_per_s(rig) * static_cast<double>(each_counts) * 360.0 /
               static_cast<double>(counts_per_rev);
    if (rig.latched()) return std::nullopt;
    std::optional<double> fastest;
    for (const DeviceDescription& device : rig.devices) {
        if (device.line.ask.empty()) continue;  // how often it streams only it knows
        const double deg_per_s = most_gap_deg / (1e-3 * device.line.ask_every_ms);
        fastest = std::min(fastest.value_or(deg_per_s), deg_per_s);
    }
    return fastest;
}

bool has_index(const RigDescription& rig) {
    return rig.latched() ||
           std::any_of(rig.devices.begin(), rig.devices.end(), [](const DeviceDescription& device) {
               return device.role == DeviceRole::counter && device.line.index_pattern.has_value();
           });
}

std::filesystem::path new_capture(const std::filesystem::path& run_folder) {
    namespace fs = std::filesystem;
    const fs::path folder = run_folder / "captures";
    std::error_code problem;
    if (fs::create_directories(folder, problem)) sync_folder(run_folder);
    if (problem) throw IoError(with_cause(place(folder) + ": can't be made", problem.value()));
    std::string stem = time_now();
    std::erase_if(stem, [](char c) { return c == ':' || c == '-'; });
    fs::path file = folder / (stem + ".cap");
    std::error_code ignored;
    for (char letter = 'b'; fs::exists(file, ignored) && letter <= 'z'; ++letter)
        file = folder / fmt::format("{}{}.cap", stem, letter);
    return file;
}

}  // namespace lobewright
