#include "backfield/io/load.hpp"

#include <fmt/format.h>

#include <cstdint>

namespace backfield::io {

std::string checksum(const std::string& bytes) {
  std::uint64_t hash = 0xcbf29ce484222325U;  // offset basis and prime of the 64-bit variant
  for (const char c : bytes) {
    hash ^= static_cast<unsigned char>(c);
    hash *= 0x100000001b3U;
  }
  return fmt::format("{:016x}", hash);
}

}  // namespace backfield::io
