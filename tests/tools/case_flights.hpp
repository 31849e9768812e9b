#pragma once
// A case with its departure flown in every world: what the decision asks of the path solver, rebuilt from the public
// functions so that tests can ask it again.

#include "backfield/decision/assess.hpp"
#include "backfield/flight/path_finder.hpp"
#include "backfield/flight/timeline.hpp"
#include "tests/tools/reflight.hpp"

#include <optional>
#include <string>
#include <vector>

namespace backfield::test {

/// The case in a file, path relative to the source tree unless absolute. Throws, with its findings, when it has errors.
decision::Case load_case(const std::string& path);

/// Every case of the folder `cases`, relative to the source tree, in the order of their names.
std::vector<std::string> all_cases();

class CaseFlights {
 public:
  /// Throws std::runtime_error when the departure cannot be flown.
  explicit CaseFlights(decision::Case the_case);
  CaseFlights(const CaseFlights&) = delete;
  CaseFlights& operator=(const CaseFlights&) = delete;

  struct Flight {
    decision::World world;
    flight::Timeline timeline;
  };
  [[nodiscard]] const decision::Case& the_case() const { return case_; }
  [[nodiscard]] const std::vector<Flight>& flights() const { return flights_; }
  [[nodiscard]] const Flight& flight(const std::string& world) const;
  /// Where a glide may end on a runway end in a world; none: it does not stop there, or nothing is known of it.
  [[nodiscard]] std::optional<flight::Goal> goal(const earth::RunwayEnd& end, const decision::World& world) const;
  [[nodiscard]] flight::PathFinderSetup setup(const Flight& flight, Angle bank) const;
  [[nodiscard]] Flyer flyer(const Flight& flight) const;

 private:
  decision::Case case_;
  aircraft::Performance performance_;
  std::vector<Flight> flights_;
};

}  // namespace backfield::test
