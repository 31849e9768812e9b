#include "backfield/io/shipped_data.hpp"

#include <catch2/catch.hpp>

#include <cstdlib>

namespace {

using backfield::io::shipped_data_directory;

// Sets BACKFIELD_DATA for one scope; the value found before comes back.
class DataVariable {
 public:
  explicit DataVariable(const char* value) {
    if (const char* found = std::getenv("BACKFIELD_DATA")) before_ = found;
    if (value != nullptr) {
      setenv("BACKFIELD_DATA", value, 1);
    } else {
      unsetenv("BACKFIELD_DATA");
    }
  }
  ~DataVariable() { before_.empty() ? unsetenv("BACKFIELD_DATA") : setenv("BACKFIELD_DATA", before_.c_str(), 1); }
  DataVariable(const DataVariable&) = delete;
  DataVariable& operator=(const DataVariable&) = delete;

 private:
  std::string before_;
};

TEST_CASE("A program in the build tree uses the data of the source tree", "[io][shipped_data]") {
  const DataVariable unset(nullptr);
  CHECK(shipped_data_directory() == BACKFIELD_SOURCE_DIR);
}

TEST_CASE("BACKFIELD_DATA wins, even when nothing is there", "[io][shipped_data]") {
  const DataVariable elsewhere("/no/such/directory");
  CHECK(shipped_data_directory() == "/no/such/directory");
}

TEST_CASE("An empty BACKFIELD_DATA counts as not set", "[io][shipped_data]") {
  const DataVariable empty("");
  CHECK(shipped_data_directory() == BACKFIELD_SOURCE_DIR);
}

}  // namespace
