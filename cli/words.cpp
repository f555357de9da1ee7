#include "cli/words.hpp"

namespace lobewright {

std::string_view word(Edge value) {
    return value == Edge::front ? "front" : "rear";
}

std::string_view word(TaperDatum value) {
    return value == TaperDatum::mastered ? "mastered" : "base-circle";
}

std::string_view word(HighSide value) {
    switch (value) {
        case HighSide::front:
            return "front";
        case HighSide::rear:
            return "rear";
        case HighSide::none:
            return "none";
        case HighSide::unknown:
            break;
    }
    return "unknown";
}

std::string_view word(Push value) {
    switch (value) {
        case Push::front:
            return "front";
        case Push::rear:
            return "rear";
        case Push::balanced:
            return "balanced";
        case Push::none:
            return "none";
        case Push::unknown:
            break;
    }
    return "unknown";
}

std::string_view headline(Verdict value) {
    switch (value) {
        case Verdict::reuse:
            return "FIT TO REUSE";
        case Verdict::remeasure:
            return "CAN'T BE JUDGED YET, MEASURE AGAIN";
        case Verdict::regrind:
            return "NOT FIT, REGRIND";
        case Verdict::scrap:
            break;
    }
    return "NOT FIT, SCRAP";
}

Exit exit_of(Verdict value) {
    switch (value) {
        case Verdict::reuse:
            return Exit::fit;
        case Verdict::remeasure:
            return Exit::undecided;
        case Verdict::regrind:
        case Verdict::scrap:
            break;
    }
    return Exit::unfit;
}

}  // namespace lobewright
