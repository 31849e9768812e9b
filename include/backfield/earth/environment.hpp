#pragma once
// The air and the ground of one world, as flight sees them.

#include "backfield/earth/atmosphere.hpp"
#include "backfield/earth/ground.hpp"
#include "backfield/earth/wind.hpp"

namespace backfield::earth {

struct Environment {
  Air air;
  WindProfile wind;
  Ground ground{};
};

}  // namespace backfield::earth
