#include "src/cli/guard.hpp"

#include <catch2/catch.hpp>

#include <sstream>
#include <stdexcept>

using backfield::cli::guarded;

TEST_CASE("A broken contract ends with 70, says what broke and asks for a report", "[cli]") {
  std::ostringstream err;
  CHECK(guarded(err, []() -> int { throw std::logic_error("contract broken: a number is finite"); }) == 70);
  CHECK(err.str().find("please report") != std::string::npos);
  CHECK(err.str().find("a number is finite") != std::string::npos);
  CHECK(err.str().find(backfield::version()) != std::string::npos);
}

TEST_CASE("Memory that is not there is no reason to die without a word", "[cli]") {
  std::ostringstream err;
  CHECK(guarded(err, []() -> int { throw std::bad_alloc(); }) == 70);
  CHECK_FALSE(err.str().empty());
}

TEST_CASE("Trouble with files ends with 74 and names the file", "[cli]") {
  std::ostringstream err;
  CHECK(guarded(err, []() -> int {
          throw std::filesystem::filesystem_error("cannot look", "some/where",
                                                  std::make_error_code(std::errc::io_error));
        }) == 74);
  CHECK(err.str().find("some/where") != std::string::npos);
}

TEST_CASE("The code of work that does not throw is handed on in silence", "[cli]") {
  std::ostringstream err;
  CHECK(guarded(err, [] { return 3; }) == 3);
  CHECK(err.str().empty());
}
