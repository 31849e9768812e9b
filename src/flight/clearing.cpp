#include "clearing.hpp"

#include "src/base/golden_section.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace backfield::flight {
namespace {

constexpr double kOff_m = 2.0;          // of height, that a path from the tables may be off by and still land
constexpr double kOffAside_m = 8.0;     // by which it may pass by what is on the ground elsewhere
constexpr double kWorthALook_m = 40.0;  // of height missing at a look, beside which a path may land
constexpr int kBetween = 8;             // looks for each step of headings or times
constexpr double kBeside = 0.25;        // steps to either side of what was clear a moment ago
constexpr double kHope_m = 120.0;       // by which a path between two looks may be clearer than both
constexpr int kClimb = 14;              // looks: to a tenth of a degree
constexpr int kEarly = 5;               // looks after which ...
constexpr double kHopeEarly_m = 25.0;   // ... a peak must have come so near
constexpr std::array<double, 7> kDelays_s{0.0, 4.0, 8.0, 14.0, 22.0, 34.0, 50.0};
constexpr int kRounds = 4;               // of heading and delay in turn ...
constexpr double kWorthARound_m = 0.05;  // ... while a round makes it so much clearer
constexpr double kNever = -1e9;

}  // namespace

const Assembly::Entry& Clearing::entry_of(const Connection& c) {
  const int sense = assembly_.entry_sense(fan_, c);
  auto& entry = entries_[sense < 0 ? 0 : sense == 0 ? 1 : 2];
  if (!entry) entry = assembly_.entry(fan_, sense);
  return *entry;
}

std::optional<Cleared> Clearing::look_at(const Connection& flown) {
  if (!within(flown, target_)) return std::nullopt;
  const Assembly::Entry& entry = entry_of(flown);
  auto scheduled = assembly_.path(entry, fan_, target_, flown);
  if (!scheduled) return std::nullopt;
  const Clearance clearance = hazards_.along(assembly_.way(entry, scheduled->path), &target_.at_runway);
  return Cleared{scheduled->connection, std::move(scheduled->path), clearance};
}

void Clearing::explain(Cleared& cleared) {
  hazards_.explain(assembly_.way(entry_of(cleared.connection), cleared.path), cleared.clearance, &target_.at_runway);
}

std::optional<Cleared> Clearing::look_beside(const Connection& like) {
  best_ = {};
  best_.clearance.margin = metres(kNever);
  side_ = like.side();
  const auto at = [&](double steps) {
    const double value = beside(like.parameter, like.value(), steps);
    return exists(like.parameter, value) ? look(between(like, value)) : Look{like, kNever};
  };
  Look before = at(-kBeside);
  Look here = at(0.0);
  Look after = at(kBeside);
  before.path = after.path = like;
  before.path.set(std::max(0.0, beside(like.parameter, like.value(), -kBeside)));
  after.path.set(std::max(0.0, beside(like.parameter, like.value(), kBeside)));
  here.path = like;
  if (!found()) climb(before, here, after);
  return found() ? std::optional(best_) : std::nullopt;
}

/// The lesser of height to spare (or room down the runway) and clearance. What does not land is not flown any further.
Clearing::Look Clearing::look(const Connection& tabled) {
  const Room room{target_.aim_high};
  Look l{tabled, room(tabled)};
  if (l.value < -kOff_m) return l;
  // As the tables have it: most are far from being clear.
  l.path.crab_height = tabled.alignment + target_.elevation;
  const Assembly::Entry& entry = entry_of(tabled);
  const Clearance about =
      hazards_.along(assembly_.way(entry, assembly_.about(entry, fan_, target_, l.path)), &target_.at_runway);
  if (about.margin.si() < -kOffAside_m) {
    l.value = std::min(l.value, about.margin.si());
    return l;
  }
  l.path = approach_.again(fan_, target_, tabled, tabled.value());
  if (l.path.side() != side_) l.path.on_axis = false;
  l.value = room(l.path);
  if (l.value < 0.0) return l;
  const auto seen = look_at(l.path);
  l.value = seen ? std::min(l.value, seen->clearance.margin.si()) : kNever;
  if (seen && seen->clearance.margin > best_.clearance.margin) best_ = *seen;
  return l;
}

Connection Clearing::between(const Connection& like, double value) const {
  Connection c = screen_.again(fan_, target_, like, value);
  if (c.side() != side_) c.on_axis = false;
  return c;
}

bool Clearing::joined(const Connection& a, const Connection& b) const {
  const bool same_entry = a.parameter == Parameter::delay || fan_.same_entry(a.first_sense, a.first, b.first);
  return a.on_axis && b.on_axis && same_entry;
}

