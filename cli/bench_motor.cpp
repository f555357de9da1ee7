#include "cli/bench_motor.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace lobewright {
namespace {

constexpr std::int64_t silent_us =
    1'500'000;  // longer than a rig's beat: it tells nothing of a motor that turns
constexpr std::size_t longest_word = 8;
constexpr auto starting_word = "yes";

std::size_t troubles_of_sweep(const SweepSession& session) {
    const SweepInHand* hand = session.bench().in_hand();
    return hand != nullptr ? hand->trouble_count() : 0;
}

std::size_t troubles_of(const SweepSession& session) {
    return session.troubles() + troubles_of_sweep(session);
}

}  // namespace

BenchMotor::Word BenchMotor::type(char key) {
    if (key != '\n' && key != '\r') {
        if (key >= ' ' && key <= '~' && typed_->size() < longest_word) typed_->push_back(key);
        if ((key == '\x7f' || key == '\b') && !typed_->empty()) typed_->pop_back();
        return Word::goes_on;
    }
    const bool yes = *typed_ == starting_word;
    typed_.reset();
    return yes ? Word::given : Word::refused;
}

void BenchMotor::start_with(const SweepSession& session) {
    due_ = true;
    sweep_troubles_then_ = troubles_of_sweep(session);
    troubles_then_ = troubles_of(session);
}

bool BenchMotor::watch(const SweepSession& session, std::int64_t heard_us, std::int64_t now_us) {
    if (due_ && session.sweeping()) {
        due_ = false;
        begun_us_ = now_us;
        if (troubles_of(session) == troubles_then_ && session.rig_is_there())
            guard_.start(wish_->counts, wish_->counts_per_s, now_us);
    }
    const bool was = running();
    if (was && troubles_of(session) != troubles_then_) guard_.halt(first_trouble(session));
    if (running() && now_us - std::max(heard_us, begun_us_) > silent_us) guard_.halt("the rig says nothing");
    guard_.tick(now_us);
    return was && !running();
}

void BenchMotor::halt(const std::string& why) {
    if (running()) guard_.halt(why);
}

std::string BenchMotor::halted_words() const {
    return fmt::format("The motor is halted: {}. Turn on by hand, or t and yes start it again.",
                       guard_.why());
}

/// Since it was started.
std::string BenchMotor::first_trouble(const SweepSession& session) const {
    if (troubles_of_sweep(session) <= sweep_troubles_then_) return "a fault came";
    return trouble_words(session.bench().in_hand()->troubles()[sweep_troubles_then_]);
}

}  // namespace lobewright
