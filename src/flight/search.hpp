#pragma once
// All words of two turns and a straight to one goal: the best of each side, and one that ends where it should.
//
// `looks` goes along the families of paths and shows what it sees to `found`, which keeps the best, the peaks and what
// may land; `finish` climbs the peaks, flies what is claimed, and makes room or delays the turn where there is height
// to spare and nothing lands.

#include "question.hpp"

namespace backfield::flight {

/// [0] left, [1] right.
std::array<Best, 2> search(const Question& question);

}  // namespace backfield::flight
