#include "backfield/report/text.hpp"

#include "parts.hpp"

#include <algorithm>

namespace backfield::report {
namespace {

constexpr std::size_t kHead = 3;  // heading, rule and an empty line

struct Sheet {
  std::string heading;
  Lines lines;
};

/// A section cut into sheets; a sheet breaks at an empty line where one is near, and begins with none.
std::vector<Sheet> sheets(const Section& section) {
  constexpr std::size_t kRoom = kPageLines - kHead;
  std::vector<Sheet> all;
  for (auto at = section.lines.begin(); at != section.lines.end();) {
    const auto left = static_cast<std::size_t>(section.lines.end() - at);
    auto end = at + static_cast<std::ptrdiff_t>(std::min(left, kRoom));
    if (end != section.lines.end()) {
      const auto breaks = std::find_if(std::make_reverse_iterator(end), std::make_reverse_iterator(at + kRoom / 2),
                                       [](const std::string& line) { return line.empty(); });
      if (breaks.base() != at + kRoom / 2) end = breaks.base();
    }
    all.push_back({section.heading + (all.empty() ? "" : ", continued"), Lines(at, end)});
    at = std::find_if(end, section.lines.end(), [](const std::string& line) { return !line.empty(); });
  }
  return all;
}

std::string pages(std::size_t first, std::size_t last) {
  if (first == last) return "page " + number(static_cast<double>(first));
  return "pages " + number(static_cast<double>(first)) + " to " + number(static_cast<double>(last));
}

std::string refusal(const Brief& brief) {
  Lines lines = title(brief.the_case);
  append(lines, wrapped(ascii(brief.answer.refusal), kPageColumns, "NO ANSWER: "));
  lines.emplace_back();
  append(lines, cautions(brief.answer));
  return joined(lines, "\n") + "\n";
}

}  // namespace

std::string text(const decision::Case& the_case, const decision::Answer& answer) {
  const Brief brief{the_case, answer};
  if (!answer.refusal.empty()) return refusal(brief);

  FirstPage first = first_page(brief);
  Section numbers = options_and_numbers(brief);
  numbers.lines.insert(numbers.lines.begin(), first.moved.begin(), first.moved.end());
  std::vector<Sheet> all = sheets(numbers);
  const std::size_t last_of_numbers = all.size() + 1;
  for (Sheet& sheet : sheets(assumptions(brief))) all.push_back(std::move(sheet));
  const std::size_t last = all.size() + 1;
  first.lines.push_back("Continued: " + pages(2, last_of_numbers) + ", " + numbers.heading + "; " +
                        pages(last_of_numbers + 1, last) + ", assumptions.");

  std::string text = joined(first.lines, "\n") + "\n";
  for (std::size_t i = 0; i < all.size(); ++i) {
    text += "\fpage " + number(static_cast<double>(i + 2)) + " of " + number(static_cast<double>(last)) + ": " +
            all[i].heading + "\n" + std::string(kPageColumns, '-') + "\n\n" + joined(all[i].lines, "\n") + "\n";
  }
  return text;
}

}  // namespace backfield::report
