#pragma once
// A word flown through the air as it is, and what makes it end where it should.

#include "rendezvous_words.hpp"
#include "turns.hpp"

#include <optional>
#include <vector>

namespace backfield::flight {

/// How a word is flown.
struct Craft {
  TurnStyle first, last;
};

/// Where a word has to end, metres and radians.
struct Meeting {
  double east = 0.0, north = 0.0;
  double direction = 0.0;
  bool track = true;  ///< `direction` is a track over the ground, else the heading of the air path
};

class WordFlight {
 public:
  WordFlight(const Glider& glider, const Craft& craft) : glider_(&glider), craft_(&craft) {}

  /// What a word needs that is not given: angles along the turns' senses, seconds.
  struct Controls {
    double first = 0.0, middle = 0.0, last = 0.0;
  };
  /// Flies a word. `middle` below 0 flies a straight backwards in time, so that a search may step over 0.
  [[nodiscard]] Point fly(Word word, Controls c, Point p, std::vector<Segment>* segments = nullptr) const {
    begin(word, c, p, segments);
    turn(craft_->last, last_sense(word), c.last, p, segments);
    return p;
  }

  struct Solution {
    Controls controls;
    Point end;
  };
  /// From a root in uniform air to one flown; nullopt when the search does not converge or leaves the word.
  [[nodiscard]] std::optional<Solution> solve(const Start& start, const UniformAir& air, const Point& from,
                                              const Meeting& to, double end_height) const;

  /// Heading wanted at a height.
  [[nodiscard]] double end_heading(const Meeting& to, double height) const;
  /// What the words' starting values are found in: from `height` down by `span` metres.
  [[nodiscard]] UniformAir uniform(double height, double span) const;
  /// The turns that are only rolled in and out of, and never held: smaller than this.
  [[nodiscard]] static double smallest_held_turn(const TurnStyle& style) {
    return style.rolls ? 2.0 * style.in.gain : 0.0;
  }

 private:
  /// Can the track be held where the word ends, with headway.
  [[nodiscard]] bool holds_track(const Meeting& to, const Point& end) const;
  void begin(Word word, const Controls& c, Point& p, std::vector<Segment>* segments) const;
  void turn(const TurnStyle& style, int sense, double change, Point& p, std::vector<Segment>* segments) const;
  const Glider* glider_;
  const Craft* craft_;
};

}  // namespace backfield::flight
