#pragma once
// A finding as the lines a person reads.

#include "backfield/base/finding.hpp"

#include <string>
#include <vector>

namespace backfield::io {

/// One finding, ending in a newline:
///
///   case.yaml:14:9: weather.wind: found "270/15", accepted ...
///      14 |   wind: 270/15
///         |         ^~~~~~
///     hint: ...
///
/// Warnings and notes carry the word before the key. Parts that are empty are left out.
std::string render(const Finding& finding);

/// All of them, one after another.
std::string render(const std::vector<Finding>& findings);

}  // namespace backfield::io
