#pragma once
// Which backfield this is.

namespace backfield {

/// Version of the library, "major.minor.patch", as the build file declares it.
const char* version();

}  // namespace backfield
