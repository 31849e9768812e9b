#pragma once
// The readers of the YAML files: cases, aircraft, aerodromes and policies.
//
// All of them report everything they find at once, in the order of the file. A value comes with warnings and notes
// only; a note is something the reader had to assume, as a plain sentence.

#include "backfield/base/finding.hpp"
#include "backfield/decision/case.hpp"

#include <string>
#include <vector>

namespace backfield::io {

/// kind `aircraft/1`.
Loaded<aircraft::Aircraft> load_aircraft(const std::string& path);

/// kind `policy/1`.
Loaded<decision::Policy> load_policy(const std::string& path);

/// An aerodrome file, with positions in the frame whose origin is `aerodrome.reference_point`.
struct AerodromeFile {
  earth::Aerodrome aerodrome;
  std::vector<std::pair<std::string, earth::RunwayMark>> marks;  ///< designator of the end they are measured from, mark
  std::optional<Angle> variation;                                ///< east positive
  earth::Ground ground;
  bool invented = false;
};

/// kind `aerodrome/1`.
Loaded<AerodromeFile> load_aerodrome(const std::string& path);

/// Of which departure an answer is asked.
enum class Asked { stated_runway, every_runway };

/// kind `case/1`, with the files it names. Paths in a case are relative to the case's own folder; `policy: default` and
/// `policy: plain` name files of shipped_data_directory(). Departure figures outside what the aircraft file covers are
/// errors that name axis, value and end.
///
/// asked       every_runway: whether the stated runway itself can be departed from is left to who compares them all
Loaded<decision::Case> load_case(const std::string& path, Asked asked = Asked::stated_runway);

/// Reads any of the four by its first key, computes nothing, and returns what there is to say about it.
std::vector<Finding> check(const std::string& path);

/// FNV-1a, 64 bit, as 16 hexadecimal digits: tells two versions of a file apart; no protection against intent.
/// source      G. Fowler, L. C. Noll, K.-P. Vo, D. Eastlake: The FNV Non-Cryptographic Hash Algorithm
/// test        tests/unit/checksum_test.cpp, published values
std::string checksum(const std::string& bytes);

}  // namespace backfield::io
