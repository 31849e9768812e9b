#pragma once
// What goes with every list of what is near.

#include "backfield/earth/nearby.hpp"

#include <string>
#include <vector>

namespace backfield::report {

std::vector<std::string> nearby_cautions(const earth::Nearby& nearby);

}  // namespace backfield::report
