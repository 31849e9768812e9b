#include "backfield/io/load.hpp"

#include <catch2/catch.hpp>

// source   the FNV authors' own test vectors for FNV-1a, 64 bit (test_fnv.c; also in draft-eastlake-fnv)
TEST_CASE("The checksum is FNV-1a with 64 bits", "[io][checksum]") {
  CHECK(backfield::io::checksum("") == "cbf29ce484222325");
  CHECK(backfield::io::checksum("a") == "af63dc4c8601ec8c");
  CHECK(backfield::io::checksum("foobar") == "85944171f73967e8");
}
