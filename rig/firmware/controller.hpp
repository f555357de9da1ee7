// controller.hpp: the core of a controller that latches encoder and indicators together and speaks the rig's line protocol
// (docs/rig-protocol.md; how to wire and port it: docs/controller.md). Knows no chip: what touches hardware is a small
// table of functions. Allocates nothing, throws nothing, never waits.
//
// Two contexts call it. edge() belongs to the encoder's interrupt: it counts, and where a line is due it latches count,
// time and both indicators in that instant into a short queue. Everything else belongs to the main loop: poll() turns
// records to text, take() hands text to the transmitter, receive() takes what the host sent. A record that finds the
// queue full is lost, never silently: its number is used up, and `F overrun` follows as soon as there is room.
#pragma once

#include <cstddef>
#include <cstdint>

#include "rig/firmware/order.hpp"
#include "rig/firmware/quadrature.hpp"
#include "rig/firmware/rings.hpp"

namespace lobewright::firmware {

enum class TipState : std::uint8_t { good, absent, out_of_range };

/// One indicator's reading in its own steps.
struct TipReading {
    TipState state = TipState::absent;
    std::int32_t steps = 0;
};

/// What the core asks of the hardware. `self` is handed back with each call. All must be there but those marked.
struct Hardware {
    void* self = nullptr;
    std::uint32_t (*now_us)(void* self) = nullptr;  // a clock that wraps at 2^32
    void (*read_tips)(void* self, TipReading& front, TipReading& rear) = nullptr;  // latches both at once
    void (*zero_tips)(void* self) = nullptr;
    void (*run_motor)(void* self,
                      std::int32_t counts_per_s) = nullptr;  // signed, 0 stops; optional: no motor
    void (*mask_edges)(void* self, bool masked) = nullptr;   // holds the encoder's interrupt off; optional
};

struct ControllerSetup {
    const char* name = "";
    std::uint32_t counts_per_rev = 0;
    std::uint32_t step_nm = 0;
    std::int32_t fastest_counts_per_s = 0;  // the motor is never asked for more
};

/// The motor's dead man: so long it runs on without a `keep`.
inline constexpr std::uint32_t keep_within_us = 300'000;
/// A beat is sent when so long nothing else was.
inline constexpr std::uint32_t beat_after_us = 1'000'000;

class Controller {
public:
    Controller(const ControllerSetup& setup, const Hardware& hardware) : setup_(setup), hardware_(hardware) {}

    /// A change on any of the encoder's three tracks; the first call tells where they stand.
    void edge(bool a, bool b, bool index);
    /// A byte from the host.
    void receive(char byte);
    /// The stop button or the guard's switch: no motor without a new `turn`.
    void stop_button();
    /// Beats, the dead man, records to text. Call it all the time, at least each millisecond or so.
    void poll();
    /// Moves up to `size` bytes for the transmitter to `into`; gives their number.
    std::size_t take(char* into, std::size_t size);

    [[nodiscard]] std::int32_t count() const { return encoder_.count(); }
    /// For a counter that kept its count elsewhere, and to test the wrap.
    void set_count(std::int32_t count) { encoder_.set_count(count); }
    [[nodiscard]] bool streaming() const { return streaming_; }
    [[nodiscard]] bool motor_runs() const { return motor_way_ != 0; }
    /// Orders that failed their check sum or said nothing known.
    [[nodiscard]] std::uint32_t refused_orders() const { return orders_.refused(); }

private:
    enum class FaultKind : std::uint8_t { range_front, range_rear, encoder, overrun, halted };
    struct Record {
        char kind = 'B';
        FaultKind fault = FaultKind::overrun;
        std::uint32_t seq = 0;
        std::uint32_t t_us = 0;
        std::int32_t count = 0;
        TipReading front = {};
        TipReading rear = {};
    };

    [[nodiscard]] std::uint32_t now() const { return hardware_.now_us(hardware_.self); }
    void mask(bool masked) const {
        if (hardware_.mask_edges != nullptr) hardware_.mask_edges(hardware_.self, masked);
    }
    void sample();
    void range(TipState before, TipState now, FaultKind fault);
    void record(Record record);
    void number(Record& record);
    void fault(FaultKind kind);
    void tell_overrun();
    void obey(const Order& order);
    void begin_turn(const Order& order);
    void stop_motor();
    void write(const Record& record);
    void write_answers();
    void hello();
    bool say(Line& line);

    ControllerSetup setup_;
    Hardware hardware_;
    Quadrature encoder_;
    OrderReader orders_;
    Ring<Record, 64> records_;  // half a second of lines at 115 200 baud is more than any main loop stalls
    Ring<char, 512> bytes_;

    std::int32_t every_ = 1;
    std::uint32_t seq_ = 0;
    std::uint32_t last_line_us_ = 0;
    bool streaming_ = false;
    bool overrun_ = false;    // records were lost that no `F overrun` has told of
    bool hello_due_ = false;  // answers that wait for room
    bool stopped_due_ = false;
    bool sampled_ = false;  // since the start
    std::int32_t sampled_count_ = 0;
    TipState front_before_ = TipState::good;
    TipState rear_before_ = TipState::good;

    int motor_way_ = 0;  // +1, -1; 0 while it stands
    std::uint32_t motor_to_ = 0;
    std::uint32_t kept_us_ = 0;
};

}  // namespace lobewright::firmware
