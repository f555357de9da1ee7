#include "analysis/repeat/nested_anova.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace lobewright {
namespace {

/// One stage's squares over all lobes: their sum, what it is expected to be as multiples of the variances, and the
/// lobes' products for their effective degrees of freedom.
struct AnovaStage {
    double squares = 0.0;
    double degrees = 0.0;    // coefficient of the pass variance
    double of_set_up = 0.0;  // and of the others
    double of_operator = 0.0;
    double degrees_of_a_lobe = 0.0;
    std::map<std::size_t, std::vector<double>> deviations;  // a lobe's, weighted; the same order in all lobes

    [[nodiscard]] double effective_degrees() const;
    [[nodiscard]] MeanSquare mean_square() const {
        if (!(degrees > 0.0)) return {};
        return {squares / degrees, effective_degrees()};
    }
};

double AnovaStage::effective_degrees() const {
    double trace = 0.0, trace_of_square = 0.0;
    for (const auto& [lobe, one] : deviations) {
        for (const auto& [other_lobe, other] : deviations) {
            double product = 0.0;
            for (std::size_t i = 0; i < one.size(); ++i) product += one[i] * other[i];
            if (lobe == other_lobe) trace += product;
            trace_of_square += product * product;
        }
    }
    if (!(trace_of_square > 0.0)) return degrees_of_a_lobe;
    return std::clamp(degrees_of_a_lobe * trace * trace / trace_of_square, degrees_of_a_lobe, degrees);
}

struct Group {
    double count = 0.0;
    double sum = 0.0;
    double count_squares = 0.0;  // of the groups in it

    void add(double n, double total) {
        count += n;
        sum += total;
        count_squares += n * n;
    }
    [[nodiscard]] double mean() const { return sum / count; }
};

/// The stages of one lobe added to those of the others.
class Stages {
public:
    explicit Stages(bool with_operators) : with_operators_(with_operators) {}

    void add_lobe(std::size_t lobe, std::vector<const LobeRun*> runs);

