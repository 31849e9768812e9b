#include "backfield/base/version.hpp"

namespace backfield {

const char* version() { return BACKFIELD_VERSION; }

}  // namespace backfield