/// Golden section between a peak's neighbours, until it is clear or hopeless.
void Clearing::climb(const Look& before, const Look& top, const Look& after) {
  double best = top.value;
  const auto at = [&](double x) {
    const double value = look(between(top.path, x)).value;
    best = std::max(best, value);
    return value;
  };
  golden_section(before.path.value(), after.path.value(), top.path.value(), at,
                 [&](int i, double) { return i >= kClimb || found() || (i == kEarly && best < -kHopeEarly_m); });
}

/// A path whose first turn is begun late has a heading and a delay to choose: where one is nearly clear each is climbed
/// in turn, the other held.
void Clearing::climb_in_turn() {
  const auto step = [&](Connection like, double low, double high, auto set) {
    golden_section(
        std::max(0.0, low), high, 0.5 * (low + high),
        [&](double x) {
          set(like, x);
          return look(between(like, like.delay)).value;
        },
        [&](int i, double) { return i >= kClimb || found(); });
  };
  for (int round = 0; round < kRounds && !found(); ++round) {
    const double before = best_.clearance.margin.si();
    const Connection known = best_.connection;
    if (before < -kHopeEarly_m || known.parameter == Parameter::straight_time) return;
    const double late = known.parameter == Parameter::delay ? known.delay : 0.0;
    const double half = 0.5 * kHeadingStep;
    step(delayed(known, late), known.first - half, std::min(known.first + half, 2.0 * kPi),
         [](Connection& c, double x) { c.first = x; });
    if (!found()) {
      const Connection turned = best_.connection;
      step(delayed(turned, late), late - kDelayStep_s, late + kDelayStep_s,
           [](Connection& c, double x) { c.delay = x; });
    }
    if (best_.clearance.margin.si() < before + kWorthARound_m) return;
  }
}

/// Paths of one word in the order of their parameter, from the tables.
void Clearing::scan(const std::vector<Connection>& family) {
  const Room room{target_.aim_high};
  const auto promising = [&](const Connection& c) { return c.on_axis && room(c) > -kWorthALook_m; };
  std::vector<Look> looks;
  for (std::size_t k = 0; k < family.size() && !found(); ++k) {
    const bool here = promising(family[k]);
    looks.push_back(here ? look(family[k]) : Look{family[k], kNever});
    if (k + 1 == family.size() || !(here || promising(family[k + 1]))) continue;
    if (!joined(family[k], family[k + 1])) continue;
    const double from = family[k].value();
    const double step = (family[k + 1].value() - from) / kBetween;
    for (int i = 1; i < kBetween && !found(); ++i) looks.push_back(look(between(family[k], from + step * i)));
  }
  for (std::size_t k = 1; k + 1 < looks.size() && !found(); ++k) {
    const Look& top = looks[k];
    if (top.value < -kHope_m || top.value < looks[k - 1].value || top.value <= looks[k + 1].value) continue;
    climb(looks[k - 1], top, looks[k + 1]);
  }
}

/// Every heading of one word, and where the entry changes. What has height to spare is kept, to be begun later.
void Clearing::scan_headings(int first, int last) {
  std::vector<Connection> family;
  const auto add = [&](const Leaf& leaf) {
    Connection c = screen_.by_heading(leaf, first, last, target_);
    if (c.side() != side_) c.on_axis = false;
    if (c.on_axis && c.over >= kReserve_m) spare_.push_back(c);
    family.push_back(c);
  };
  fan_.each_heading(first, add);
  scan(family);
}

/// The first turn begun later and later.
void Clearing::scan_delays(const Connection& at_once) {
  std::vector<Connection> family;
  for (const double delay : kDelays_s) {
    const Connection c = between(delayed(at_once, delay), delay);
    if (!c.on_axis || c.over < -kWorthALook_m) break;
    family.push_back(c);
  }
  scan(family);
}

void Clearing::scan_straights(int first, int last, bool towards) {
  const double longest =
      kTimeGrowth * screen_.time_down(fan_.entry_ends()[0], target_.elevation + target_.least_height);
  std::vector<Connection> family;
  Connection near;
  for (double t = kShortestByTime_s; t < longest; t *= kTimeGrowth) {
    Connection c = screen_.by_time(fan_, first, last, t, towards, target_, &near);
    if (c.on_axis) near = c;
    if (c.side() != side_) c.on_axis = false;
    family.push_back(c);
  }
  scan(family);
}

Cleared Clearing::look_around(const Cleared& known) {
  best_ = known;
  side_ = known.connection.side();
  spare_.clear();
  // In the order of the side, so that a mirror image is searched like what it mirrors.
  const int same = side_ == Side::left ? -1 : 1;
  for (const int first : {same, -same}) {
    for (const int last : {same, -same}) {
      if (!found()) scan_headings(first, last);
    }
  }
  for (const Connection& c : spare_) {
    if (!found()) scan_delays(c);
  }
  for (const bool towards : {false, true}) {
    for (const int first : {same, -same}) {
      for (const int last : {same, -same}) {
        if (!found()) scan_straights(first, last, towards);
      }
    }
  }
  climb_in_turn();
  return best_;
}

}  // namespace backfield::flight
