// rig_connection.hpp: a rig that is connected: opens its ports, greets it, records and decodes what it sends, and tells
// it as events. One thread of its own does all of it; events and notes come on that thread, in order, and what hears
// them must not block. A device that vanishes is waited for, found again by its identity and taken up again; a motor
// never starts again by itself.
#pragma once

#include <memory>
#include <string>

#include "rig/acquisition/rig_description.hpp"
#include "rig/acquisition/rig_listener.hpp"
#include "rig/capture/capture_recorder.hpp"
#include "rig/decode/rig_order.hpp"

namespace lobewright {

class RigConnection {
public:
    /// Opens the ports and waits, 4 s at most, until every device has answered; the first event is RigBack. `recorder`
    /// may be none. Throws DeviceError when a port is missing, in use, forbidden or silent; nothing is left open then.
    RigConnection(const RigDescription& rig, std::shared_ptr<CaptureRecorder> recorder, RigListener listener,
                  NoteListener notes = {});
    /// Sends `stop` to a controller that streams and `halt` to one with a motor; closes everything. No event comes after.
    ~RigConnection();
    RigConnection(const RigConnection&) = delete;
    RigConnection& operator=(const RigConnection&) = delete;

    /// Queues an order; from any thread. Stand-alone devices take none. What was
    /// last asked of `every` and `start` is asked again of a controller that comes back or falls silent; `turn` never is.
    void send(const RigOrder& order);
    /// Puts a note into the capture, in its place among the bytes, and gives it to the note listener there; from any thread.
    void note(const CaptureNote& note);
    /// What the rig said of itself at the start.
    [[nodiscard]] const RigBack& rig() const;

private:
    struct State;
    std::shared_ptr<State> state_;
};

}  // namespace lobewright