    AnovaStage passes, runs, operators;

private:
    bool with_operators_;
};

Group group_of(const std::vector<double>& values) {
    Group out;
    for (const double v : values) out.add(1.0, v);
    return out;
}

void Stages::add_lobe(std::size_t lobe, std::vector<const LobeRun*> lobe_runs) {
    std::sort(lobe_runs.begin(), lobe_runs.end(),
              [](const LobeRun* a, const LobeRun* b) { return a->run < b->run; });
    Group all;
    std::map<std::size_t, Group> by_operator;
    for (const LobeRun* run : lobe_runs) {
        const Group one = group_of(run->values);
        for (const double v : run->values) {
            passes.squares += (v - one.mean()) * (v - one.mean());
        }
        passes.degrees += one.count - 1.0;
        by_operator[with_operators_ ? run->operator_index : 0].add(one.count, one.sum);
    }
    for (const auto& [index, group] : by_operator) all.add(group.count, group.sum);

    double within = 0.0, across = 0.0, operator_squares = 0.0;
    for (const auto& [index, group] : by_operator) {
        within += group.count_squares / group.count;
        across += group.count_squares;
        operator_squares += group.count * group.count;
        const double deviation = group.mean() - all.mean();
        operators.deviations[lobe].push_back(std::sqrt(group.count) * deviation);
        operators.squares += group.count * deviation * deviation;
    }
    for (const LobeRun* run : lobe_runs) {
        const Group one = group_of(run->values);
        const double deviation = one.mean() - by_operator[with_operators_ ? run->operator_index : 0].mean();
        runs.deviations[lobe].push_back(std::sqrt(one.count) * deviation);
        runs.squares += one.count * deviation * deviation;
    }
    runs.degrees_of_a_lobe = static_cast<double>(lobe_runs.size() - by_operator.size());
    runs.degrees += runs.degrees_of_a_lobe;
    runs.of_set_up += all.count - within;
    operators.degrees_of_a_lobe = static_cast<double>(by_operator.size() - 1);
    operators.degrees += operators.degrees_of_a_lobe;
    operators.of_set_up += within - across / all.count;
    operators.of_operator += all.count - operator_squares / all.count;
}

/// How many operators and runs there are, and whether the two can be told apart.
struct Design {
    std::map<std::size_t, std::vector<const LobeRun*>> lobes;
    std::size_t runs = 0;
    std::size_t operators = 0;
};

Design design_of(const std::vector<LobeRun>& data) {
    Design out;
    std::set<std::size_t> runs, operators;
    for (const LobeRun& one : data) {
        out.lobes[one.lobe].push_back(&one);
        runs.insert(one.run);
        operators.insert(one.operator_index);
    }
    out.runs = runs.size();
    out.operators = operators.size();
    return out;
}

/// The sum of the components that are known and not zero, as a combination of the mean squares, which are independent
/// where the components aren't.
Variance sum_of_components(const NestedVariances& v, double set_up_per, double set_up_share,
                           double operator_per) {
    double of_passes = v.pass.known() ? 1.0 : 0.0, of_runs = 0.0, of_operators = 0.0;
    if (v.set_up.known() && v.set_up.value > 0.0) {
        of_runs += 1.0 / set_up_per;
        of_passes -= v.pass.known() ? 1.0 / set_up_per : 0.0;
    }
    if (v.by_operator.known() && v.by_operator.value > 0.0) {
        of_operators += 1.0 / operator_per;
        of_runs -= set_up_share / operator_per;
        of_passes -= v.pass.known() ? (1.0 - set_up_share) / operator_per : 0.0;
    }
    SatterthwaiteSum sum;
    sum.add(of_passes * v.passes.value, v.passes.degrees_of_freedom);
    sum.add(of_runs * v.runs.value, v.runs.degrees_of_freedom);
    sum.add(of_operators * v.operators.value, v.operators.degrees_of_freedom);
    const double value = (v.pass.known() ? v.pass.value : 0.0) + v.set_up.value +
                         (v.by_operator.known() ? v.by_operator.value : 0.0);
    if (value == 0.0) return variance_of({value, v.runs.degrees_of_freedom});
    return variance_of({value, std::max(sum.degrees_of_freedom(), 1.0)});
}

}  // namespace

NestedVariances nested_variances(const std::vector<LobeRun>& data) {
    const Design design = design_of(data);
    NestedVariances out;
    out.operators_in_set_up = design.operators > 1 && design.operators == design.runs;
    const bool with_operators = design.operators > 1 && !out.operators_in_set_up;
    Stages stages(with_operators);
    for (const auto& [lobe, runs] : design.lobes) stages.add_lobe(lobe, runs);

    if (stages.passes.degrees > 0.0) {
        out.passes = {stages.passes.squares / stages.passes.degrees, stages.passes.degrees};
    }
    out.passes_in_set_up = !(stages.passes.degrees > 0.0) && design.runs > 1;
    out.runs = stages.runs.mean_square();
    out.operators = stages.operators.mean_square();
    out.pass = variance_of(out.passes);
    if (!(out.runs.degrees_of_freedom > 0.0)) return out;

    const double set_up_per = stages.runs.of_set_up / stages.runs.degrees;
    out.set_up = variance_of_difference(out.runs, out.passes, set_up_per);
    double set_up_share = 0.0, operator_per = 1.0;
    if (with_operators) {
        set_up_share = stages.operators.of_set_up / stages.operators.degrees / set_up_per;
        operator_per = stages.operators.of_operator / stages.operators.degrees;
        SatterthwaiteSum expected;
        expected.add(set_up_share * out.runs.value, out.runs.degrees_of_freedom);
        expected.add((1.0 - set_up_share) * out.passes.value, std::max(out.passes.degrees_of_freedom, 1.0));
        out.by_operator = variance_of_difference(
            out.operators, {std::max(expected.value(), 0.0), std::max(expected.degrees_of_freedom(), 1.0)},
            operator_per);
    }
    out.reproducibility = sum_of_components(out, set_up_per, set_up_share, operator_per);
    return out;
}

}  // namespace lobewright
