#include "backfield/earth/post_heights.hpp"

#include <cmath>

namespace backfield::earth {

PostHeights::PostHeights(std::size_t count, float height_m) {
  if (is_whole(height_m)) {
    whole_.assign(count, std::isnan(height_m) ? kVoid : static_cast<std::int16_t>(height_m));
  } else {
    fine_.assign(count, height_m);
  }
}

bool PostHeights::is_whole(float height_m) {
  return std::isnan(height_m) || (std::abs(height_m) < 32'000.0F && height_m == std::trunc(height_m));
}

void PostHeights::make_fine() {
  fine_.reserve(whole_.capacity());
  for (const std::int16_t whole : whole_) fine_.push_back(as_float(whole));
  whole_ = {};
}

void PostHeights::reserve(std::size_t count) {
  if (fine_.empty()) {
    whole_.reserve(count);
  } else {
    fine_.reserve(count);
  }
}

void PostHeights::push_back(float height_m) {
  if (fine_.empty() && is_whole(height_m)) {
    whole_.push_back(std::isnan(height_m) ? kVoid : static_cast<std::int16_t>(height_m));
    return;
  }
  if (fine_.empty()) make_fine();
  fine_.push_back(height_m);
}

void PostHeights::set(std::size_t i, float height_m) {
  if (fine_.empty() && is_whole(height_m)) {
    whole_[i] = std::isnan(height_m) ? kVoid : static_cast<std::int16_t>(height_m);
    return;
  }
  if (fine_.empty()) make_fine();
  fine_[i] = height_m;
}

void PostHeights::append(const PostHeights& from, std::size_t first, std::size_t count) {
  for (std::size_t i = first; i < first + count; ++i) push_back(from[i]);
}

}  // namespace backfield::earth
