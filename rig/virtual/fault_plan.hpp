// fault_plan.hpp: what goes wrong on a virtual rig, when, and for how long, as the user writes it:
//   KIND[:AMOUNT][@WHERE][+FOR]     slip:3@200deg   bit-errors:0.0005   range-front@90deg+10deg   unplug:1.5@2s
// WHERE counts from the first `start` (or the first reading of stand-alone devices): degrees turned forward, or seconds
// of the rig's clock. Without it the fault is there from the beginning, without FOR it stays (where it can).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lobewright::virtual_rig {

enum class FaultKind {
    bit_errors,     // AMOUNT: probability that a bit of the line is turned over
    lost_bytes,     // AMOUNT: probability that a byte is lost
    doubled_bytes,  // AMOUNT: probability that a byte comes twice
    split_lines,    // AMOUNT: probability that a line end falls into a line
    glued_lines,    // AMOUNT: probability that a line end is lost
    garbage,        // AMOUNT: random bytes, once; from the beginning: at each opening of the port
    bursts,         // AMOUNT: milliseconds an adapter holds bytes back, unless 62 are there
    stuck_front,    // the indicator stands still
    stuck_rear,
    range_front,  // the tip is out of the indicator's range
    range_rear,
    slip,           // AMOUNT: counts that the encoder loses (negative: gains), once
    encoder,        // both tracks change at once, once
    no_index,       // the index mark isn't seen
    back,           // AMOUNT: degrees the hand turns back before it goes on, once
    unplug,         // AMOUNT: seconds until the plug is in again, once
    reset,          // the controller starts afresh, once
    reset_on_open,  // the controller starts afresh each time the port is opened
    silence,        // nothing is sent; what the controller can't hold it drops and tells of
    clock_wrap,     // AMOUNT: seconds from power-up until the controller's clock wraps
    count_wrap,     // AMOUNT: counts from power-up until the count wraps
    stop_button,    // somebody presses it, once
};

/// A place in the turning: degrees or seconds.
struct FaultPlace {
    double value = 0.0;
    bool degrees = false;
};

struct PlannedFault {
    FaultKind kind = FaultKind::bit_errors;
    double amount = 0.0;
    std::optional<FaultPlace> at;
    std::optional<FaultPlace> lasts;
};

/// Throws UsageError that says what can't be read and what can.
PlannedFault parse_fault(std::string_view text);

/// Text that parse_fault turns into the same fault.
std::string fault_text(const PlannedFault& fault);

/// "bit-errors".
std::string_view kind_name(FaultKind kind);

/// A line for each kind, for a help page: its form and what it does.
std::string fault_help();

/// Where the turning is now.
struct Progression {
    bool begun = false;       // the first start has come
    double turned_deg = 0.0;  // forward, furthest, since then
    double seconds = 0.0;     // since then
};

/// The faults of a rig as time goes on. Each fires once; those that last can be asked for.
class FaultPlan {
public:
    explicit FaultPlan(const std::vector<PlannedFault>& faults);

    void add(const PlannedFault& fault);
    /// Faults whose place is reached now, in the order in which they were given.
    std::vector<PlannedFault> due(const Progression& now);
    /// The amount of a lasting fault of this kind that is on now.
    [[nodiscard]] std::optional<double> on(FaultKind kind) const;
    /// The amount of a fault of this kind that is there from the beginning, or none.
    [[nodiscard]] std::optional<double> from_the_beginning(FaultKind kind) const;

private:
    struct State {
        PlannedFault fault;
        bool fired = false;
        bool on = false;
        Progression fired_at;
    };
    std::vector<State> states_;
};

}  // namespace lobewright::virtual_rig
