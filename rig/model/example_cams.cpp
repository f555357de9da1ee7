#include "rig/model/example_cams.hpp"

#include <array>

#include <fmt/format.h>

#include "analysis/units.hpp"

namespace lobewright {

namespace {

/// Cam degrees between firings, by place in the firing order, for each cylinder.
constexpr std::array<double, 4> launch_turn_deg = {0.0, 270.0, 90.0, 180.0};              // fires 1-3-4-2
constexpr std::array<double, 6> pump_turn_deg = {0.0, 240.0, 120.0, 300.0, 60.0, 180.0};  // fires 1-5-3-6-2-4

constexpr std::array<double, 6> pump_exhaust_z_in = {2.0, 6.0, 11.0, 15.0, 20.0, 24.0};

constexpr double exhaust_nose_deg = 125.0;  // of cylinder 1, from the index mark of a cam set up square
constexpr double lobe_separation_deg = 108.0;

/// Grinding leaves a few tenths of a micrometre to a micrometre round the
/// heel, a little different lobe by lobe.
std::vector<Harmonic> grinding_form(int lobe) {
    return {{2, 0.0004 + 0.00002 * lobe, 40.0 * lobe},
            {3, 0.0003, 75.0 * lobe},
            {5, 0.0002, 20.0 + 110.0 * lobe}};
}

Lobe label(const std::string& cylinder, LobeKind kind, double z_mm, double width_mm,
           double base_diameter_mm) {
    Lobe lobe;
    lobe.name = cylinder + (kind == LobeKind::intake ? "I" : "E");
    lobe.kind = kind;
    lobe.cylinder = std::stoi(cylinder);
    lobe.z_mm = z_mm;
    lobe.width_mm = width_mm;
    lobe.base_diameter_mm = base_diameter_mm;
    lobe.tappet = "T" + lobe.name;
    return lobe;
}

JournalModel journal(int number, double z_mm, double diameter_mm, bool in_v_block) {
    JournalModel model;
    model.journal.name = fmt::format("J{}", number);
    model.journal.z_mm = z_mm;
    model.journal.diameter_mm = diameter_mm;
    if (in_v_block) model.journal.v_angle_deg = 90.0;
    model.form = {{2, 0.0006, 35.0 * number}, {3, 0.0004, 80.0 * number}, {5, 0.0002, 15.0 + 120.0 * number}};
    return model;
}

}  // namespace

CamModel launch_engine_cam() {
    CamModel cam;
    cam.info.part = "LE4-118";
    cam.info.follower = Follower::flat;
    cam.info.retention = Retention::thrust_plate;
    cam.info.material = "chilled iron";
    cam.info.case_depth_mm = 2.5;
    cam.tappet = TappetInfo{22.0, 1270.0};
    cam.valvetrain = ValvetrainInfo{1.5, 350.0, 45.0};
    struct Place {
        int cylinder;
        LobeKind kind;
        double z_mm;
    };
    constexpr std::array<Place, 8> places = {{{1, LobeKind::exhaust, 40.0},
                                              {1, LobeKind::intake, 66.0},
                                              {2, LobeKind::intake, 118.0},
                                              {2, LobeKind::exhaust, 144.0},
                                              {3, LobeKind::exhaust, 198.0},
                                              {3, LobeKind::intake, 224.0},
                                              {4, LobeKind::intake, 276.0},
                                              {4, LobeKind::exhaust, 302.0}}};
    int number = 0;
    for (const Place& place : places) {
        LobeModel model;
        const bool intake = place.kind == LobeKind::intake;
        model.lobe = label(std::to_string(place.cylinder), place.kind, place.z_mm, 12.0, 28.0);
        model.base_radius_mm = 14.0;
        model.lift_mm = intake ? 5.8 : 5.6;
        model.nose_deg = wrapped_deg(exhaust_nose_deg + (intake ? lobe_separation_deg : 0.0) +
                                     launch_turn_deg[static_cast<std::size_t>(place.cylinder) - 1]);
        model.opening_deg = intake ? 84.0 : 83.0;
        model.closing_deg = intake ? 87.0 : 86.0;
        model.ramp_deg = 14.0;
        model.ramp_height_mm = 0.03;
        model.taper_mm = (number % 2 == 0 ? 1.0 : -1.0) * (0.021 + 0.0005 * (number % 4));
        model.form = grinding_form(number);
        cam.lobes.push_back(model);
        ++number;
    }
    cam.journals = {journal(1, 12.0, 47.6, true), journal(2, 171.0, 47.6, false),
                    journal(3, 330.0, 47.6, true)};
    cam.journals[1].bend_x_mm = 0.006;
    cam.journals[1].bend_y_mm = -0.004;
    return cam;
}

CamModel pump_engine_cam() {
    CamModel cam;
    cam.info.part = "IP6-204";
    cam.info.follower = Follower::flat;
    cam.info.retention = Retention::none;
    cam.info.case_depth_mm = 0.1 * mm_per_inch;
    cam.tappet = TappetInfo{mm_per_inch, 50.0 * mm_per_inch};
    for (int number = 0; number < 12; ++number) {
        const int cylinder = number / 2 + 1;
        const auto at = static_cast<std::size_t>(cylinder) - 1;
        const bool intake = number % 2 == 1;
        LobeModel model;
        model.lobe = label(std::to_string(cylinder), intake ? LobeKind::intake : LobeKind::exhaust,
                           (pump_exhaust_z_in[at] + (intake ? 1.6 : 0.0)) * mm_per_inch, 0.55 * mm_per_inch,
                           1.25 * mm_per_inch);
        model.base_radius_mm = 0.625 * mm_per_inch;
        model.lift_mm = (intake ? 0.255 : 0.250) * mm_per_inch;
        model.nose_deg =
            wrapped_deg(exhaust_nose_deg + (intake ? lobe_separation_deg : 0.0) + pump_turn_deg[at]);
        model.opening_deg = 85.0;
        model.closing_deg = 88.0;
        model.ramp_deg = 15.0;
        model.ramp_height_mm = 0.0012 * mm_per_inch;
        model.taper_mm = (0.0009 + 0.00005 * (number % 3)) * mm_per_inch;
        model.form = grinding_form(number);
        cam.lobes.push_back(model);
    }
    cam.journals = {journal(1, 0.8 * mm_per_inch, 2.0 * mm_per_inch, true),
                    journal(2, 9.4 * mm_per_inch, 2.0 * mm_per_inch, false),
                    journal(3, 18.4 * mm_per_inch, 2.0 * mm_per_inch, false),
                    journal(4, 27.4 * mm_per_inch, 2.0 * mm_per_inch, true)};
    cam.journals[1].bend_x_mm = 0.005;
    cam.journals[2].bend_x_mm = 0.004;
    cam.journals[2].bend_y_mm = 0.003;
    return cam;
}

}  // namespace lobewright
