#include "rig/firmware/controller.hpp"

namespace lobewright::firmware {

namespace {

void tip_field(Line& line, const TipReading& tip) {
    if (tip.state == TipState::good) {
        line.field(tip.steps);
    } else {
        line.field("-");
    }
}

}  // namespace

void Controller::edge(bool a, bool b, bool index) {
    const EncoderStep step = encoder_.look(a, b, index);
    if (step.illegal) fault(FaultKind::encoder);
    if (step.index) record({.kind = 'X', .t_us = now(), .count = encoder_.count()});
    if (step.counts == 0) return;
    const bool due = encoder_.count() % every_ == 0;
    // A cam that trembles on one count tells nothing new.
    if (streaming_ && due && !(sampled_ && sampled_count_ == encoder_.count())) sample();
    const std::int32_t left =
        static_cast<std::int32_t>(motor_to_ - static_cast<std::uint32_t>(encoder_.count()));
    if (motor_way_ != 0 && left * motor_way_ <= 0) stop_motor();
}

void Controller::sample() {
    Record latched{.kind = 'S', .t_us = now(), .count = encoder_.count()};
    hardware_.read_tips(hardware_.self, latched.front, latched.rear);
    sampled_ = true;
    sampled_count_ = latched.count;
    record(latched);
    range(front_before_, latched.front.state, FaultKind::range_front);
    range(rear_before_, latched.rear.state, FaultKind::range_rear);
    front_before_ = latched.front.state;
    rear_before_ = latched.rear.state;
}

void Controller::range(TipState before, TipState now, FaultKind kind) {
    if (now == TipState::out_of_range && before != TipState::out_of_range) fault(kind);
}

/// Numbers a record and queues it; where there is no room its number is used up, so that the host sees a gap.
void Controller::record(Record record) {
    if (!streaming_) return;
    tell_overrun();
    number(record);
    // While an overrun is untold what comes is lost as well: else each sample would take the place that its telling needs.
    if (overrun_ || records_.room() == 0) {
        overrun_ = true;
        return;
    }
    records_.push(record);
}

void Controller::number(Record& record) {
    record.seq = ++seq_;
    last_line_us_ = record.t_us;
}

/// Only with room for the record behind it as well: else the first fault would push out the next sample.
void Controller::tell_overrun() {
    if (!overrun_ || records_.room() < 2) return;
    overrun_ = false;
    Record told{.kind = 'F', .fault = FaultKind::overrun, .t_us = now()};
    number(told);
    records_.push(told);
    if (motor_way_ == 0) return;
    stop_motor();
    fault(FaultKind::halted);
}

/// What the controller can't vouch for stops the motor, too.
void Controller::fault(FaultKind kind) {
    record({.kind = 'F', .fault = kind, .t_us = now()});
    if (motor_way_ == 0) return;
    stop_motor();
    record({.kind = 'F', .fault = FaultKind::halted, .t_us = now()});
}

void Controller::stop_button() {
    mask(true);
    if (motor_way_ != 0) {
        stop_motor();
        fault(FaultKind::halted);
    }
    mask(false);
}

void Controller::stop_motor() {
    motor_way_ = 0;
    if (hardware_.run_motor != nullptr) hardware_.run_motor(hardware_.self, 0);
}

void Controller::receive(char byte) {
    const Order order = orders_.take(byte);
    if (order.kind == OrderKind::none) return;
    mask(true);
    obey(order);
    mask(false);
}

void Controller::obey(const Order& order) {
    switch (order.kind) {
        case OrderKind::hello:
            hello_due_ = true;
            break;
        case OrderKind::start:
            if (streaming_) break;
            streaming_ = true;
            sampled_ = false;
            front_before_ = rear_before_ = TipState::good;
            last_line_us_ = now();
            break;
        case OrderKind::stop:
            streaming_ = false;
            stopped_due_ = true;
            stop_motor();
            break;
        case OrderKind::zero:
            hardware_.zero_tips(hardware_.self);
            break;
        case OrderKind::every:
            every_ = order.counts;
            break;
        case OrderKind::turn:
            begin_turn(order);
            break;
        case OrderKind::keep:
            kept_us_ = now();
            break;
        case OrderKind::halt:
            stop_motor();
            break;
        case OrderKind::none:
            break;
    }
}

void Controller::begin_turn(const Order& order) {
    if (hardware_.run_motor == nullptr) return;
    motor_way_ = order.counts > 0 ? 1 : -1;
    motor_to_ = static_cast<std::uint32_t>(encoder_.count()) + static_cast<std::uint32_t>(order.counts);
    kept_us_ = now();
    const bool too_fast = order.counts_per_s > setup_.fastest_counts_per_s;
    const std::int32_t speed = too_fast ? setup_.fastest_counts_per_s : order.counts_per_s;
    hardware_.run_motor(hardware_.self, motor_way_ * speed);
}

void Controller::poll() {
    mask(true);
    if (motor_way_ != 0 && now() - kept_us_ > keep_within_us) {
        stop_motor();
        fault(FaultKind::halted);
    }
    tell_overrun();
    if (streaming_ && now() - last_line_us_ >= beat_after_us)
        record({.kind = 'B', .t_us = now(), .count = encoder_.count()});
    mask(false);
    while (records_.size() > 0 && bytes_.room() >= longest_line) {
        mask(true);
        const Record next = records_.pop();
        mask(false);
        write(next);
    }
    write_answers();
}

void Controller::write(const Record& record) {
    Line line(record.kind);
    line.field(record.seq).field(record.t_us);
    if (record.kind == 'F') {
        constexpr const char* codes[] = {"range-front", "range-rear", "encoder", "overrun", "halted"};
        line.field(codes[static_cast<unsigned>(record.fault)]);
    } else {
        line.field(record.count);
    }
    if (record.kind == 'S') {
        tip_field(line, record.front);
        tip_field(line, record.rear);
    }
    say(line);
}

/// Answers wait until there is room for them; the one to `stop` comes behind all that it speaks of.
void Controller::write_answers() {
    if (hello_due_) hello();
    if (!stopped_due_ || records_.size() > 0 || overrun_) return;
    Line line('Q');
    stopped_due_ = !say(line.field(seq_));
}

void Controller::hello() {
    Line line('H');
    line.field(std::uint32_t{1}).field(setup_.name).field(setup_.counts_per_rev).field(setup_.step_nm);
    hello_due_ = !say(line.field(hardware_.run_motor != nullptr ? "t" : "-"));
}

bool Controller::say(Line& line) {
    line.close();
    if (bytes_.room() < line.size()) return false;
    for (std::size_t i = 0; i < line.size(); ++i) bytes_.push(line.text()[i]);
    return true;
}

std::size_t Controller::take(char* into, std::size_t size) {
    std::size_t taken = 0;
    while (taken < size && bytes_.size() > 0) into[taken++] = bytes_.pop();
    return taken;
}

}  // namespace lobewright::firmware
