// What a runway is made of, from the many ways in which volunteers write it.
//
// Abbreviations as aeronautical publications use them, from memory. A spelling that is not in the list is unknown, and
// so is one that names two kinds of surface ("ASPH-TURF"), unless both are paved: then the first counts. The reader of
// the brief has to look an unknown one up, and gains nothing by a guess. Condition and treatment ("-G", "GOOD",
// "GROOVED") do not change the kind.

#include "catalogue_source.hpp"

#include <algorithm>
#include <array>

namespace backfield::io {
namespace {

using S = CatalogueSurface;

struct Spelling {
  std::string_view word;
  CatalogueSurface surface;
};

// clang-format off
constexpr std::array kSpellings = {
    Spelling{"ASPHALT", S::asphalt}, Spelling{"ASPH", S::asphalt}, Spelling{"ASP", S::asphalt},
    Spelling{"BIT", S::asphalt}, Spelling{"BITUMEN", S::asphalt}, Spelling{"BITUMINOUS", S::asphalt},
    Spelling{"TARMAC", S::asphalt}, Spelling{"TAR", S::asphalt}, Spelling{"MACADAM", S::asphalt}, Spelling{"MAC", S::asphalt},
    Spelling{"CONCRETE", S::concrete}, Spelling{"CONC", S::concrete}, Spelling{"CON", S::concrete},
    Spelling{"CEMENT", S::concrete}, Spelling{"BETON", S::concrete},
    Spelling{"METAL", S::metal}, Spelling{"PSP", S::metal}, Spelling{"MATS", S::metal}, Spelling{"STEEL", S::metal},
    Spelling{"ALUM", S::metal}, Spelling{"ALUMINUM", S::metal}, Spelling{"ALUMINIUM", S::metal},
    Spelling{"GRASS", S::grass}, Spelling{"GRS", S::grass}, Spelling{"GRAS", S::grass}, Spelling{"TURF", S::grass},
    Spelling{"SOD", S::grass},
    Spelling{"GRAVEL", S::gravel}, Spelling{"GRVL", S::gravel}, Spelling{"GVL", S::gravel}, Spelling{"GRE", S::gravel},
    Spelling{"GRV", S::gravel},
    Spelling{"DIRT", S::dirt}, Spelling{"EARTH", S::dirt}, Spelling{"SOIL", S::dirt}, Spelling{"CLAY", S::dirt},
    Spelling{"CLA", S::dirt}, Spelling{"LATERITE", S::dirt}, Spelling{"LAT", S::dirt},
    Spelling{"WATER", S::water}, Spelling{"WATE", S::water}, Spelling{"WAT", S::water},
};
constexpr std::array<std::string_view, 11> kOfNoWeight = {"G", "F", "P", "E", "GOOD", "FAIR", "POOR", "EXCELLENT",
                                                         "GROOVED", "GRVD", "PFC"};
// clang-format on

bool is_letter(char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); }
bool is_separator(char c) { return c == ' ' || c == '-' || c == '/' || c == ',' || c == '_' || c == '+' || c == '&'; }

bool paved(CatalogueSurface s) { return s == S::asphalt || s == S::concrete; }

}  // namespace

CatalogueSurface read_surface(std::string_view text) {
  std::optional<CatalogueSurface> named;
  for (std::size_t i = 0; i < text.size();) {
    if (is_separator(text[i])) {
      ++i;
      continue;
    }
    std::string word;
    for (; i < text.size() && !is_separator(text[i]); ++i) {
      if (!is_letter(text[i])) return S::unknown;
      word += static_cast<char>(text[i] & ~0x20);
    }
    const auto is_word = [&word](const Spelling& s) { return s.word == word; };
    const auto spelling = std::find_if(kSpellings.begin(), kSpellings.end(), is_word);
    if (spelling == kSpellings.end()) {
      if (std::find(kOfNoWeight.begin(), kOfNoWeight.end(), word) == kOfNoWeight.end()) return S::unknown;
    } else if (!named || *named == spelling->surface) {
      named = spelling->surface;
    } else if (!paved(*named) || !paved(spelling->surface)) {
      return S::unknown;
    }
  }
  return named.value_or(S::unknown);
}

}  // namespace backfield::io
