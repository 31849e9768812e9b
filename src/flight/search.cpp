#include "search.hpp"

#include "finish.hpp"
#include "looks.hpp"
#include "settle.hpp"

namespace backfield::flight {
namespace {

constexpr double kFollow = 0.15;    // steps along a family, to either side of where the best was
constexpr int kFollowedAtMost = 6;  // then all words are looked at again: another may have become the best

class Search {
 public:
  explicit Search(const Question& question) : q_(question), found_(question) {}

  std::array<Best, 2> run() {
    PathFinder::Guess* const guess = q_.wanted.guess;
    if (guess != nullptr) {
      for (std::size_t i = 0; i < 2; ++i) try_guess(found_.sides[i], guess->sides[i]);
    }
    if (!(done(found_.sides[0]) && done(found_.sides[1]))) look();
    if (guess != nullptr) {
      for (std::size_t i = 0; i < 2; ++i) update(guess->sides[i], i);
    }
    return found_.sides;
  }

 private:
  /// A path that still lands, with height to spare that matters to nobody, ends the search of its side before it
  /// begins.
  void try_guess(Best& side, PathFinder::Guess::Side& guess) {
    if (!guess.lands || !found_.matters(side)) return;
    const Connection landing = q_.fly(guess.landing, guess.landing.value());
    if (!within(landing, q_.target) || &found_.side_of(landing) != &side) return;
    found_.note(side, landing);
    follow(side, guess.best);
    const bool serves =
        !landing.once_round() && (q_.wanted.any_will_do || (found_.settled(side) && guess.used < kFollowedAtMost));
    if (!serves) return;
    if (!found_.settled(side)) refine(q_, found_, side);
    side.landing = landing;
    side.beyond = landing.value();
    served_[found_.index(side)] = true;
    ++guess.used;
  }

  /// The best path moves little from one failure to the next: looked for where it was and to both sides of that.
  void follow(Best& side, const Connection& best) {
    for (const double steps : {0.0, kFollow, -kFollow}) {
      const double value = beside(best.parameter, best.value(), steps);
      if (!exists(best.parameter, value)) continue;
      const Connection c = q_.read(best, value);
      if (c.on_axis && &found_.side_of(c) == &side) found_.note(side, c);
    }
  }

  void update(PathFinder::Guess::Side& guess, std::size_t i) const {
    const Best& side = found_.sides[i];
    if (served_[i]) {
      guess.best = side.best;
    } else if (side.lands) {
      guess = {true, 0, side.landing, side.best};
    }
  }

  void look() {
    look_at_headings(q_, found_);
    const auto both = [&](auto holds) { return holds(found_.sides[0]) && holds(found_.sides[1]); };
    const bool straights = !both([&](const Best& side) { return found_.settled(side); });
    // What promises to land lets less be looked for, and may not land when it is flown.
    const bool promised = !both([](const Best& side) { return !side.lands; });
    if (straights) look_at_straights(q_, found_);
    finish_both();
    if ((!straights || promised) && !both([&](const Best& side) { return found_.agrees(side); })) {
      const std::array<bool, 2> agreed{found_.agrees(found_.sides[0]), found_.agrees(found_.sides[1])};
      look_at_straights(q_, found_);
      for (std::size_t i = 0; i < 2; ++i) {
        if (!agreed[i]) finish_side(found_.sides[i]);
      }
    }
  }
  void finish_both() {
    for (Best& side : found_.sides) finish_side(side);
  }
  void finish_side(Best& side) {
    if (!done(side)) finish(q_, found_, side);
  }

  [[nodiscard]] bool done(const Best& side) const { return served_[found_.index(side)] || !found_.matters(side); }

  const Question& q_;
  Found found_;
  std::array<bool, 2> served_{};  ///< by the guess
};

}  // namespace

std::array<Best, 2> search(const Question& question) { return Search(question).run(); }

}  // namespace backfield::flight
