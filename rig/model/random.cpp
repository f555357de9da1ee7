#include "rig/model/random.hpp"

#include <cmath>

namespace lobewright {

double Random::normal_quantile(double p) {
    const double q = p - 0.5;
    if (std::fabs(q) <= 0.425) {  // 85 % of all calls
        const double r = 0.180625 - q * q;
        return q * (((59.109374720 * r + 159.29113202) * r + 50.434271938) * r + 3.3871327179) /
               (((67.187563600 * r + 78.757757664) * r + 17.895169469) * r + 1.0);
    }
    double r = std::sqrt(-std::log(q < 0.0 ? p : 1.0 - p));
    double size = 0.0;
    if (r <= 5.0) {
        r -= 1.6;
        size = (((0.17023821103 * r + 1.3067284816) * r + 2.7568153900) * r + 1.4234372777) /
               ((0.12021132975 * r + 0.73700164250) * r + 1.0);
    } else {
        r -= 5.0;
        size = (((0.017337203997 * r + 0.42868294337) * r + 3.0812263860) * r + 6.6579051150) /
               ((0.012258202635 * r + 0.24197894225) * r + 1.0);
    }
    return q < 0.0 ? -size : size;
}

}  // namespace lobewright
