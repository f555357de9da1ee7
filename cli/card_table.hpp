// card_table.hpp: figures as a card shows them: to the bench's resolution, in tables that are broken at the screen's width.
#pragma once

#include <string>
#include <vector>

#include "analysis/units.hpp"

namespace lobewright {

/// How a figure is shown: what it is divided by, and decimals.
struct Shown {
    double per = 1.0;
    int decimals = 1;
};

Shown shown_length(Units units);
Shown shown_angle();
Shown shown_area(Units units);
/// From mm per rad to length per cam degree.
Shown shown_velocity(Units units);

/// "-" when unknown.
std::string say(double value, const Shown& shown);

/// u95 rounded up, so that it never reads 0; "-" when unknown.
std::string say_u95(double value, const Shown& shown);

/// A lift in a column's head: "1.27".
std::string say_lift(double lift_mm, Units units);

/// A crank angle after top dead centre as a card has it: "12.3 BTDC", "48.0 ABDC"; "-" when unknown.
std::string say_timing(double after_tdc_deg);

/// The same of a centreline, which is always told from top dead centre: "108.1 ATDC".
std::string say_centreline(double after_tdc_deg);

/// One column with its cells; those of one table have as many.
struct CardColumn {
    std::string head;
    std::vector<std::string> cells;
};

/// The columns as tables no wider than the screen, a blank line between them, the first column standing in each.
std::string wide_table(const std::vector<CardColumn>& columns);

}  // namespace lobewright
