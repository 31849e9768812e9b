#include "found.hpp"

#include "settle.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

constexpr double kRefineWithin_m = 30.0;  // of the need: farther off, a foot more or less decides nothing
constexpr double kFirstLook_m = 20.0;     // of height, that the best between two looks is above them, at least ...
constexpr double kFirstLook_rad = 0.8;    // ... and more for an aeroplane that turns wide: what a turn by so much costs
constexpr double kOff_m = 0.3;            // of height, that a path from the tables may be off by ...
constexpr double kOffAlong_m = 3.0;       // ... and along the runway
constexpr int kHalvings = 10;
constexpr int kLimitHalvings = 14;       // for the highest alignment that a final can be flown from ...
constexpr double kBelowLimit_m = 0.1;    // ... of height, near enough
constexpr int kCornerLooks = 8;          // for alignment just in time ...
constexpr double kCornerSlack = 3.0;     // times what the best between two looks is above them otherwise
constexpr double kCornerWithin_m = 1.0;  // ... on the ground
constexpr double kLeastShare = 0.1;      // of what is left between two looks, that the next is away from either

}  // namespace

Found::Found(const Question& question)
    : q_(question),
      first_look_(std::max(kFirstLook_m, kFirstLook_rad * question.target.line_up.loss_per_radian())),
      best_{Worth{}},
      landing_{Room{question.target.aim_high}} {}

double Found::refine_within() const { return kRefineWithin_m - kFirstLook_m + first_look_; }

bool Found::near_need(const Connection& c) const {
  // A first look may take the best for so much worse.
  const double within = refine_within() + (q_.wanted.to_inches ? first_look_ : 0.0);
  if (c.surplus == kNoSurplus) return c.too_far * kHeightPerAim < within;
  return std::abs(c.surplus - kReserve_m) < within;
}

double Found::nobody_cares_below() const {
  const auto of = [&](const Best& side) {
    if (!matters(side)) return std::numeric_limits<double>::infinity();
    return side.lands ? side.best.surplus : std::min(side.best.surplus, kReserve_m);
  };
  const double floor = q_.wanted.far_off ? kNoSurplus : kReserve_m - refine_within();
  return std::max(floor, std::min(of(sides[0]), of(sides[1])));
}

void Found::begin_family() {
  best_.begin();
  landing_.begin();
  previous_.reset();
}

void Found::take(const Connection& c) {
  const bool joined = previous_ && q_.same_family(*previous_, c);
  if (c.parameter != Parameter::delay) {  // delays are not looked for to be climbed
    best_.look(c, joined);
    landing_.look(c, joined);
  }
  if (c.on_axis) {
    Best& side = side_of(c);
    note(side, c);
    note_crossing(c);
    if (joined) {
      between(side, *previous_, c);
      just_in_time(side, *previous_, c);
    }
  }
  if (previous_ && (previous_->too_high > 0.0) != (c.too_high > 0.0)) {
    if (c.too_high > 0.0) {
      just_not_too_high(c, *previous_);
    } else {
      just_not_too_high(*previous_, c);
    }
  }
  previous_ = c;
}

void Found::note(Best& side, const Connection& c) {
  if (!c.on_axis) return;
  side.connects = true;
  if (c.over >= kReserve_m) side.past_end = std::min(side.past_end, c.aim - q_.target.aim_high);
  if (Worth{}(c) > Worth{}(side.best)) side.best = c;
  if (within(c, q_.target)) propose(side, {c, c.value()});
}

void Found::note_crossing(const Connection& c) {
  if (c.parameter != Parameter::heading || c.over < kReserve_m) return;
  Connection& squarest = crossings_[index(side_of(c))][2 * index_of(c.first_sense) + index_of(c.last_sense)];
  if (!squarest.on_axis || std::abs(std::sin(c.last)) > std::abs(std::sin(squarest.last))) squarest = c;
}

void Found::between(Best& side, const Connection& a, const Connection& b) {
  const Connection& high = a.surplus > b.surplus ? a : b;
  const Connection& low = a.surplus > b.surplus ? b : a;
  if (low.surplus > kNoSurplus) {
    // Height to spare here and too little there: one in between ends where it should.
    if (high.surplus >= kReserve_m && low.surplus < kReserve_m) propose(side, {high, low.value()});
    return;
  }
  if (high.surplus == kNoSurplus) return;
  // How much there is to spare matters near nothing only.
  if (side.lands && std::abs(side.best.surplus - kReserve_m) > refine_within()) return;
  // Aligned too far down the runway there, and not here: the best one in between is aligned just not too far.
  Connection best = high;
  double good = high.value();
  double bad = low.value();
  for (int i = 0; i < kHalvings; ++i) {
    const double mid = 0.5 * (good + bad);
    const Connection c = q_.read(high, mid);
    if (!q_.same_family(high, c)) return;
    if (c.surplus == kNoSurplus) {
      bad = mid;
      continue;
    }
    good = mid;
    best = c;
  }
  note(side, best);
  if (best.surplus > high.surplus) best_.add({best, std::min(good, high.value()), std::max(good, high.value())});
  if (best.surplus >= kReserve_m && high.surplus < kReserve_m) propose(side, {best, high.value()});
}

