#include "rig/model/sample_runs.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/units.hpp"
#include "rig/model/example_cams.hpp"

namespace lobewright {

namespace {

RunInfo about(const std::string& id, Condition condition, const std::string& taken, const std::string& note) {
    RunInfo info;
    info.id = id;
    info.taken = taken;
    info.condition = condition;
    info.operator_name = "bench 2";
    info.note = "Invented and simulated, not measured. " + note;
    return info;
}

/// The launch engine's bench: two digital indicators of 0.5 um, an encoder of
/// 7200 counts, V-blocks, turned by hand.
RigModel launch_rig(double index_phase_deg, const SetUp& setup) {
    RigModel rig;
    rig.info.counts_per_rev = 7200;
    rig.info.tip = Tip::flat;
    rig.info.front_z_mm = -4.0;
    rig.info.rear_z_mm = 4.0;
    rig.info.resolution_mm = 0.0005;
    rig.info.error_limit_mm = 0.001;
    rig.info.temperature_c = 20.5;
    rig.rate_hz = 120.0;
    rig.index_phase_deg = index_phase_deg;
    rig.setup = setup;
    rig.datum = DatumModel{DatumMethod::bar, 0.0004, 0.0};
    rig.zero_mm = {0.0020, -0.0035};
    rig.noise_mm = 0.0004;
    rig.drift_mm_per_min = {0.0006, 0.0005};
    rig.walk_mm_per_root_min = 0.0002;
    return rig;
}

HandModel bench_hand() {
    HandModel hand;
    hand.mean_deg_per_s = 26.0;
    hand.turns_min = 1.1;
    hand.turns_max = 1.35;
    hand.pauses_per_turn = 0.7;
    hand.pause_s_max = 1.5;
    hand.backward_per_turn = 0.25;
    hand.backlash_deg = 0.03;
    return hand;
}

Faults rare_spikes() {
    Faults faults;
    faults.spike_probability = 0.0003;
    faults.spike_mm = 0.04;
    return faults;
}

LobeModel& lobe(CamModel& cam, const std::string& name) {
    return *std::find_if(cam.lobes.begin(), cam.lobes.end(),
                         [&](const LobeModel& model) { return model.lobe.name == name; });
}

/// What the eye saw of the bright band after many hours: narrow on the
/// heel, the whole width at the flat nose.
std::vector<Stripe> band_of_a_flat_nose() {
    return {{StripePlace::heel, 4.5, StripeSide::neither},
            {StripePlace::opening, 5.5, StripeSide::neither},
            {StripePlace::nose, 12.0, StripeSide::both},
            {StripePlace::closing, 5.5, StripeSide::neither}};
}

// A seed draws the indicators' errors, too. Those here were picked so that the draw doesn't hide what a run
// is to show.

SampleRun launch(double index_phase_deg, const SetUp& setup, std::uint64_t seed) {
    return {launch_engine_cam(), launch_rig(index_phase_deg, setup), bench_hand(), rare_spikes(), {}, seed};
}

SampleRun launch_new() {
    SampleRun run = launch(0.0, {0.004, 0.002, 0.00001, -0.00002}, 841);
    run.plan = {
        about("launch-4-new", Condition::as_new, "2025-03-04T09:10:00Z", "A new cam, before it went in."), 2,
        1};
    return run;
}

SampleRun launch_used_nose() {
    SampleRun run = launch(37.4, {-0.003, 0.005, 0.00002, 0.00001}, 3242);
    int number = 0;
    for (LobeModel& model : run.cam.lobes) {
        model.wear = {nose_wear(0.012 + 0.002 * (number++ % 4), model.taper_mm, 28.0)};
    }
    lobe(run.cam, "1E").lobe.stripes = band_of_a_flat_nose();
    run.plan = {about("launch-4-used-nose", Condition::used, "2026-02-03T10:15:00Z",
                      "Noses worn flat across their width, ramps still tapered."),
                2, 1};
    run.plan.info.hours = 410.0;
    return run;
}

SampleRun launch_used_wiped() {
    SampleRun run = launch(-112.9, {0.005, -0.004, -0.00001, 0.00002}, 443);
    int number = 0;
    for (LobeModel& model : run.cam.lobes) {
        model.wear = {nose_wear(0.010 + 0.002 * (number++ % 3), 0.6 * model.taper_mm, 28.0)};
    }
    lobe(run.cam, "3E").wear = {wiped_wear(0.45), taper_lost_wear(0.0, lobe(run.cam, "3E").taper_mm)};
    run.plan = {about("launch-4-used-wiped", Condition::used, "2026-05-19T13:40:00Z", "Lobe 3E wiped."), 2,
                1};
    run.plan.info.hours = 655.0;
    return run;
}

SampleRun launch_before() {
    SampleRun run = launch(8.1, {0.002, 0.003, 0.0, 0.00001}, 44);
    run.cam.info.part = "LE4-118R";
    run.plan = {about("launch-4-before", Condition::before, "2026-06-01T08:20:00Z",
                      "A reground cam before its run-in."),
                1, 1};
    return run;
}

SampleRun launch_after() {
    SampleRun run = launch(-64.6, {-0.004, 0.001, 0.00001, 0.0}, 3845);
    run.cam.info.part = "LE4-118R";
    for (LobeModel& model : run.cam.lobes) model.wear = {even_wear(0.0015)};
    for (const char* failed : {"2I", "3E"}) {
        LobeModel& model = lobe(run.cam, failed);
        model.wear = {taper_lost_wear(0.008, model.taper_mm)};
    }
    run.plan = {about("launch-4-after", Condition::after, "2026-06-02T15:05:00Z",
                      "The same cam after 20 minutes: lobes 2I and 3E bright over their whole width."),
                1, 1};
    run.plan.info.hours = 0.4;
    return run;
}

/// The pump set's rig works in inches, its encoder is mounted the other way
/// round, and it latches a row each 4 counts.
RigModel pump_rig(double index_phase_deg, const SetUp& setup) {
    RigModel rig;
    rig.units = Units::in;
    rig.info.counts_per_rev = 7200;
    rig.info.direction = -1;
    rig.info.zero_deg = 90.0;
    rig.info.tip = Tip::flat;
    rig.info.front_z_mm = -0.2 * mm_per_inch;
    rig.info.rear_z_mm = 0.2 * mm_per_inch;
    rig.info.resolution_mm = 0.00002 * mm_per_inch;
    rig.info.error_limit_mm = 0.00004 * mm_per_inch;
    rig.sampling = Sampling::by_count;
    rig.every_counts = 4;
    rig.index_phase_deg = index_phase_deg;
    rig.setup = setup;
    rig.datum = DatumModel{DatumMethod::end_for_end, 0.000015 * mm_per_inch, 0.0};
    rig.zero_mm = {-0.0030, 0.0015};
    rig.noise_mm = 0.0004;
    rig.drift_mm_per_min = {-0.0004, -0.0004};
    return rig;
}

SampleRun pump(double index_phase_deg, const SetUp& setup, std::uint64_t seed) {
    return {pump_engine_cam(), pump_rig(index_phase_deg, setup), bench_hand(), rare_spikes(), {}, seed};
}

SampleRun pump_new() {
    SampleRun run = pump(0.0, {0.003, -0.003, 0.0, 0.000005}, 3461);
    run.plan = {about("pump-6-new", Condition::as_new, "2024-10-21T07:30:00Z",
                      "A new cam, kept as the reference of its kind."),
                1, 1};
    return run;
}

SampleRun pump_used() {
    SampleRun run = pump(141.7, {-0.002, 0.004, 0.000004, 0.0}, 562);
    int number = 0;
    for (LobeModel& model : run.cam.lobes) {
        model.wear = {even_wear(0.002 + 0.0005 * (number % 3)),
                      nose_wear(0.003, 0.25 * model.taper_mm, 26.0)};
        ++number;
    }
    run.plan = {about("pump-6-used", Condition::used, "2026-04-13T08:30:00Z",
                      "One season's pumping: little wear, all even."),
                1, 1};
    run.plan.info.hours = 1900.0;
    return run;
}

/// Two plain indicators of 1 um with a wide error limit, read and written down every 5 degrees.
RigModel hand_rig(double index_phase_deg, const SetUp& setup) {
    RigModel rig;
    rig.info.tip = Tip::flat;
    rig.info.front_z_mm = -4.0;
    rig.info.rear_z_mm = 4.0;
    rig.info.resolution_mm = 0.001;
    rig.info.error_limit_mm = 0.004;
    rig.sampling = Sampling::by_hand;
    rig.table_step_deg = 5.0;
    rig.index_phase_deg = index_phase_deg;
    rig.setup = setup;
    rig.datum = DatumModel{DatumMethod::bar, 0.0008, 0.0};
    rig.zero_mm = {0.004, 0.001};
    rig.noise_mm = 0.0006;
    rig.drift_mm_per_min = {0.0001, 0.0001};
    return rig;
}

CamModel two_lobes() {
    CamModel cam = launch_engine_cam();
    cam.info.part = "LE4-97";
    cam.info.case_depth_mm.reset();
    cam.valvetrain.reset();
    cam.journals.clear();
    cam.lobes.resize(2);
    for (LobeModel& model : cam.lobes) model.taper_mm = 0.022;
    return cam;
}

SampleRun by_hand(double index_phase_deg, const SetUp& setup, std::uint64_t seed) {
    return {two_lobes(), hand_rig(index_phase_deg, setup), {}, {}, {}, seed};
}

SampleRun hand_new() {
    SampleRun run = by_hand(0.0, {0.006, 0.002, 0.0, 0.0}, 1481);
    run.plan = {about("hand-4-new", Condition::as_new, "2025-11-11T16:00:00Z",
                      "Written down by hand, a row every 5 degrees."),
                1, 0};
    return run;
}

SampleRun hand_used() {
    SampleRun run = by_hand(-25.0, {-0.002, 0.005, 0.0, 0.0}, 2282);
    lobe(run.cam, "1E").wear = {nose_wear(0.010, 0.5 * 0.022, 28.0)};
    lobe(run.cam, "1I").wear = {taper_lost_wear(0.004, 0.015)};
    run.plan = {about("hand-4-used", Condition::used, "2026-07-07T16:00:00Z",
                      "Written down by hand; lobe 1I has lost two thirds of its taper."),
                1, 0};
    run.plan.info.hours = 120.0;
    return run;
}

}  // namespace

std::vector<SampleRun> sample_runs() {
    return {launch_new(), launch_used_nose(), launch_used_wiped(), launch_before(), launch_after(),
            pump_new(),   pump_used(),        hand_new(),          hand_used()};
}

SampleRun sample_run(const std::string& id) {
    for (SampleRun& sample : sample_runs()) {
        if (sample.plan.info.id == id) return std::move(sample);
    }
    throw NoInputError(fmt::format("sample run '{}' isn't among those of rig/model/sample_runs.cpp", id));
}

Run simulate_run(const SampleRun& sample) {
    return simulate_run(sample.cam, sample.rig, sample.hand, sample.faults, sample.plan, sample.seed);
}

}  // namespace lobewright
