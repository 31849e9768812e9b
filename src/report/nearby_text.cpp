#include "format.hpp"
#include "nearby_cautions.hpp"

#include "backfield/report/nearby.hpp"
#include "backfield/report/text.hpp"

#include <algorithm>

namespace backfield::report {
namespace {

constexpr std::size_t kWidth = kPageColumns;
constexpr int kAiracCycle_days = 28;  // ICAO Annex 15: the interval at which aeronautical information changes

std::string place(earth::Geodetic where) {
  const double latitude_deg = in_degrees(where.latitude);
  const double longitude_deg = in_degrees(where.longitude);
  return number(std::abs(latitude_deg), 4) + (latitude_deg < 0.0 ? " S, " : " N, ") +
         number(std::abs(longitude_deg), 4) + (longitude_deg < 0.0 ? " W" : " E");
}

std::string distance(Length v) { return number(in_nautical_miles(v), 1) + " NM"; }

/// "007", and "000" for a little less than 360.
std::string three_digits(earth::TrueDirection v) {
  const std::string digits = number(std::fmod(std::round(v.deg()), 360.0));
  return std::string(3 - std::min<std::size_t>(digits.size(), 3), '0') + digits;
}

std::string where(const earth::NearbyAerodrome& a) {
  if (in_metres(a.distance) < 1.0) return "here";
  return distance(a.distance) + (a.bearing ? " on " + three_digits(*a.bearing) + " deg true" : "");
}

std::string runway(const earth::NearbyRunway& r) {
  std::string text = ascii(r.ends[0].designator) + "/" + ascii(r.ends[1].designator) + ": " +
                     m(r.ends[0].pavement, Rounding::down) +
                     (r.width ? " x " + m(*r.width, Rounding::down) : ", width not stated") + "; surface " + r.surface;
  if (!r.surface_as_written.empty() && r.surface_as_written != r.surface) {
    text += " (\"" + ascii(r.surface_as_written, 30) + "\")";
  }
  const bool from_catalogue = r.ends[0].provenance == earth::Provenance::catalogue;
  text += r.ends[0].lit ? "; lit" : from_catalogue ? "; no lights stated" : "; not lit";
  for (const earth::RunwayEnd& end : r.ends) {
    text += "; landing " + ascii(end.designator) + " on " + three_digits(end.track) + " deg true: ";
    text += end.lda ? "LDA " + m(*end.lda, Rounding::down)
                    : m(earth::NearbyRunway::to_land_on(end), Rounding::down) + " behind the threshold";
  }
  return text;
}

void add_aerodrome(Lines& lines, const earth::NearbyAerodrome& a) {
  std::string head = ascii(a.id) + ", " + where(a) + ": " + ascii(a.name, 60);
  if (!a.country.empty()) head += ", " + ascii(a.country);
  append(lines, wrapped(head + ", elevation " + ft(a.elevation.above_sea_level), kWidth));
  const auto say = [&lines](const std::string& text) { append(lines, wrapped(text, kWidth, "    ")); };
  for (const earth::NearbyRunway& r : a.runways) say(runway(r));
  Lines calls;
  for (const auto& [service, frequency] : a.frequencies) calls.push_back(service + " " + ascii(frequency, 20));
  say(calls.empty() ? "no frequency known" : "frequencies: " + joined(calls, ", "));
  if (a.left_out > 0) say("left out: " + number(a.left_out) + (a.left_out == 1 ? " runway" : " runways"));
  if (a.from_own_file) say("own file; source: " + ascii(a.source));
  for (const std::string& remark : a.remarks) say("note: " + ascii(remark));
  lines.emplace_back();
}

std::string age(const earth::Nearby& n) {
  std::string text = n.stamped_by_file ? "files written on " : "data of ";
  text += ascii(n.stamped);
  if (n.stamped_by_file) text += " (the data itself states no day)";
  if (n.age_days) text += ", " + number(*n.age_days) + (*n.age_days == 1 ? " day old" : " days old");
  return text;
}

}  // namespace

std::vector<std::string> nearby_cautions(const earth::Nearby& nearby) {
  std::vector<std::string> all{
      "Open data that volunteers collect and nobody warrants; not for navigation. The current AIP, charts, NOTAM, "
      "local "
      "procedures and the authority prevail.",
      "Near does not mean within glide: nothing is said here about what can be reached, or landed on, after a failure. "
      "Flight manual, operations manual and training with a qualified instructor come first.",
      "Lengths are of pavement and what is behind the landing threshold, not declared distances, unless LDA is written "
      "before them. Obstacles, slopes, closures, permission and opening hours are not known here.",
      "An aerodrome that is not listed may exist all the same: runways whose figures contradict each other are left "
      "out."};
  if (!nearby.age_days) {
    all.push_back("The day of the question is not known, so the age of the data is not either.");
  } else if (*nearby.age_days < 0) {
    all.push_back("The data is dated later than today: one of the two days is wrong.");
  } else if (*nearby.age_days > kAiracCycle_days) {
    all.push_back("The data is older than one AIRAC cycle of 28 days: what has changed since is not in it.");
  }
  return all;
}

std::string nearby_text(const earth::Nearby& nearby) {
  const std::string rule(kWidth, '-');
  Lines lines =
      wrapped("BACKFIELD what is near " + ascii(nearby.centre.empty() ? nearby.place : nearby.centre), kWidth);
  lines.push_back("Centre " + place(nearby.centre_at) + " (WGS 84); within " + distance(nearby.within));
  append(lines, wrapped("Catalogue " + ascii(nearby.catalogue) + ": " + age(nearby), kWidth));
  lines.push_back(rule);
  if (nearby.aerodromes.empty()) {
    lines.emplace_back("NONE: no aerodrome with a usable runway within this distance.");
    if (nearby.nearest_beyond) {
      lines.emplace_back("The nearest one:");
      add_aerodrome(lines, *nearby.nearest_beyond);
    }
  } else {
    const double count = static_cast<double>(nearby.aerodromes.size());
    lines.push_back(number(count) + (count == 1.0 ? " aerodrome" : " aerodromes") +
                    " with a usable runway, nearest first, longest runway first:");
    lines.emplace_back();
    for (const earth::NearbyAerodrome& a : nearby.aerodromes) add_aerodrome(lines, a);
  }
  if (!nearby.left_out.empty()) {
    lines.emplace_back("RUNWAYS LEFT OUT within this distance");
    for (const auto& [reason, count] : nearby.left_out) lines.push_back("  " + number(count) + "  " + ascii(reason));
  }
  for (const std::string& warning : nearby.warnings) append(lines, wrapped(ascii(warning), kWidth, "WARNING "));
  lines.push_back(rule);
  append(lines, wrapped(joined(nearby_cautions(nearby), " "), kWidth, "CAUTIONS: "));
  append(lines, wrapped(ascii(nearby.attribution), kWidth));
  return joined(lines, "\n") + "\n";
}

}  // namespace backfield::report
