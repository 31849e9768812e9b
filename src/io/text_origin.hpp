#pragma once
// Where a text that stands inside a file begins, and findings about places in it.

#include "fields.hpp"

#include "backfield/io/metar.hpp"

namespace backfield::io {

/// Where the text of a scalar begins: after an opening quote; a block starts on its next line. Nullopt when the text
/// was folded, so that a place in it is no place in the file.
std::optional<TextOrigin> text_origin(const Value& value);

/// A finding that points at byte `at` of `text`; severity and words are for the caller to fill in.
Finding finding_at(std::string_view text, std::size_t at, const TextOrigin& origin);

/// What a reader of a text found, told about the scalar that the text stands in; notes are left out.
void tell(const Value& value, const std::optional<TextOrigin>& origin, const std::vector<Finding>& findings);

}  // namespace backfield::io
