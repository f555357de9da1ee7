#include "cli/datum_take.hpp"

#include <chrono>
#include <iostream>
#include <poll.h>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/judge/wording.hpp"
#include "cli/output.hpp"
#include "cli/text_table.hpp"

namespace lobewright {
namespace {

constexpr std::size_t readings_each = 20;           // enough that an indicator's flicker averages out
constexpr std::chrono::milliseconds settling{300};  // after the hand has let go
constexpr std::chrono::seconds patience{30};        // for them to come

std::string length(double mm, Units units) {
    return fixed(mm / mm_per(units), units == Units::in ? 6 : 5);
}

void ask_for_enter(const std::string& what) {
    write_stdout(what);
    std::string line;
    if (!std::getline(std::cin, line))
        throw UsageError("the parallel's seatings were left unfinished; nothing was written");
}

/// Rear less front of the readings that come now.
std::vector<double> read_differences(SessionQueue& queue) {
    std::vector<double> differences;
    const auto begun = std::chrono::steady_clock::now();
    const auto until = begun + patience;
    while (differences.size() < readings_each) {
        const auto left =
            std::chrono::duration_cast<std::chrono::milliseconds>(until - std::chrono::steady_clock::now());
        if (left.count() <= 0)
            throw DeviceError(
                "no readings of both indicators came; turn the encoder's shaft a little while they are "
                "taken");
        pollfd waits{queue.descriptor(), POLLIN, 0};
        ::poll(&waits, 1, static_cast<int>(left.count()));
        for (const SessionItem& item : queue.take()) {
            const auto* event = std::get_if<RigEvent>(&item);
            if (event == nullptr) continue;
            if (const auto* trouble = std::get_if<RigTrouble>(event)) {
                if (trouble->kind == TroubleKind::unplugged)
                    throw DeviceError("the rig was unplugged; nothing was written");
            }
            const auto* reading = std::get_if<RigReading>(event);
            const bool settled = std::chrono::steady_clock::now() - begun > settling;
            if (settled && reading != nullptr && reading->front_mm && reading->rear_mm)
                differences.push_back(*reading->rear_mm - *reading->front_mm);
        }
    }
    return differences;
}

}  // namespace

std::vector<Seating> take_seatings(const Run& run, const RigSideOptions& options, int seatings) {
    const RigDescription rig = rig_of(options);
    SessionQueue queue;
    RigSide side(rig, new_capture(run.folder), queue);
    side.start(1);
    write_stdout(
        "The front-to-rear zero: lay a true parallel under both tips, resting where the\n"
        "cam rests. Unplug any drive before you reach in; the parallel is heavy, its\n"
        "edges are sharp. A rig that sends a reading each few counts wants its encoder's\n"
        "shaft turned a little while readings are taken.\n");
    std::vector<Seating> taken;
    while (static_cast<int>(taken.size()) < seatings) {
        ask_for_enter(fmt::format("Seating {} of {}: lay it, let go, Enter. ", taken.size() + 1, seatings));
        const Seating seating = seating_of(read_differences(queue));
        if (!lay_still(seating, run.rig.resolution_mm)) {
            write_stdout(fmt::format("It did not lie still: rear less front went over {} {}. Again.\n",
                                     length(seating.range_mm, run.units), word(run.units)));
            continue;
        }
        taken.push_back(seating);
        write_stdout(fmt::format("rear less front {} {}\n", length(seating.rear_minus_front_mm, run.units),
                                 word(run.units)));
    }
    side.note({SessionDoes::closes, {}});
    side.close();
    return taken;
}

std::string present_seatings(const std::vector<Seating>& seatings, const DatumEstimate& zero,
                             const Run& run) {
    std::vector<std::vector<Cell>> rows;
    for (std::size_t i = 0; i < seatings.size(); ++i)
        rows.push_back({{fmt::format("{}", i + 1)},
                        {length(seatings[i].rear_minus_front_mm, run.units)},
                        {length(seatings[i].range_mm, run.units)},
                        {fmt::format("{}", seatings[i].readings)}});
    std::string out =
        paragraph(fmt::format("The front-to-rear zero of {}, on a parallel; lengths in {}",
                              one_line(run.info.id), run.units == Units::in ? "inches" : "millimetres"));
    out += "\n" + format_table(
                      {{"seating", true}, {"rear minus\nfront", true}, {"flicker", true}, {"readings", true}},
                      rows, false);
    out += "\n" + paragraph(fmt::format(
                      "zero {}, standard uncertainty {}; what the parallel itself is out by isn't in it",
                      length(zero.rear_minus_front_mm, run.units), length(zero.u_mm, run.units)));
    if (run.datum)
        out += paragraph(fmt::format("before it was {} with {}",
                                     length(run.datum->rear_minus_front_mm, run.units),
                                     length(run.datum->u_mm, run.units)));
    return out;
}

}  // namespace lobewright
