#pragma once
// Between the middle two of four evenly spaced values.

namespace backfield::flight {

/// Catmull and Rom's cubic: through both, with the slopes of their neighbours' chords.
/// share       0..1, from the second value to the third
struct Cubic {
  explicit Cubic(double t)
      : w{0.5 * t * (t * (2.0 - t) - 1.0), 0.5 * (t * t * (3.0 * t - 5.0) + 2.0), 0.5 * t * (t * (4.0 - 3.0 * t) + 1.0),
          0.5 * t * t * (t - 1.0)} {}
  double operator()(double a, double b, double c, double d) const { return w[0] * a + w[1] * b + w[2] * c + w[3] * d; }
  double w[4];
};

/// What stands before b, c, d on their parabola; for the end of a row. The other end is the mirror image.
inline double third(double b, double c, double d) { return 3.0 * b - 3.0 * c + d; }

}  // namespace backfield::flight
