#include "read_aerodrome.hpp"

#include "read_figure.hpp"
#include "read_ground.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace backfield::io {
namespace {

constexpr Range kElevation{-1500, 15000, "ft", -400, 7000};
constexpr Range kRunwayLength{150, 6500, "m", 600, 4000};
constexpr Range kDeclared{50, 7500, "m"};
constexpr double kRoundingOfLengths = 1.01;  // charts round lengths; the sum of two rounded ones may exceed the third

const Length kMarksAgree = metres(30);  // of one place measured from both ends

const earth::RunwayMark* find_mark(const std::vector<earth::RunwayMark>& marks, const std::string& name) {
  const auto found = std::find_if(marks.begin(), marks.end(), [&name](const auto& mark) { return mark.name == name; });
  return found == marks.end() ? nullptr : &*found;
}

earth::MarkSide opposite(earth::MarkSide side) {
  if (side == earth::MarkSide::both) return side;
  return side == earth::MarkSide::left ? earth::MarkSide::right : earth::MarkSide::left;
}

/// What a file says about one end, before the geometry is worked out.
struct StatedEnd {
  Value value;
  Fields fields;
  std::string designator;
  std::optional<earth::Geodetic> position;
  std::optional<earth::TrueDirection> bearing;
  std::optional<Length> elevation;
  std::optional<double> slope;
};

/// Angle between two directions, 0..180 degrees.
double degrees_between(earth::TrueDirection a, earth::TrueDirection b) {
  return std::abs(in_degrees(earth::turn_between(a, b)));
}

std::string opposite_designator(const std::string& designator) {
  const int number = std::stoi(designator.substr(0, 2));
  const int other = number > 18 ? number - 18 : number + 18;
  std::string text = (other < 10 ? "0" : "") + std::to_string(other);
  if (designator.size() == 3) text += designator[2] == 'L' ? 'R' : designator[2] == 'R' ? 'L' : designator[2];
  return text;
}

StatedEnd read_end(const Value& value, const std::optional<Angle>& variation) {
  StatedEnd end{value,
                Fields(value, {"designator", "position", "bearing", "elevation", "slope", "tora", "toda", "asda", "lda",
                               "displaced_threshold", "marks"}),
                {},
                {},
                {},
                {},
                {}};
  if (const auto designator = end.fields.need("designator", R"(a runway designator such as "09" or "27L")")) {
    end.designator = read_designator(*designator).value_or("");
  }
  if (const auto position = end.fields.get("position")) end.position = read_position(*position);
  if (const auto stated = end.fields.get("bearing")) {
    if (const auto bearing = stated->bearing()) {
      if (bearing->magnetic && !variation) {
        stated->refuse("a true bearing", "a magnetic one needs \"variation\" in this file");
      } else {
        end.bearing = bearing->to_true(variation.value_or(Angle{}));
      }
    }
  }
  end.elevation = end.fields.get_quantity<Length>("elevation", Dimension::length, kElevation);
  if (const auto slope = end.fields.get("slope")) { end.slope = slope->si(Dimension::percent, {-12, 12, "%", -2, 2}); }
  return end;
}

void check_pair(const StatedEnd& a, const StatedEnd& b) {
  if (!a.designator.empty() && !b.designator.empty() && b.designator != opposite_designator(a.designator)) {
    b.fields.get("designator")
        ->refuse("\"" + opposite_designator(a.designator) + "\", the other end of " + a.designator);
  }
  if (a.bearing && b.bearing && degrees_between(*a.bearing, b.bearing->reciprocal()) > 1.0) {
    b.fields.get("bearing")->refuse("the reciprocal of the other end's bearing, within 1 deg");
  }
}

/// Positions of both ends of the pavement, from two positions or from one with its bearing and the length.
bool place_ends(const Value& runway_length, std::array<StatedEnd, 2>& ends, Length length) {
  if (ends[0].position && ends[1].position) {
    const Length apart = earth::geodesic(*ends[0].position, *ends[1].position).length;
    if (std::abs(apart.si() - length.si()) > 0.05 * length.si()) {
      std::string hint = "length and positions must agree within 5 %";
      if (std::abs(apart.si() - length.si() * kMetresPerFoot) < 0.05 * apart.si()) hint = "is the length in feet?";
      if (apart > metres(50'000)) hint = "are latitude and longitude swapped at one end, or is a letter wrong?";
      runway_length.refuse(plain(std::round(apart.si())) + " m, the distance between the positions of the two ends",
                           hint);
      return false;
    }
    return true;
  }
  for (std::size_t i = 0; i < 2; ++i) {
    StatedEnd& known = ends[i];
    StatedEnd& other = ends[1 - i];
    if (!known.position) continue;
    if (!known.bearing && other.bearing) known.bearing = other.bearing->reciprocal();
    if (!known.bearing) {
      known.fields.missing("bearing", kAcceptedBearing, "only one end has a position, so its bearing is needed");
      return false;
    }
    other.position = earth::destination(*known.position, *known.bearing, length);
    return true;
  }
  ends[0].fields.missing("position", kAcceptedPosition, "one of the two ends needs a position");
  return false;
}

/// Elevations and slopes, from what is stated.
void set_elevations(const std::array<StatedEnd, 2>& stated, std::array<earth::RunwayEnd, 2>& ends, Length aerodrome) {
  const Length apart = ends[0].pavement - ends[0].displaced - ends[1].displaced;
  for (std::size_t i = 0; i < 2; ++i) {
    ends[i].elevation = {stated[i].elevation.value_or(aerodrome)};
    if (stated[i].elevation && std::abs(in_feet(*stated[i].elevation - aerodrome)) > 300.0) {
      stated[i].fields.get("elevation")->warn("an elevation within 300 ft of the aerodrome's", "metres typed as feet?");
    }
  }
  const bool both = stated[0].elevation && stated[1].elevation;
  if (both && apart > metres(0)) {
    ends[0].slope = (*stated[1].elevation - *stated[0].elevation) / apart;
    ends[1].slope = -ends[0].slope;
    if (std::abs(ends[0].slope) > 0.12) stated[1].fields.get("elevation")->refuse("a slope of at most 12 %");
  }
  for (std::size_t i = 0; i < 2; ++i) {
    if (!stated[i].slope) continue;
    const Value slope = *stated[i].fields.get("slope");
    if (both && std::abs(*stated[i].slope - ends[i].slope) > 0.003) {
      slope.refuse(plain(100.0 * ends[i].slope) + " %, as the elevations of the ends have it, within 0.3 %",
                   "positive is uphill in the direction of this end's designator");
    } else if (!both) {
      ends[i].slope = *stated[i].slope;
      ends[1 - i].slope = -*stated[i].slope;
    }
  }
  if (stated[0].slope && stated[1].slope && std::abs(*stated[0].slope + *stated[1].slope) > 0.001) {
    stated[1].fields.get("slope")->refuse("the opposite of the other end's slope");
  }
  if (both || stated[0].slope || stated[1].slope) {
    for (std::size_t i = 0; i < 2 && !both; ++i) {
      if (stated[i].elevation || !stated[1 - i].elevation) continue;
      ends[i].elevation = {*stated[1 - i].elevation + apart * ends[1 - i].slope};
    }
    return;
  }
  for (std::size_t i = 0; i < 2; ++i) {
    if (!stated[i].elevation && stated[1 - i].elevation) ends[i].elevation = {*stated[1 - i].elevation};
  }
  stated[0].value.assume("runway " + ends[0].designator + "/" + ends[1].designator +
                         ": no slope stated, taken as level");
}

std::vector<earth::RunwayMark> read_marks(const StatedEnd& end, Length length) {
  std::vector<earth::RunwayMark> marks;
  const auto value = end.fields.get("marks");
  if (!value) return marks;
  for (const Value& item : value->items("a list of {name, from_start, side}")) {
    const Fields fields(item, {"name", "from_start", "side"});
    const auto name = fields.need_text("name", "the name of an intersection or exit");
    const auto from = fields.need_quantity<Length>("from_start", Dimension::length, {0, 6500, "m"});
    const auto side = fields.get_choice<earth::MarkSide>(
        "side", {{"left", earth::MarkSide::left}, {"right", earth::MarkSide::right}, {"both", earth::MarkSide::both}});
    if (!name || !from) continue;
    if (*from >= length) fields.get("from_start")->refuse("a distance below the length of the runway");
    if (find_mark(marks, *name) != nullptr) fields.get("name")->refuse("each name once");
    marks.push_back({*name, *from, side});
  }
  return marks;
}

/// What joins the runway is known from both ends; what the other end states of its own by the same name must agree.
void join_marks(const std::array<StatedEnd, 2>& stated, std::array<std::vector<earth::RunwayMark>, 2>& marks,
                Length length) {
  const std::array<std::vector<earth::RunwayMark>, 2> as_stated = marks;
  for (std::size_t i = 0; i < 2; ++i) {
    for (const earth::RunwayMark& mark : as_stated[i]) {
      if (!mark.side) continue;
      const Length from_there = length - mark.from_start;
      const earth::RunwayMark* other = find_mark(as_stated[1 - i], mark.name);
      if (other == nullptr) {
        marks[1 - i].push_back({mark.name, from_there, opposite(*mark.side)});
      } else if (i == 0 && std::abs((other->from_start - from_there).si()) > kMarksAgree.si()) {
        stated[1].fields.get("marks")->warn(
            "\"" + mark.name + "\" " + plain(std::round(from_there.si())) + " m from this end, as the other end has it",
            "two places with one name?");
      }
    }
  }
}

/// Marks go with the file for the start of a roll; those with a side go with their end too.
void keep_marks(std::vector<earth::RunwayMark> marks, earth::RunwayEnd& end, AerodromeFile& file) {
  std::stable_sort(marks.begin(), marks.end(),
                   [](const auto& a, const auto& b) { return a.from_start < b.from_start; });
  for (earth::RunwayMark& mark : marks) {
    file.marks.emplace_back(end.designator, mark);
    if (mark.side) end.marks.push_back(std::move(mark));
  }
}

/// `frame` is null when the aerodrome's own position could not be read; then only the plain fields are checked.
void read_runway(const Value& value, AerodromeFile& file, const earth::LocalFrame* frame) {
  const Fields fields(value, {"length", "surface", "lit", "ends"});
  const auto length = fields.need_quantity<Length>("length", Dimension::length, kRunwayLength);
  const auto surface = fields.need_choice("surface", surface_words());
  const auto lit = fields.need("lit", "yes or no");
  const bool is_lit = lit && lit->yes_or_no().value_or(false);
  const auto list = fields.need("ends", "a list of the two ends");
  if (!list) return;
  const std::vector<Value> items = list->items("a list of the two ends");
  if (items.size() != 2) {
    if (!items.empty()) list->refuse("the two ends", "an end without a designator or distances is still an end");
    return;
  }
  std::array<StatedEnd, 2> stated{read_end(items[0], file.variation), read_end(items[1], file.variation)};
  check_pair(stated[0], stated[1]);

  std::array<earth::RunwayEnd, 2> ends;
  std::array<std::vector<earth::RunwayMark>, 2> marks;
  for (std::size_t i = 0; i < 2; ++i) {
    earth::RunwayEnd& end = ends[i];
    end.aerodrome = file.aerodrome.id;
    end.designator = stated[i].designator;
    end.pavement = length.value_or(Length{});
    end.surface = surface.value_or(earth::Surface::unknown);
    end.lit = is_lit;
    read_declared(stated[i].fields, end);
    if (!stated[i].fields.has("displaced_threshold")) {
      items[i].assume("runway " + end.designator + ": no displaced threshold stated, taken as none");
    }
    if (!end.lda) items[i].assume("runway " + end.designator + ": no lda stated, so no landing on it is briefed");
    marks[i] = read_marks(stated[i], end.pavement);
  }
  if (length) join_marks(stated, marks, *length);
  for (std::size_t i = 0; i < 2; ++i) keep_marks(std::move(marks[i]), ends[i], file);
  if (!length || !frame || !items[0].is_map() || !items[1].is_map()) return;
  if (!place_ends(*fields.get("length"), stated, *length)) return;

  set_elevations(stated, ends, file.aerodrome.elevation.above_sea_level);
  bool bearings_fit = true;
  for (std::size_t i = 0; i < 2; ++i) {
    const earth::Geodetic here = *stated[i].position;
    const earth::TrueDirection bearing = earth::geodesic(here, *stated[1 - i].position).initial_bearing;
    if (earth::geodesic(file.aerodrome.reference_point, here).length > metres(10'000)) {
      const auto position = stated[i].fields.get("position");
      (position ? *position : items[i])
          .refuse("a position within 10 km of the aerodrome's",
                  "are latitude and longitude swapped, or is a letter wrong?");
    }
    if (stated[i].bearing && degrees_between(*stated[i].bearing, bearing) > 3.0) {
      const auto typed = stated[i].fields.get("bearing");
      (typed ? *typed : items[i])
          .refuse(plain(std::round(bearing.deg())) + " deg true, as the positions of the ends have it, within 3 deg",
                  degrees_between(*stated[i].bearing, bearing) > 170.0 ? "this is the bearing of the other end" : "");
    }
    // The second end lies where the first one's bearing has put it: one complaint is enough.
    if (bearings_fit && !ends[i].designator.empty()) {
      const auto typed = stated[i].fields.get("bearing");
      bearings_fit = check_designator(typed ? *typed : *stated[i].fields.get("designator"), ends[i].designator, bearing,
                                      file.variation);
    }
    ends[i].pavement_start = frame->to_local(here);
    ends[i].track = frame->to_local(here, bearing);
    file.aerodrome.ends.push_back(ends[i]);
  }
}

}  // namespace

std::optional<std::string> read_designator(const Value& value) {
  const std::string& text = value.raw();
  const auto digit = [](char c) { return c >= '0' && c <= '9'; };
  const bool form = value.is_text() && (text.size() == 2 || text.size() == 3) && digit(text[0]) && digit(text[1]) &&
                    (text.size() == 2 || text[2] == 'L' || text[2] == 'C' || text[2] == 'R');
  const int number = form ? std::stoi(text.substr(0, 2)) : 0;
  if (number >= 1 && number <= 36) return text;
  value.refuse(R"(a runway designator such as "09" or "27L")",
               value.is_text() && text.size() == 1 && digit(text[0]) ? "write \"0" + text + "\"" : "");
  return std::nullopt;
}

bool check_designator(const Value& place, const std::string& designator, earth::TrueDirection track,
                      const std::optional<Angle>& variation_east) {
  const earth::MagneticDirection magnetic =
      earth::MagneticDirection::from_true(track, variation_east.value_or(Angle{}));
  const double named = 10.0 * std::stoi(designator.substr(0, 2));
  const double off = degrees_between(earth::true_degrees(magnetic.deg()), earth::true_degrees(named));
  // Without the variation the bearing may be as far off again as variations commonly are.
  const double unknown = variation_east ? 0.0 : 30.0;
  const std::string bearing = plain(std::round(magnetic.deg())) + (variation_east ? " deg magnetic" : " deg true");
  if (off > 30.0 + unknown) {
    place.refuse("a bearing that belongs to runway " + designator + "; this one lies along " + bearing,
                 off > 150.0 ? "is this the bearing of the other end?" : "");
    return false;
  }
  if (off > 10.0 + unknown) {
    place.warn("a bearing within 10 deg of runway " + designator + "'s name; this one lies along " + bearing,
               "a renamed runway, or the variation has the wrong sign?");
  }
  return true;
}

void read_declared(const Fields& fields, earth::RunwayEnd& end) {
  const auto read = [&](std::string_view key, std::optional<Length>& target) {
    if (fields.has(key)) target = fields.get_quantity<Length>(key, Dimension::length, kDeclared);
  };
  read("tora", end.tora);
  read("toda", end.toda);
  read("asda", end.asda);
  read("lda", end.lda);
  if (const auto displaced = fields.get_quantity<Length>("displaced_threshold", Dimension::length, {0, 6500, "m"})) {
    end.displaced = *displaced;
  }
  if (end.tora && end.toda && *end.toda < *end.tora && fields.has("toda")) {
    fields.get("toda")->refuse("at least the tora, which is " + plain(end.tora->si()) + " m",
                               "the toda is the tora plus any clearway: are the two swapped?");
  }
  if (end.tora && end.asda && *end.asda < *end.tora && fields.has("asda")) {
    fields.get("asda")->refuse("at least the tora, which is " + plain(end.tora->si()) + " m",
                               "the asda is the tora plus any stopway: are the two swapped?");
  }
  if (end.pavement.si() <= 0.0) return;
  const std::string of_length = "the runway's length, which is " + plain(std::round(end.pavement.si())) + " m";
  if (end.displaced >= end.pavement && fields.has("displaced_threshold")) {
    fields.get("displaced_threshold")->refuse("less than " + of_length);
    return;
  }
  if (end.displaced > end.pavement * 0.25 && fields.has("displaced_threshold")) {
    fields.get("displaced_threshold")->warn("usually at most a quarter of " + of_length, "check that this is meant");
  }
  if (end.tora && *end.tora > end.pavement * kRoundingOfLengths && fields.has("tora")) {
    fields.get("tora")->refuse("at most " + of_length);
  }
  const Length beyond = end.pavement - end.displaced;
  if (end.lda && *end.lda > beyond * kRoundingOfLengths && fields.has("lda")) {
    fields.get("lda")->refuse("at most the " + plain(std::round(beyond.si())) + " m beyond the landing threshold");
  }
  if (end.lda && end.asda && *end.lda > *end.asda && fields.has("lda")) {
    fields.get("lda")->warn("usually at most the asda", "check that this is meant");
  }
}

earth::Aerodrome moved(const earth::Aerodrome& aerodrome, const earth::LocalFrame& to) {
  const earth::LocalFrame from(aerodrome.reference_point);
  earth::Aerodrome result = aerodrome;
  for (earth::RunwayEnd& end : result.ends) {
    const earth::Geodetic place = from.to_geodetic(end.pavement_start);
    end.track = to.to_local(place, from.to_geodetic(end.pavement_start, end.track));
    end.pavement_start = to.to_local(place);
  }
  return result;
}

AerodromeFile read_aerodrome(const Value& root) {
  AerodromeFile file;
  const Fields fields(root, {"backfield", "id", "name", "invented", "source", "elevation", "position", "variation",
                             "frequency", "runways", "obstacles", "avoid"});
  file.aerodrome.id = fields.need_text("id", R"(an identifier such as "ZZDA")").value_or("");
  file.aerodrome.name = fields.need_text("name", "a name").value_or("");
  if (const auto invented = fields.need("invented", "yes or no")) {
    file.invented = invented->yes_or_no().value_or(false);
  }
  file.aerodrome.attribution = fields.need_text("source", "where these data come from").value_or("");
  const auto elevation = fields.need_quantity<Length>("elevation", Dimension::length, kElevation);
  file.aerodrome.elevation = {elevation.value_or(Length{})};
  if (const auto variation = fields.get("variation")) file.variation = read_variation(*variation);
  const std::string frequency = fields.get_text("frequency", R"(a text such as "122.800 MHz")").value_or("");
  const auto position = fields.need("position", kAcceptedPosition);
  const auto place = position ? read_position(*position) : std::nullopt;
  const auto runways = fields.need("runways", "a list of runways");
  if (place) file.aerodrome.reference_point = *place;
  const earth::LocalFrame frame(file.aerodrome.reference_point);
  if (!runways) return file;
  for (const Value& runway : runways->items("a list of runways")) read_runway(runway, file, place ? &frame : nullptr);
  for (earth::RunwayEnd& end : file.aerodrome.ends) {
    end.frequency = frequency;
    const auto same = [&end](const earth::RunwayEnd& other) { return other.designator == end.designator; };
    if (std::count_if(file.aerodrome.ends.begin(), file.aerodrome.ends.end(), same) > 1) {
      runways->refuse("each designator once", "\"" + end.designator + "\" is there twice: add L, C or R");
      break;
    }
  }
  file.ground = read_ground(fields, place ? &frame : nullptr, file.aerodrome.elevation, file.aerodrome.ends);
  return file;
}

Loaded<AerodromeFile> load_aerodrome(const std::string& path) {
  const Document document = read_document(path);
  Reading reading(document);
  Loaded<AerodromeFile> loaded;
  if (document.readable && is_kind(Value::root(reading), "aerodrome/1")) {
    loaded.value = read_aerodrome(Value::root(reading));
  }
  if (reading.failed()) loaded.value.reset();
  loaded.findings = reading.take();
  return loaded;
}

}  // namespace backfield::io
