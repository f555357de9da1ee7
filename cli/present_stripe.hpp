// present_stripe.hpp: the expected bright band as a table, as a picture of one lobe unrolled, and as JSON.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "analysis/contact/stripe.hpp"

namespace lobewright {

/// The table of all lobes; with `chosen` lobes their pictures instead.
std::string present_stripe(const StripeReport& report, const std::vector<std::size_t>& chosen);

/// One JSON object (docs/stripe.md).
std::string present_stripe_json(const StripeReport& report);

}  // namespace lobewright
