#pragma once
// The aerodromes of a case: from its own files, from the open catalogue, and what the case states about the latter.

#include "fields.hpp"

#include "backfield/io/load.hpp"

#include <filesystem>

namespace backfield::io {

/// What a case is put together from.
struct Parts {
  std::vector<Finding> nested;            ///< of the files the case names
  std::vector<AerodromeFile> aerodromes;  ///< own ones first
  std::vector<std::string> attributions;
};

/// A path in a case is relative to the folder of the case.
std::string beside(const Document& document, const std::string& path);

/// Reads the file that `value` names; what is found in it goes to `parts.nested`, an absent file to the case.
/// load        from a path to a Loaded<T>
template <class Load>
auto load_named(const Value& value, const std::string& path, const Load& load, const std::string& accepted,
                Parts& parts) -> decltype(load(path).value) {
  std::error_code ignored;
  if (!std::filesystem::exists(path, ignored)) {
    value.refuse(accepted, "there is no file " + path);
    return std::nullopt;
  }
  auto loaded = load(path);
  append(parts.nested, std::move(loaded.findings));
  return std::move(loaded.value);
}

/// Reads `aerodromes`, `catalogue` and `runways`.
/// home_id     of the departure aerodrome, which is looked for in the files first and then in the catalogue
/// returns     whether all of it could be read, so that an absent aerodrome really is absent
bool read_places(const Fields& root, const std::string& home_id, Parts& parts);

/// The aerodrome with this id, or null.
const AerodromeFile* find_aerodrome(const Parts& parts, const std::string& id);

}  // namespace backfield::io
