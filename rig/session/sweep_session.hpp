// sweep_session.hpp: the walk along a cam: which lobe or journal is in turn, what the operator may do there, and what
// becomes of each sweep. Fed with what happens at the rig and with the operator's words; knows no port and no terminal.
//
// Every word that begins or ends a sweep goes out as a note first and takes effect when it comes back among the rig's
// events, in the place that it has in the capture: so that a replay begins and ends each sweep at the same byte.
// Throws IoError when a sweep can't be written.
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "rig/session/bench.hpp"
#include "rig/session/bench_order.hpp"
#include "rig/session/sweep_store.hpp"

namespace lobewright {

/// What comes from the rig's side, in order.
using SessionItem = std::variant<RigEvent, SessionNote>;

/// A sweep that was taken, and where it went.
struct SweepOutcome {
    TakenSweep taken;
    std::filesystem::path file;  // empty: in the capture alone
    bool aside = false;
};

class SweepSession {
public:
    using Post = std::function<void(const SessionNote&)>;

    /// `plan`: what all sweeps have in common. `places`: at least one. Begins at the first place without a whole sweep.
    SweepSession(SweepStore& store, std::vector<BenchPlace> places, SweepPlan plan, Post post);

    void take(const SessionItem& item);

    // The operator's words. Those that make no sense now do nothing.
    void go();      // sweeps here
    void stop();    // the sweep in hand is kept as it is
    void repeat();  // the sweep in hand, or the last one, goes aside; here again
    void undo();    // the last sweep goes aside
    void skip();    // to the next place
    void back();    // to the place before
    void quit();    // keeps what is in hand

    [[nodiscard]] const BenchPlace& place() const { return places_[at_]; }
    [[nodiscard]] std::size_t ordinal() const { return at_ + 1; }
    [[nodiscard]] std::size_t places() const { return places_.size(); }
    /// The pass that a sweep here has or will have.
    [[nodiscard]] int pass() const;
    [[nodiscard]] const Bench& bench() const { return bench_; }
    [[nodiscard]] bool sweeping() const { return bench_.in_hand() != nullptr; }
    /// Every place has a sweep, the last one ended just now.
    [[nodiscard]] bool all_done() const { return all_done_; }
    [[nodiscard]] bool over() const { return over_; }
    /// A word of the operator's is on its way; others have to wait.
    [[nodiscard]] bool busy() const { return asked_; }
    /// The rig has answered and is there.
    [[nodiscard]] bool rig_is_there() const { return rig_ && !away_; }
    [[nodiscard]] const std::optional<RigReading>& last_reading() const { return last_reading_; }
    /// Troubles so far, in sweeps and between them.
    [[nodiscard]] std::size_t troubles() const { return troubles_; }
    [[nodiscard]] const std::optional<RigTrouble>& last_trouble() const { return last_trouble_; }
    /// What the rig said of itself when it last came.
    [[nodiscard]] const std::optional<RigBack>& rig() const { return rig_; }

    /// Outcomes and other news since this was last asked.
    std::vector<SweepOutcome> outcomes();
    std::vector<std::string> news();

private:
    enum class Then { stay, again, next, quit };

    void post(SessionDoes does, const std::string& of, int pass);
    void settle(const TakenSweep& taken);
    void notice(const RigEvent& event);
    void advance();
    void close();

    SweepStore& store_;
    std::vector<BenchPlace> places_;
    SweepPlan plan_;
    Post post_;
    Bench bench_;
    std::size_t at_ = 0;
    Then then_ = Then::stay;  // what the operator wants after the sweep in hand
    bool asked_ = false;      // a word is on its way
    bool all_done_ = false;
    bool over_ = false;
    bool away_ = false;
    std::size_t troubles_ = 0;
    std::optional<RigBack> rig_;
    std::optional<RigReading> last_reading_;
    std::optional<RigTrouble> last_trouble_;
    std::vector<std::pair<std::string, int>> kept_;  // what can be undone, latest last
    std::vector<SweepOutcome> outcomes_;
    std::vector<std::string> news_;
};

}  // namespace lobewright
