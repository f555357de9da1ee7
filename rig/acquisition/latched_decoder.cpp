#include "rig/acquisition/latched_decoder.hpp"

#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "rig/acquisition/port_trouble.hpp"
#include "rig/decode/parse_message.hpp"

namespace lobewright {
namespace {

std::optional<double> mm_of(const std::optional<std::int32_t>& steps, std::int64_t step_nm) {
    if (!steps) return std::nullopt;
    // One product of whole numbers, exact in a double, so that one rounding makes the nearest millimetres.
    return static_cast<double>(*steps * step_nm) / 1e6;
}

struct FaultText {
    TroubleKind kind;
    const char* says;
};

FaultText fault_text(FaultCode code) {
    switch (code) {
        case FaultCode::range_front:
            return {TroubleKind::range_front, "front indicator out of range"};
        case FaultCode::range_rear:
            return {TroubleKind::range_rear, "rear indicator out of range"};
        case FaultCode::encoder:
            return {TroubleKind::encoder, "the encoder's signals make no sense"};
        case FaultCode::overrun:
            return {TroubleKind::overrun, "turned faster than the controller can send: turn slower"};
        case FaultCode::halted:
            break;
    }
    return {TroubleKind::motor_halted, "the motor was stopped by its guard"};
}

std::string plural(std::uint64_t amount, const char* what) {
    return fmt::format("{} {}{}", amount, what, amount == 1 ? "" : "s");
}

}  // namespace

void LatchedDecoder::bytes(std::int64_t host_us, std::string_view bytes) {
    host_us_ = host_us;
    clock_.at_host(host_us);
    framer_.feed(
        bytes,
        [this](std::string_view payload) {
            first_line_ = false;
            line(payload);
        },
        [this] {
            // Before the controller was greeted what comes is the rest of an earlier talk, or a start-up text.
            if (greeted_ && !first_line_) ++damaged_;
            first_line_ = false;
        });
    say_damaged();
}

void LatchedDecoder::note(const CaptureNote& note) {
    host_us_ = note.host_us;
    if (note.event == "unplugged" || note.event == "returned") {
        drop_held();
        say_damaged();
        framer_.reset();
        greeted_ = false;
        first_line_ = true;
        last_.reset();
    }
    if (auto told = port_trouble(note, now())) listener_(*told);
}

void LatchedDecoder::line(std::string_view payload) {
    const std::optional<RigMessage> message = parse_message(payload);
    if (!message) {
        if (greeted_) ++damaged_;
        return;
    }
    if (const std::optional<LineHead> head = line_head(*message)) {
        if (greeted_) numbered(*head, *message);
    } else if (const auto* said = std::get_if<Hello>(&*message)) {
        hello(*said);
    } else if (const auto* end = std::get_if<Stopped>(&*message)) {
        stopped(*end);
    }
}

void LatchedDecoder::hello(const Hello& hello) {
    if (hello.version != 1) {
        refusal_ = fmt::format(
            "the controller speaks version {} of the rig's protocol; this program knows version 1",
            hello.version);
        return;
    }
    const bool other =
        hello_ && (hello_->name != hello.name || hello_->counts_per_rev != hello.counts_per_rev ||
                   hello_->step_nm != hello.step_nm || hello_->turns != hello.turns);
    hello_since_ = true;
    if (greeted_ && !other) return;  // an answer; whether the controller began anew its next line tells
    drop_held();
    say_damaged();
    hello_ = hello;
    greeted_ = true;
    last_.reset();
    clock_.restart(host_us_);
    say_back();
}

void LatchedDecoder::stopped(const Stopped& stopped) {
    if (!greeted_ || !last_) return;
    const std::uint32_t missing = stopped.seq - last_->seq;
    if (missing == 0 || missing >= half_of_numbers) return;
    say_damaged();
    lost(missing);
    last_->seq = stopped.seq;
}

LineFit LatchedDecoder::fit(const LineHead& before, const LineHead& head) const {
    const LineFit found = fit_of(before, head, hello_->counts_per_rev);
    // Behind a hello a line from earlier is one of a controller that began anew.
    return found == LineFit::stale && hello_since_ ? LineFit::behind : found;
}

void LatchedDecoder::numbered(const LineHead& head, const RigMessage& message) {
    if (!last_) return begin_anew(head, message);
    const LineFit found = fit(*last_, head);
    if (found == LineFit::follows) {
        drop_held();
        return accept(head, message);
    }
    // The first index mark after power-up makes the counts absolute: they may jump there.
    if (found == LineFit::count_jumps && std::holds_alternative<IndexMark>(message)) {
        drop_held();
        forgive_jump(head);
        return accept(head, message);
    }
    if (found == LineFit::stale) {
        ++damaged_;
        return;
    }
    if (found == LineFit::behind && hello_since_) {
        drop_held();
        say_restarted();
        return begin_anew(head, message);
    }
    if (!held_ || fit(held_->head, head) != LineFit::follows) {
        drop_held();
        held_ = Held{head, message, found == LineFit::count_jumps};
        return;
    }
    const Held held = *std::exchange(held_, std::nullopt);
    if (held.count_alone) {
        const std::int64_t jump = std::int64_t{*held.head.count} - last_->count.value_or(0);
        trouble(TroubleKind::encoder, static_cast<std::uint64_t>(std::abs(jump)),
                fmt::format("the count jumped by {}: check the encoder's coupling and cable", jump));
        forgive_jump(held.head);
        accept(held.head, held.message);
    } else {
        say_restarted();
        begin_anew(held.head, held.message);
    }
    accept(head, message);
}

void LatchedDecoder::forgive_jump(const LineHead& head) {
    last_->count = head.count;
    count_ = *head.count;
}

void LatchedDecoder::begin_anew(const LineHead& head, const RigMessage& message) {
    say_damaged();
    clock_.restart(host_us_);
    last_ = head;
    count_ = head.count.value_or(0);
    take(head, message);
}

void LatchedDecoder::accept(const LineHead& head, const RigMessage& message) {
    say_damaged();
    const std::uint32_t step_us = head.t_us - last_->t_us;
    clock_.advance(step_us, host_us_);
    const std::uint32_t lines = head.seq - last_->seq;
    if (lines > 1) lost(lines - 1);
    if (head.count) {
        if (last_->count) {
            count_ += static_cast<std::int32_t>(static_cast<std::uint32_t>(*head.count) -
                                                static_cast<std::uint32_t>(*last_->count));
        } else {
            count_ = *head.count;
        }
        last_->count = head.count;
        last_->count_t_us = head.t_us;
    }
    last_->seq = head.seq;
    last_->t_us = head.t_us;
    take(head, message);
}

/// Tells the event of a line that counts; clock and count stand at it.
void LatchedDecoder::take(const LineHead& head, const RigMessage& message) {
    hello_since_ = false;
    const std::int64_t t_us = clock_.at_device();
    if (const auto* sample = std::get_if<Sample>(&message)) {
        listener_(RigReading{t_us, count_, mm_of(sample->front, hello_->step_nm),
                             mm_of(sample->rear, hello_->step_nm), 0.0});
    } else if (std::holds_alternative<IndexMark>(message)) {
        listener_(RigIndex{t_us, count_});
    } else if (const auto* fault = std::get_if<Fault>(&message)) {
        const FaultText text = fault_text(fault->code);
        listener_(RigTrouble{t_us, text.kind, 1, text.says});
    } else if (head.count) {
        listener_(RigIdle{t_us, count_});
    }
}

void LatchedDecoder::say_damaged() {
    if (damaged_ == 0) return;
    const std::uint64_t amount = std::exchange(damaged_, 0);
    trouble(TroubleKind::line_damaged, amount,
            fmt::format("{} from the controller damaged on the way", plural(amount, "line")));
}

void LatchedDecoder::say_back() {
    listener_(RigBack{now(), hello_->name, hello_->counts_per_rev, static_cast<double>(hello_->step_nm) / 1e6,
                      hello_->turns});
}

void LatchedDecoder::say_restarted() {
    listener_(RigTrouble{now(), TroubleKind::restarted, 1, "the controller started afresh"});
    say_back();
}

void LatchedDecoder::drop_held() {
    if (held_) ++damaged_;
    held_.reset();
}

void LatchedDecoder::lost(std::uint32_t lines) {
    trouble(TroubleKind::lines_lost, lines,
            fmt::format("{} from the controller lost", plural(lines, "line")));
}

void LatchedDecoder::trouble(TroubleKind kind, std::uint64_t amount, std::string says) {
    listener_(RigTrouble{clock_.at_device(), kind, amount, std::move(says)});
}

}  // namespace lobewright
