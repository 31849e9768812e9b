#pragma once
// Heights of many posts, in two bytes each as long as all of them are whole metres, which elevation models mostly are.

#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

namespace backfield::earth {

/// Floats in a row; what is read is what was written. NaN is a void.
class PostHeights {
 public:
  PostHeights() = default;
  PostHeights(std::size_t count, float height_m);

  [[nodiscard]] std::size_t size() const { return fine_.empty() ? whole_.size() : fine_.size(); }
  [[nodiscard]] float operator[](std::size_t i) const { return fine_.empty() ? as_float(whole_[i]) : fine_[i]; }
  void reserve(std::size_t count);
  void push_back(float height_m);
  void set(std::size_t i, float height_m);
  /// Appends `count` heights of another row, from `first` on.
  void append(const PostHeights& from, std::size_t first, std::size_t count);

 private:
  static constexpr std::int16_t kVoid = -32768;
  [[nodiscard]] static float as_float(std::int16_t whole);
  [[nodiscard]] static bool is_whole(float height_m);
  void make_fine();

  std::vector<std::int16_t> whole_;
  std::vector<float> fine_;  ///< all of them, as soon as one is not whole; then the others are gone
};

inline float PostHeights::as_float(std::int16_t whole) {
  return whole == kVoid ? std::numeric_limits<float>::quiet_NaN() : static_cast<float>(whole);
}

}  // namespace backfield::earth
