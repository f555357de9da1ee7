#include "cli/sweep_view.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "cli/output.hpp"

namespace lobewright {
namespace {

std::string length_text_of(double mm, Units units) {
    return fmt::format("{:.{}f} {}", mm / mm_per(units), units == Units::in ? 3 : 1, word(units));
}

/// Where the tips go.
std::string where_to_set(const BenchPlace& place, const Run& run) {
    const std::string z = length_text_of(place.z_mm, run.units);
    if (place.journal)
        return fmt::format("Set the tips on journal {}, {} from the cam's front face.", one_line(place.name),
                           z);
    return fmt::format(
        "Set the tips on lobe {}, its middle {} from the cam's front face; front tip at {:+.{}f}, rear tip "
        "at {:+.{}f} from it.",
        one_line(place.name), z, run.rig.front_z_mm / mm_per(run.units), run.units == Units::in ? 3 : 1,
        run.rig.rear_z_mm / mm_per(run.units), run.units == Units::in ? 3 : 1);
}

std::vector<std::string> place_words(const SweepSession& session, const BenchFacts& facts) {
    std::vector<std::string> says = facts.says;
    if (session.all_done()) {
        says.emplace_back(
            "Every lobe and journal named has a whole sweep. q ends; Enter sweeps here once more.");
        return says;
    }
    says.push_back(where_to_set(session.place(), *facts.run));
    for (const std::string& caution : cautions_for_setting_up()) says.push_back(caution);
    if (!session.rig_is_there())
        says.emplace_back("The rig doesn't answer yet.");
    else
        says.emplace_back("Enter when set; then turn the cam in its running direction until the bell.");
    return says;
}

void add_hand(SweepView& view, const SweepInHand& hand) {
    view.stage = BenchStage::sweep;
    view.true_angles = hand.true_angles();
    view.angle_deg = hand.angle_deg();
    view.front_mm = hand.front_mm();
    view.rear_mm = hand.rear_mm();
    view.missing = hand.missing();
    const TurnDrift drift = hand.track().drift();
    if (drift.points > 0) {
        if (drift.front_mm == drift.front_mm) view.front_drift_mm = drift.front_mm;
        if (drift.rear_mm == drift.rear_mm) view.rear_drift_mm = drift.rear_mm;
    }
    for (const SweepTrouble& trouble : hand.troubles())
        view.troubles.push_back(
            {trouble_words(trouble), std::string(trouble_advice(trouble.kind)), trouble.put_right});
    if (hand.away())
        view.says.emplace_back("The rig is away: plug it in again, the sweep goes on.");
    else if (!hand.begun())
        view.says.emplace_back("Turn the cam in its running direction; fingers, sleeves and rags clear.");
    else if (!hand.angle_deg())
        view.says.emplace_back("Turn on to the index mark: counts are void until it goes by.");
    else if (hand.enough())
        view.says.emplace_back(
            "The turn is whole. Turn on to the index mark, which checks the counts, or stop here.");
}

}  // namespace

std::vector<std::string> cautions_for_setting_up() {
    return {
        "Turning parts catch fingers, sleeves and rags; a cam is heavy and its edges are sharp. Unplug any "
        "drive before "
        "setting up. Local shop-safety rules come first."};
}

std::vector<std::string> motor_words(const std::string& typed) {
    return {
        "THE MOTOR WILL TURN THE CAM. Hands, sleeves, rags and tools off; nobody else at the rig; the stop "
        "button "
        "within reach.",
        "Any key halts it, and so does every fault, a lost line and a closed terminal. It never starts by "
        "itself.",
        "Type yes and Enter to start the motor, anything else to leave it: " + typed};
}

std::vector<std::string> outcome_words(const SweepOutcome& outcome) {
    const TakenSweep& taken = outcome.taken;
    const std::string name = fmt::format("{} pass {}", one_line(taken.plan.of), taken.plan.pass);
    std::vector<std::string> says;
    const std::string where = outcome.file.empty() ? "the capture alone" : outcome.file.string();
    if (taken.end == SweepEnd::dropped)
        says.push_back(fmt::format("{} goes aside, to be taken again ({})", name, where));
    else if (outcome.aside)
        says.push_back(
            fmt::format("{} holds too little to stand in the run; what there is lies in {}", name, where));
    else if (taken.marks.empty())
        says.push_back(fmt::format("{} is whole: {}, {} rows", name, where, taken.sweep.rows()));
    else
        says.push_back(fmt::format("{} FALLS SHORT, kept and marked: {}", name, where));
    if (taken.end != SweepEnd::dropped)
        for (const std::string& mark : taken.marks) says.push_back("! " + mark);
    for (const std::string& note : taken.notes) says.push_back("- " + note);
    return says;
}

SweepView sweep_view(const SweepSession& session, const BenchFacts& facts) {
    SweepView view;
    view.of = one_line(session.place().name);
    view.journal = session.place().journal;
    view.pass = session.pass();
    view.ordinal = session.ordinal();
    view.places = session.places();
    view.units = facts.run->units;
    view.port = facts.port;
    view.away = !session.rig_is_there();
    view.most_deg_per_s = facts.most_deg_per_s;
    view.motor = facts.motor;
    if (const CountFrame* frame = session.bench().frame()) {
        if (const auto counts = frame->to_next_mark())
            view.to_index_deg =
                360.0 * static_cast<double>(*counts) / static_cast<double>(frame->counts_per_rev());
    }
    const SweepInHand* hand = session.bench().in_hand();
    if (hand == nullptr) {
        view.stage = session.all_done() ? BenchStage::finished : BenchStage::place;
        if (session.last_reading()) {
            view.front_mm = session.last_reading()->front_mm;
            view.rear_mm = session.last_reading()->rear_mm;
        }
        view.says = facts.confirming ? motor_words(*facts.confirming) : place_words(session, facts);
        view.keys = facts.confirming ? "" : "Enter sweep   u undo last   s skip   b back   q quit";
        return view;
    }
    add_hand(view, *hand);
    view.speed_deg_per_s = facts.quiet ? 0.0 : hand->speed_deg_per_s();
    view.most_deg_per_s = hand->fastest_deg_per_s();
    constexpr std::size_t latest = 2;
    const std::size_t from = facts.says.size() - std::min(facts.says.size(), latest);
    view.says.insert(view.says.end(), facts.says.begin() + static_cast<std::ptrdiff_t>(from),
                     facts.says.end());
    if (facts.confirming) view.says = motor_words(*facts.confirming);
    view.keys = facts.motor        ? "any key HALTS the motor"
                : facts.confirming ? ""
                : facts.has_motor  ? "e end here   r repeat   s skip   t motor   q quit"
                                   : "e end here   r repeat   s skip   q quit";
    return view;
}

}  // namespace lobewright
