// coverage_scenes.hpp: the benches on which the stated intervals are checked.
#pragma once

#include <string>
#include <vector>

#include "tests/coverage/coverage_study.hpp"

namespace lobewright {

struct CoverageScene {
    std::string name;  // the program's word for it
    std::string says;  // for people
    CoverageOptions options;
};

const std::vector<CoverageScene>& coverage_scenes();

}  // namespace lobewright
