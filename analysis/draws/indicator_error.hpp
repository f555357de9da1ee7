// indicator_error.hpp: an indicator's unknown smooth error, drawn afresh.
//
// Model    e(r) = limit (2 Phi(g(r)) - 1), g a normal process of unit variance over the reading r. At any one reading
//          every size within the limit is equally likely (variance limit^2/3), and close readings share it with the
//          correlation that the budget takes (indicator_correlation of analysis/uncertainty/indicator_model.hpp; the transform
//          changes it by less than 0.02). Derived; the transform of a normal to any other distribution is known as the
//          normal copula.
//
// mm. Nothing here throws.
#pragma once

#include <random>
#include <vector>

namespace lobewright {

using DrawEngine = std::mt19937_64;

/// One draw of the error: a table over the readings, straight in between.
class DrawnError {
public:
    DrawnError() = default;  // no error at all
    DrawnError(double low_mm, double node_mm, std::vector<double> error_mm)
        : low_mm_(low_mm), node_mm_(node_mm), error_mm_(std::move(error_mm)) {}

    /// Beyond the table the error of its nearer end.
    [[nodiscard]] double at(double reading_mm) const;

private:
    double low_mm_ = 0.0;
    double node_mm_ = 1.0;
    std::vector<double> error_mm_;
};

/// All errors that an indicator of this limit may have over these readings.
class UnknownError {
public:
    UnknownError() = default;  // of limit 0
    UnknownError(double limit_mm, double travel_mm, double low_mm, double high_mm);

    [[nodiscard]] DrawnError draw(DrawEngine& engine) const;

private:
    double limit_mm_ = 0.0;
    double low_mm_ = 0.0;
    double node_mm_ = 1.0;
    std::size_t nodes_ = 0;
    std::vector<std::vector<double>> parts_;  // independent parts of g, by node
};

}  // namespace lobewright
