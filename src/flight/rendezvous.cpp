#include "backfield/flight/rendezvous.hpp"

#include "backfield/base/contract.hpp"
#include "rendezvous_flight.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace backfield::flight {
namespace {

// How much less a flown path may lose than its starting value says: a share, by shear and density, and a piece.
constexpr double kShearShare = 0.15;
constexpr double kSlack_m = 10.0;

constexpr std::array kWords{Word::lsl, Word::rsr, Word::lsr, Word::rsl, Word::lrl, Word::rlr};

Meeting meeting(const RendezvousGoal& to) {
  return {to.position.east.si(), to.position.north.si(), to.direction.angle().si(),
          to.along == RendezvousGoal::Along::track};
}

Craft make_craft(const RendezvousSetup& s, const Glider& glider) {
  const double roll_rate = s.performance->aircraft().roll_rate_per_second.si();
  return {make_turn_style(glider, {s.first_bank.si(), s.first_speed.value.si(), roll_rate}, s.model.roll),
          make_turn_style(glider, {s.last_bank.si(), s.last_speed.value.si(), roll_rate}, s.model.roll)};
}

}  // namespace

struct Rendezvous::Impl {
  explicit Impl(const RendezvousSetup& s)
      : medium(s.environment, s.datum, s.model, s.top.si() + 200.0),
        glider(medium, s.performance->best_glide().value.si(),
               s.performance->aircraft().polar.glide_ratio * s.glide_factor, s.model),
        craft(make_craft(s, glider)),
        flight(glider, craft),
        height_given(s.model.roll == RollRule::allowance ? s.height_given.si() : 0.0) {}

  [[nodiscard]] Point start(const GlidePose& from) const {
    Point p;
    p.e = from.position.east.si();
    p.n = from.position.north.si();
    p.h = from.height.si() - height_given;
    return make_point(p, from.heading.angle().si());
  }

  enum class Wanted { all, best };
  /// Roots flown from those in the mean wind of the heights flown; where one does not converge or a word has none
  /// there, from those in the wind of the upper and the lower end.
  [[nodiscard]] std::vector<RendezvousResult> search(const GlidePose& from, const RendezvousGoal& to,
                                                     Wanted wanted) const {
    const Point p = start(from);
    const Meeting goal = meeting(to);
    const double way = std::hypot(goal.east - p.e, goal.north - p.n);
    const UniformAir here = flight.uniform(p.h, 0.0);
    const double span = here.sink / here.V * (std::max(way, 4.0 * here.first_radius) + 4.0 * here.first_radius);
    const Errand errand{p.psi, goal.east - p.e, goal.north - p.n, flight.end_heading(goal, p.h - span)};
    std::vector<RendezvousResult> results;
    std::vector<Start> starts;
    double highest = -1e300;
    std::array<bool, kWords.size()> open{};
    open.fill(true);
    std::array<bool, kWords.size()> failed{};
    const auto attempt = [&](const UniformAir& air) {
      starts.clear();
      for (const Word word : kWords) {
        if (!open[static_cast<std::size_t>(word)]) continue;
        const std::size_t known = starts.size();
        find_starts(air, errand, word, starts);
        if (craft.first.rolls && !has_straight(word)) add_small_turns(air, errand, word, starts);
        open[static_cast<std::size_t>(word)] = starts.size() == known;
      }
      std::sort(starts.begin(), starts.end(), [](const Start& a, const Start& b) { return a.loss < b.loss; });
      for (const Start& s : starts) {
        // What cannot come near the best any more is not flown.
        if (wanted == Wanted::best && p.h - (1.0 - kShearShare) * s.loss + kSlack_m < highest) break;
        if (const auto found = flight.solve(s, air, p, goal, p.h - span)) {
          highest = std::max(highest, found->end.h);
          add(s.word, *found, results);
        } else {
          open[static_cast<std::size_t>(s.word)] = failed[static_cast<std::size_t>(s.word)] = true;
        }
      }
    };
    attempt(flight.uniform(p.h, span));
    if (!glider.medium().flat()) {
      if (wanted == Wanted::best && !results.empty()) open = failed;
      const auto tried = open;
      attempt(here);
      open = tried;
      attempt(flight.uniform(p.h - span, 0.0));
    }
    std::stable_sort(results.begin(), results.end(),
                     [](const RendezvousResult& a, const RendezvousResult& b) { return a.end_height > b.end_height; });
    return results;
  }

