// motion_program.hpp: how a lift event rises and falls: the standard programs, as normalised closed forms.
#pragma once

namespace lobewright {

/// The first three are rises between two dwells, mirrored about the nose; their acceleration is zero there,
/// so the nose keeps the radius base radius + lift. `nose_polynomial` is a rise and fall in one piece, whose
/// acceleration is finite at the nose, as on a real valve lobe.
enum class MotionProgram { cycloidal, polynomial_345, polynomial_4567, nose_polynomial };

/// Displacement and its first two derivatives by the normalised angle.
struct Motion {
    double s = 0.0;
    double v = 0.0;
    double a = 0.0;
};

/// The event at xi: -1 where it opens, 0 at the nose (s = 1), +1 where it closes; zero outside. s, v and a
/// are continuous everywhere. For the rises, s(xi) = rise(1 - |xi|): cycloidal x - sin(2 pi x) / (2 pi);
/// 3-4-5: 10x^3 - 15x^4 + 6x^5; 4-5-6-7: 35x^4 - 84x^5 + 70x^6 - 20x^7 (any cam design handbook). The nose
/// polynomial is 1 + C2 xi^2 + C10 xi^10 + C12 xi^12 + C14 xi^14 with s, v, a and jerk zero at both ends.
Motion event_motion(MotionProgram program, double xi);

/// The 3-4-5 rise as a step: 0 below x = 0, 1 above x = 1.
Motion smooth_step(double x);

}  // namespace lobewright
