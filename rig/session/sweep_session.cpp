#include "rig/session/sweep_session.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

namespace lobewright {

SweepSession::SweepSession(SweepStore& store, std::vector<BenchPlace> places, SweepPlan plan, Post post)
    : store_(store), places_(std::move(places)), plan_(std::move(plan)), post_(std::move(post)) {
    const auto first = std::find_if(places_.begin(), places_.end(),
                                    [&](const BenchPlace& place) { return !store_.has_whole(place.name); });
    at_ = first != places_.end() ? static_cast<std::size_t>(first - places_.begin()) : 0;
    post_({SessionDoes::opens, plan_});
}

void SweepSession::take(const SessionItem& item) {
    if (const auto* note = std::get_if<SessionNote>(&item)) {
        bench_.take(*note);
        const bool answers = note->does == SessionDoes::begins || note->does == SessionDoes::ends ||
                             note->does == SessionDoes::drops;
        if (answers) asked_ = false;
    } else {
        const RigEvent& event = std::get<RigEvent>(item);
        notice(event);
        bench_.take(event);
    }
    for (const TakenSweep& taken : bench_.taken()) settle(taken);
    for (const LateSlip& slip : bench_.late_slips()) {
        const std::string text = fmt::format("index off by {} count{} at the mark after it was taken",
                                             slip.counts, slip.counts == 1 ? "" : "s");
        store_.mark(slip.of, slip.pass, text);
        news_.push_back(fmt::format("{} pass {}: {}; sweep it again", slip.of, slip.pass, text));
    }
}

void SweepSession::notice(const RigEvent& event) {
    if (const auto* rig = std::get_if<RigBack>(&event)) {
        if (rig_) news_.push_back("the rig is back: turn to the index mark, counts are void until then");
        rig_ = *rig;
        away_ = false;
    }
    if (const auto* reading = std::get_if<RigReading>(&event)) last_reading_ = *reading;
    const auto* trouble = std::get_if<RigTrouble>(&event);
    if (trouble == nullptr) return;
    ++troubles_;
    last_trouble_ = *trouble;
    if (trouble->kind == TroubleKind::unplugged || trouble->kind == TroubleKind::not_answering) away_ = true;
    if (sweeping()) return;
    SweepTrouble said;
    said.kind = kind_of(trouble->kind);
    said.amount = static_cast<std::int64_t>(trouble->amount);
    said.says = trouble->says;
    news_.push_back(fmt::format("{}: {}", trouble_words(said), trouble_advice(said.kind)));
}

void SweepSession::go() {
    if (sweeping() || asked_ || over_) return;
    all_done_ = false;
    SweepPlan plan = plan_;
    plan.of = place().name;
    plan.journal = place().journal;
    plan.pass = store_.next_pass(plan.of);
    asked_ = true;
    then_ = Then::stay;
    post_({SessionDoes::begins, plan});
}

void SweepSession::stop() {
    if (sweeping() && !asked_)
        post(SessionDoes::ends, bench_.in_hand()->plan().of, bench_.in_hand()->plan().pass);
}

void SweepSession::repeat() {
    if (asked_ || over_) return;
    if (!sweeping()) return undo();
    then_ = Then::again;
    post(SessionDoes::drops, bench_.in_hand()->plan().of, bench_.in_hand()->plan().pass);
}

void SweepSession::undo() {
    if (sweeping() || asked_ || over_ || kept_.empty()) return;
    const auto [name, pass] = kept_.back();
    const auto file = store_.put_aside(name, pass);
    kept_.pop_back();
    post_({SessionDoes::aside, [&, name = name, pass = pass] {
               SweepPlan plan;
               plan.of = name;
               plan.pass = pass;
               return plan;
           }()});
    news_.push_back(fmt::format("{} pass {} is undone: it lies in {}", name, pass, file.string()));
    const auto there = std::find_if(places_.begin(), places_.end(),
                                    [&, &wanted = name](const BenchPlace& p) { return p.name == wanted; });
    if (there != places_.end()) at_ = static_cast<std::size_t>(there - places_.begin());
    all_done_ = false;
}

void SweepSession::skip() {
    if (asked_ || over_) return;
    if (sweeping()) {
        then_ = Then::next;
        return stop();
    }
    at_ = (at_ + 1) % places_.size();
    all_done_ = false;
}

void SweepSession::back() {
    if (sweeping() || asked_ || over_) return;
    at_ = (at_ + places_.size() - 1) % places_.size();
    all_done_ = false;
}

void SweepSession::quit() {
    if (over_) return;
    if (!sweeping()) return close();
    then_ = Then::quit;
    stop();
}

int SweepSession::pass() const {
    return sweeping() ? bench_.in_hand()->plan().pass : store_.next_pass(place().name);
}

void SweepSession::post(SessionDoes does, const std::string& of, int pass) {
    SessionNote note;
    note.does = does;
    note.plan.of = of;
    note.plan.pass = pass;
    asked_ = does == SessionDoes::ends || does == SessionDoes::drops;
    post_(note);
}

/// Where a sweep that has ended goes, and where the hands go next.
void SweepSession::settle(const TakenSweep& taken) {
    asked_ = false;
    SweepOutcome outcome{.taken = taken, .file = {}, .aside = true};
    const bool stands = taken.end != SweepEnd::dropped && holds_enough(taken.sweep);
    if (stands) {
        outcome.file = store_.keep(taken.sweep, taken.marks).file;
        outcome.aside = false;
        kept_.emplace_back(taken.plan.of, taken.plan.pass);
    } else if (taken.sweep.rows() > 0) {
        outcome.file = store_.keep_aside(taken.sweep, taken.marks);
    }
    post(stands ? SessionDoes::kept : SessionDoes::aside, taken.plan.of, taken.plan.pass);
    outcomes_.push_back(outcome);
    const Then then = std::exchange(then_, Then::stay);
    if (then == Then::quit) return close();
    if (then == Then::again) return go();
    if (then == Then::next || (stands && taken.marks.empty())) advance();
}

/// To the next place without a whole sweep, the first one behind this.
void SweepSession::advance() {
    for (std::size_t step = 1; step <= places_.size(); ++step) {
        const std::size_t next = (at_ + step) % places_.size();
        if (store_.has_whole(places_[next].name)) continue;
        at_ = next;
        return;
    }
    all_done_ = true;
}

void SweepSession::close() {
    if (over_) return;
    over_ = true;
    post_({SessionDoes::closes, {}});
}

std::vector<SweepOutcome> SweepSession::outcomes() {
    return std::exchange(outcomes_, {});
}

std::vector<std::string> SweepSession::news() {
    return std::exchange(news_, {});
}

}  // namespace lobewright
