#pragma once
// How much of a long test is run: little in the sanitized build, which looks for other faults, twenty times slower;
// all of it with BACKFIELD_LONG=1; any other number by an environment variable of its own.

#include <cstdlib>
#include <string>

namespace backfield::test {

struct Amount {
  unsigned sanitized, ordinary, all;
};

inline unsigned amount(const char* variable, const Amount& a) {
  if (const char* number = std::getenv(variable)) return static_cast<unsigned>(std::stoul(number));
#ifdef __SANITIZE_ADDRESS__
  return a.sanitized;
#else
  return std::getenv("BACKFIELD_LONG") != nullptr ? a.all : a.ordinary;
#endif
}

}  // namespace backfield::test
