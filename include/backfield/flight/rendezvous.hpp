#pragma once
// Essay to come.

#include "backfield/aircraft/performance.hpp"
#include "backfield/earth/environment.hpp"
#include "backfield/flight/path.hpp"

#include <memory>
#include <optional>
#include <vector>

namespace backfield::flight {

/// Left turn, right turn, straight.
enum class Word { lsl, rsr, lsr, rsl, lrl, rlr };
constexpr const char* name_of(Word word) {
  constexpr const char* kNames[] = {"LSL", "RSR", "LSR", "RSL", "LRL", "RLR"};
  return kNames[static_cast<int>(word)];
}

struct RendezvousSetup {
  const aircraft::Performance* performance = nullptr;  ///< must outlive nothing: what is needed is copied
  double glide_factor = 1.0;                           ///< on the book glide ratio, > 0
  Model model;                                         ///< EntryRule has no say here
  earth::Environment environment;
  earth::Altitude datum;  ///< elevation of the departure aerodrome, from which heights are measured
  Angle first_bank;       ///< of the first turn, and of the middle one of three; 3 to 85 degrees
  Angle last_bank;        ///< 3 to 85 degrees
  Cas first_speed;        ///< in the first turn, > 0
  Cas last_speed;         ///< in the last turn, > 0; a straight is flown at best glide speed
  Length height_given{};  ///< with RollRule::allowance: given away at the start
  Length top{};           ///< highest start asked for, above the datum
};

/// A steady wings-level glide at best glide speed.
struct GlidePose {
  earth::Position position;      ///< local frame
  earth::TrueDirection heading;  ///< of the air path
  Length height{};               ///< above the datum
};

/// A place, and the direction there; the height is a result.
struct RendezvousGoal {
  enum class Along { track, heading };
  earth::Position position;
  earth::TrueDirection direction;
  Along along = Along::track;  ///< is `direction` the track over the ground or the heading of the air path
};

struct RendezvousResult {
  Word word = Word::lsl;
  Angle first_turn{};   ///< right +
  Angle middle_turn{};  ///< right +; 0 in words with a straight
  Angle last_turn{};    ///< right +
  Duration straight{};  ///< 0 in words of three turns
  Duration time{};      ///< of the whole path
  Length end_height{};  ///< above the datum
};

class Rendezvous {
 public:
  explicit Rendezvous(const RendezvousSetup& setup);
  ~Rendezvous();
  Rendezvous(Rendezvous&&) noexcept;
  Rendezvous& operator=(Rendezvous&&) noexcept;

  [[nodiscard]] std::vector<RendezvousResult> all(const GlidePose& from, const RendezvousGoal& to) const;
  [[nodiscard]] std::optional<RendezvousResult> best(const GlidePose& from, const RendezvousGoal& to) const;
  [[nodiscard]] Path path(const GlidePose& from, const RendezvousResult& result) const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace backfield::flight
