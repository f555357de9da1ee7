// verdict_pages.hpp: the study of verdicts as docs/verdicts-tried.md shows it.
#pragma once

#include "tests/coverage/verdict_study.hpp"

namespace lobewright {

/// Prints the page to standard output.
void print_verdicts_page(const VerdictOptions& options);

}  // namespace lobewright
