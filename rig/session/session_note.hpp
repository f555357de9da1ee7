// session_note.hpp: what was asked of the operator and what became of it, as it stands on `meta` in the capture
// (docs/run-folder.md): with these notes and the rig's bytes every sweep can be remade. TOML, one small table a note.
// Throws DataError for a note of this kind that can't be read.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "rig/acquisition/sweep_plan.hpp"

namespace lobewright {

enum class SessionDoes {
    opens,   // a session: how the encoder counts
    begins,  // a sweep: its plan
    ends,    // a sweep, by the operator's word: kept, marked with what it lacks
    drops,   // a sweep, to be taken again: kept aside
    kept,    // a sweep stands in the run
    aside,   // a sweep was put aside, or kept there
    closes,  // the session, with nothing left to write
};

struct SessionNote {
    SessionDoes does = SessionDoes::opens;
    SweepPlan plan;  // all of it for `begins`, how the encoder counts for `opens`, of and pass for the others
};

std::string print_session_note(const SessionNote& note);

/// None for a text that is a note of another kind.
std::optional<SessionNote> parse_session_note(std::string_view text);

}  // namespace lobewright
