// latched_decoder.hpp: what a controller sends (docs/rig-protocol.md), bytes in, events out. A line counts when its check
// sum, its fields, its sequence number, its clock and its count agree with the line before; a line that doesn't is held
// until the next one says which of the two was wrong: a line that came damaged through every check, a controller that
// began anew, or counts that jumped. Knows no port and no thread: the same bytes, cut anywhere, give the same events.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "rig/acquisition/event_clock.hpp"
#include "rig/acquisition/line_fit.hpp"
#include "rig/acquisition/rig_listener.hpp"
#include "rig/decode/rig_message.hpp"
#include "rig/framing/line_framer.hpp"

namespace lobewright {

class LatchedDecoder {
public:
    explicit LatchedDecoder(RigListener listener) : listener_(std::move(listener)) {}

    void bytes(std::int64_t host_us, std::string_view bytes);
    void note(const CaptureNote& note);

    /// The controller has said who it is, since the start or the last unplug.
    [[nodiscard]] bool greeted() const { return greeted_; }
    /// Why this controller can't be worked with, or empty.
    [[nodiscard]] const std::string& refusal() const { return refusal_; }

private:
    struct Held {
        LineHead head;
        RigMessage message;
        bool count_alone = false;  // numbered and timed as due, but the count is impossible
    };

    void line(std::string_view payload);
    void hello(const Hello& hello);
    void stopped(const Stopped& stopped);
    void numbered(const LineHead& head, const RigMessage& message);
    [[nodiscard]] LineFit fit(const LineHead& before, const LineHead& head) const;
    /// Counting goes on from a count that doesn't follow.
    void forgive_jump(const LineHead& head);
    void begin_anew(const LineHead& head, const RigMessage& message);
    void accept(const LineHead& head, const RigMessage& message);
    void take(const LineHead& head, const RigMessage& message);
    void say_damaged();
    void say_back();
    void say_restarted();
    void drop_held();
    void lost(std::uint32_t lines);
    void trouble(TroubleKind kind, std::uint64_t amount, std::string says);
    [[nodiscard]] std::int64_t now() { return clock_.at_host(host_us_); }

    RigListener listener_;
    LineFramer framer_;
    EventClock clock_;
    std::int64_t host_us_ = 0;
    std::optional<Hello> hello_;
    std::string refusal_;
    bool greeted_ = false;
    bool hello_since_ = false;      // a hello came since the last numbered line
    bool first_line_ = true;        // since the port was opened: it may be cut
    std::optional<LineHead> last_;  // of the line that counted last
    std::int64_t count_ = 0;        // its count, unwrapped
    std::optional<Held> held_;
    std::uint64_t damaged_ = 0;  // lines not yet told of
};

}  // namespace lobewright