void Found::just_not_too_high(const Connection& high, const Connection& other) {
  if (other.on_axis && !q_.same_word(high, other)) return;
  Best& side = side_of(high);
  if (settled(side) || (other.on_axis && other.surplus >= kReserve_m)) return;
  const double limit = q_.target.final.clean().flyable_up_to();
  Connection last = other;
  Connection top;
  double bad = high.value();
  double good = other.value();
  for (int i = 0; i < kLimitHalvings && !(last.on_axis && last.alignment > limit - kBelowLimit_m); ++i) {
    const double mid = 0.5 * (good + bad);
    const Connection c = q_.read(high, mid);
    if (c.too_high > 0.0) {
      bad = mid;
      continue;
    }
    good = mid;
    if (!c.on_axis) continue;
    if (!q_.same_word(high, c)) return;
    note(side, c);
    if (q_.same_family(last, c)) {
      between(side, last, c);
      just_in_time(side, last, c);
    }
    if (!top.on_axis || Worth{}(c) > Worth{}(top)) top = c;
    last = c;
  }
  if (top.on_axis) best_.add({top, std::min(other.value(), bad), std::max(other.value(), bad)});
}

void Found::just_in_time(Best& side, const Connection& a, const Connection& b) {
  if ((a.too_soon < 0.0) == (b.too_soon < 0.0) || a.surplus == kNoSurplus || b.surplus == kNoSurplus) return;
  // Looks may lie far to either side of a corner: one look near it tells more.
  const auto hopeless = [&](const Connection& c, double slack) {
    return c.surplus + slack * first_look_ < std::max(side.best.surplus, kReserve_m - refine_within());
  };
  Connection best = a.surplus > b.surplus ? a : b;
  if (hopeless(best, kCornerSlack) || settled(side)) return;
  double from = a.value();
  double to = b.value();
  double soon_from = a.too_soon;
  double soon_to = b.too_soon;
  for (int i = 0; i < kCornerLooks; ++i) {
    const double at =
        from + (to - from) * std::clamp(soon_from / (soon_from - soon_to), kLeastShare, 1.0 - kLeastShare);
    const Connection c = q_.read(best, at);
    if (!q_.same_family(best, c) || c.surplus == kNoSurplus) break;
    if (c.surplus > best.surplus) best = c;
    if (hopeless(best, 1.0)) break;
    const bool like_from = (c.too_soon < 0.0) == (soon_from < 0.0);
    (like_from ? from : to) = at;
    (like_from ? soon_from : soon_to) = c.too_soon;
    if (std::abs(c.too_soon) < kCornerWithin_m) break;
  }
  if (best.value() == a.value() || best.value() == b.value()) return;
  note(side, best);
  best_.add({best, std::min(a.value(), b.value()), std::max(a.value(), b.value())});
  for (const Connection* end : {&a, &b}) {
    if (best.surplus >= kReserve_m && end->surplus < kReserve_m) propose(side, {best, end->value()});
  }
}

void Found::propose(Best& side, const Proposal& p) {
  side.lands = true;
  Proposals& all = proposals_[index(side)][p.landing.once_round() ? 1 : 0];
  Proposal* place = p.lands_itself()                 ? &all.lands[static_cast<std::size_t>(p.landing.parameter)]
                    : all.count < all.between.size() ? &all.between[all.count]
                                                     : nullptr;
  const bool worse =
      p.lands_itself() && within(place->landing, q_.target) && place->landing.surplus > p.landing.surplus;
  if (place == nullptr || worse) return;
  *place = p;
  if (!p.lands_itself()) ++all.count;
}

bool Found::Proposals::any() const {
  return count > 0 || std::any_of(lands.begin(), lands.end(), [](const Proposal& p) { return p.landing.on_axis; });
}

void Found::confirm(Best& side) {
  if (!side.lands) return;
  std::array<Proposals, 2>& both = proposals_[index(side)];
  for (const Proposals& all : both) {
    for (const Proposal& p : all.lands) {
      if (within(p.landing, q_.target) && confirm(side, p)) return;
    }
    for (std::size_t i = 0; i < all.count; ++i) {
      if (confirm(side, all.between[i])) return;
    }
  }
  side.lands = confirm(side, {side.best, side.best.value()});
  if (!side.lands) both = {};  // flown in vain
}

bool Found::confirm(Best& side, const Proposal& p) const {
  Connection path = q_.fly(p.landing, p.landing.value());
  if (!within(path, q_.target)) path = look_between(p, path);
  side.landing = path;
  side.beyond = path.value();
  return within(path, q_.target);
}

/// In the tables first, with a little in hand for what they are off by.
Connection Found::look_between(const Proposal& p, const Connection& flown) const {
  const Between tabled{q_.fan, q_.target, p.landing, {kReserve_m + kOff_m, q_.target.aim_high - kOffAlong_m}, 1e9};
  double low = p.beyond;
  if (p.lands_itself()) {
    const auto beyond = tabled.walk(q_.screen);
    if (!beyond) return flown;
    low = *beyond;
  }
  const Connection about = tabled.halve(q_.screen, low, p.landing);
  if (tabled.done(about)) {
    const Connection path = q_.fly(about, about.value());
    if (within(path, q_.target)) return path;
  }
  const Between exactly{q_.fan, q_.target, p.landing, {kReserve_m, q_.target.aim_high}, 1e9};
  return exactly.halve(q_.approach, low, flown);
}

}  // namespace backfield::flight
