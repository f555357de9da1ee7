// example_cams.hpp: two invented engines' cams, new: the scenario of sample_runs/ and of the virtual rig.
#pragma once

#include "rig/model/cam_model.hpp"

namespace lobewright {

/// The cam of an invented four-cylinder launch engine: 8 lobes for flat tappets, a thrust
/// plate, high sides to the rear and front in turn, three journals, the outer two in 90 degree
/// V-blocks and the centre one a little bent.
CamModel launch_engine_cam();

/// The cam of an invented six-cylinder irrigation pump engine: 12 lobes for flat tappets, no thrust plate, so
/// every lobe is high to the rear and pushes the cam back; four journals, the outer two in 90 degree
/// V-blocks.
CamModel pump_engine_cam();

}  // namespace lobewright