  /// The margins of a turn that is hardly one are hardly there: the roots without them, where they are small.
  void add_small_turns(UniformAir air, const Errand& errand, Word word, std::vector<Start>& starts) const {
    constexpr double kTiny = 0.003;
    constexpr double kHalfDegree = 0.009;
    const double first_margin = std::exchange(air.first_margin, 0.0);
    const double last_margin = air.last_margin;
    std::vector<Start> more;
    const auto small = [&](double& angle, const TurnStyle& style) {
      const double limit = WordFlight::smallest_held_turn(style);
      if (angle > 2.0 * kPi - limit) angle = kTiny;
      return angle < limit;
    };
    for (int i = 0; i < 3; ++i) {
      air.first_margin = i == 1 ? first_margin : 0.0;
      air.last_margin = i == 0 ? last_margin : 0.0;
      more.clear();
      find_starts(air, errand, word, more);
      for (Start& s : more) {
        if ((i != 1 && !small(s.first, craft.first)) || (i != 0 && !small(s.last, craft.last))) continue;
        starts.push_back(s);
        if (i == 1) continue;
        s.first = kHalfDegree;
        starts.push_back(s);
      }
    }
  }

  static void add(Word word, const WordFlight::Solution& found, std::vector<RendezvousResult>& results) {
    const auto& c = found.controls;
    RendezvousResult r;
    r.word = word;
    r.first_turn = radians(first_sense(word) * c.first);
    r.last_turn = radians(last_sense(word) * c.last);
    if (has_straight(word)) {
      r.straight = seconds(c.middle);
    } else {
      r.middle_turn = radians(-first_sense(word) * c.middle);
    }
    r.time = seconds(found.end.t);
    r.end_height = metres(found.end.h);
    constexpr double kSame = 1e-4;
    const bool known = std::any_of(results.begin(), results.end(), [&](const RendezvousResult& o) {
      return o.word == word && std::abs((o.first_turn - r.first_turn).si()) < kSame &&
             std::abs((o.middle_turn - r.middle_turn).si()) < kSame &&
             std::abs((o.last_turn - r.last_turn).si()) < kSame && std::abs((o.straight - r.straight).si()) < kSame;
    });
    if (!known) results.push_back(r);
  }

  Medium medium;
  Glider glider;
  Craft craft;
  WordFlight flight;
  double height_given;
};

Rendezvous::Rendezvous(const RendezvousSetup& s) {
  require(s.performance != nullptr, "a rendezvous needs an aircraft");
  require(s.glide_factor > 0.0, "glide factor above 0");
  for (const Angle bank : {s.first_bank, s.last_bank}) {
    require(bank.si() > 0.05 && bank.si() < 1.49, "bank between 3 and 85 degrees");
  }
  require(s.first_speed.value.si() > 0.0 && s.last_speed.value.si() > 0.0, "speeds above 0");
  impl_ = std::make_unique<Impl>(s);
}
Rendezvous::~Rendezvous() = default;
Rendezvous::Rendezvous(Rendezvous&&) noexcept = default;
Rendezvous& Rendezvous::operator=(Rendezvous&&) noexcept = default;

std::vector<RendezvousResult> Rendezvous::all(const GlidePose& from, const RendezvousGoal& to) const {
  return impl_->search(from, to, Impl::Wanted::all);
}

std::optional<RendezvousResult> Rendezvous::best(const GlidePose& from, const RendezvousGoal& to) const {
  const auto results = impl_->search(from, to, Impl::Wanted::best);
  if (results.empty()) return std::nullopt;
  return results.front();
}

Path Rendezvous::path(const GlidePose& from, const RendezvousResult& result) const {
  const Impl& impl = *impl_;
  Path path;
  path.start.east_m = from.position.east.si();
  path.start.north_m = from.position.north.si();
  path.start.height_m = from.height.si();
  path.start.heading_rad = from.heading.angle().si();
  const Point p = impl.start(from);
  const auto r = impl.glider.rates(p.h, p.s, p.c, impl.glider.level());
  path.start.tas_mps = r.V;
  path.start.gamma_rad = std::asin(r.sin_gamma);
  Segment given;
  given.cas_from_mps = given.cas_to_mps = impl.glider.best_glide_cas();
  given.height_given_m = impl.height_given;
  path.segments.push_back(given);
  const double middle = has_straight(result.word) ? result.straight.si() : std::abs(result.middle_turn.si());
  static_cast<void>(impl.flight.fly(
      result.word, {std::abs(result.first_turn.si()), middle, std::abs(result.last_turn.si())}, p, &path.segments));
  return path;
}

}  // namespace backfield::flight
