#include "backfield/aircraft/power.hpp"

#include "backfield/base/contract.hpp"

#include <cmath>

namespace backfield::aircraft {
namespace {

double drag_over_weight(const Performance& performance, Cas cas, double n) {
  const double v = cas.value / performance.best_glide().value;
  return (v * v + n * n / (v * v)) / (2.0 * performance.aircraft().polar.glide_ratio);
}

/// The table a condition is calibrated from, and the speed it holds at.
struct Book {
  const Figure* climb_rate;
  Cas cas;
  double share;
};
Book book_of(const Performance& performance, const PowerCondition& condition) {
  const Aircraft& a = performance.aircraft();
  if (condition.left == PowerLeft::one_engine_out) {
    require(a.one_engine_out.has_value(), "an aircraft with two engines");
    return {&a.one_engine_out->climb_rate, performance.one_engine_out_climb_speed(), 1.0};
  }
  return {&a.climb_rate_v_y, performance.v_y(), condition.left == PowerLeft::fraction ? condition.fraction : 1.0};
}

}  // namespace

Lookup<Thrust> thrust_left(const Performance& performance, const Conditions& conditions,
                           const PowerCondition& condition) {
  require(condition.climb_factor > 0.0, "a factor on the climb is positive");
  require(condition.left != PowerLeft::fraction || (condition.fraction >= 0.0 && condition.fraction <= 1.0),
          "a fraction of power lies between 0 and 1");
  if (condition.left == PowerLeft::none) return {{}, Coverage::inside, {}, {}};
  const Book book = book_of(performance, condition);
  const Lookup<double> rate = book.climb_rate->at(conditions);
  if (!rate.usable()) return {{}, rate.coverage, rate.axis, rate.end};
  const double tas = earth::to_tas(book.cas, conditions.sigma).value.si();
  // A factor makes a climb weaker; a sink it leaves as it is.
  const double climb = rate.value > 0.0 ? rate.value * condition.climb_factor : rate.value;
  const double over_weight = book.share * (climb / tas + drag_over_weight(performance, book.cas, 1.0));
  Thrust thrust;
  if (performance.aircraft().is_jet()) {
    thrust.thrust = over_weight;
  } else {
    thrust.power_mps = over_weight * tas;
  }
  return {thrust, rate.coverage, rate.axis, rate.end};
}

Lookup<Speed> excess_power(const Performance& performance, const Conditions& conditions,
                           const PowerCondition& condition, Cas cas, Angle bank) {
  require(cas.value.si() > 0.0, "airspeed is positive");
  require(std::abs(bank.si()) < degrees(80).si(), "bank below 80 degrees");
  const Lookup<Thrust> left = thrust_left(performance, conditions, condition);
  const double tas = earth::to_tas(cas, conditions.sigma).value.si();
  const double n = 1.0 / std::cos(bank.si());
  const double rate = tas * (left.value.at(tas) - drag_over_weight(performance, cas, n));
  return {metres_per_second(rate), left.coverage, left.axis, left.end};
}

double still_air_gradient(Speed rate, Tas tas) { return rate / tas.value; }

}  // namespace backfield::aircraft
