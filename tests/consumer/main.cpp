// A stranger's program: knows the installed headers and backfield::backfield, nothing else.

#include <backfield/base/units.hpp>
#include <backfield/base/version.hpp>
#include <backfield/io/shipped_data.hpp>

#include <cstdio>

int main() {
  if (backfield::in_metres(backfield::feet(1000)) != 304.8) return 1;
  std::printf("version %s\ndata %s\n", backfield::version(), backfield::io::shipped_data_directory().c_str());
}
