#pragma once
// The highest value of a function on an interval, by golden section.

namespace backfield {

/// Every look makes the interval shorter by a factor of 0.618, towards the higher of two inner points.
///
/// towards     where to go on while both are equally high
/// value       of the function; may keep the best it has seen
/// done        (number of looks after the first two, length of the interval left): asked before each
template <class Value, class Done>
void golden_section(double a, double b, double towards, Value value, Done done) {
  constexpr double kGolden = 0.6180339887498949;
  double x1 = b - kGolden * (b - a);
  double x2 = a + kGolden * (b - a);
  double v1 = value(x1);
  double v2 = value(x2);
  for (int i = 0; !done(i, b - a); ++i) {
    if (v1 == v2 ? towards < x2 : v1 > v2) {
      b = x2;
      x2 = x1;
      v2 = v1;
      x1 = b - kGolden * (b - a);
      v1 = value(x1);
    } else {
      a = x1;
      x1 = x2;
      v1 = v2;
      x2 = a + kGolden * (b - a);
      v2 = value(x2);
    }
  }
}

}  // namespace backfield
