#pragma once
// The final of an aeroplane that may have height to lose: clean at first, then with landing flap, with a slip in
// between if even that is not enough.
//
// From one height of alignment such finals end anywhere between the clean glide, which reaches farthest, and the one
// with everything out as early as can be. Which of them is flown is settled by one height: where the flap is out, or
// where the slip ends.

#include "backfield/flight/path.hpp"
#include "final_glide.hpp"

#include <memory>
#include <optional>
#include <vector>

namespace backfield::flight {

/// Heights above the runway, falling.
struct FinalPlan {
  double from = 0.0;      ///< alignment
  double flap_out = 0.0;  ///< clean, the flap coming out at the end of it, down to here
  double slip_end = 0.0;  ///< a slip from flap_out to here; none if they are the same. Then landing flap to the ground
};

/// The same runway's final in the configurations there are.
struct FinalGlides {
  FinalGlide clean;
  std::optional<FinalGlide> flap, slip;
  double flap_time = 0.0;    ///< from selecting landing flap to having it; no drag is counted meanwhile
  double level_below = 0.0;  ///< of a slip: over by this height above the runway
};

class SteepFinal {
 public:
  /// most        the configuration that loses most height of those that may be used; its glide is there
  SteepFinal(std::shared_ptr<const FinalGlides> glides, Configuration most) : glides_(std::move(glides)), most_(most) {}

  [[nodiscard]] Configuration most() const { return most_; }
  [[nodiscard]] const FinalGlide& clean() const { return glides_->clean; }
  [[nodiscard]] const std::shared_ptr<const FinalGlides>& glides() const { return glides_; }

  /// Everything out as early as can be: the flap is selected on alignment.
  [[nodiscard]] FinalPlan steepest(double height) const;
  /// Ground covered by it: no final from this height is shorter.
  [[nodiscard]] double shortest(double height) const {
    return most_ == Configuration::clean ? glides_->clean.distance(height) : distance(steepest(height));
  }
  [[nodiscard]] double distance(const FinalPlan& plan) const;
  /// The plan that covers a distance, or comes nearest to it: flap as late as will do, a slip as short as will do.
  [[nodiscard]] FinalPlan plan(double height, double distance) const;
  /// The control schedule of a plan, along a track.
  void fly(const FinalPlan& plan, double track, double cas, std::vector<Segment>& segments) const;

 private:
  std::shared_ptr<const FinalGlides> glides_;
  Configuration most_;
};

}  // namespace backfield::flight
