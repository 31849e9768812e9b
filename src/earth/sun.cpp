#include "backfield/earth/sun.hpp"

#include "backfield/base/contract.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace backfield::earth {
namespace {

constexpr double kNoonOf2000 = 2451545.0;
constexpr double kDaysInCentury = 36525.0;

bool leap(int year) { return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0); }

int days_in(int year, int month) {
  constexpr std::array<int, 12> kDays = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  return month == 2 && leap(year) ? 29 : kDays[static_cast<std::size_t>(month - 1)];
}

/// Julian date at 0 h of a day of the Gregorian calendar.
double julian_date(int year, int month, int day) {
  if (month <= 2) {
    --year;
    month += 12;
  }
  const double century = std::floor(year / 100.0);
  const double gregorian = 2.0 - century + std::floor(century / 4.0);
  return std::floor(365.25 * (year + 4716)) + std::floor(30.6001 * (month + 1)) + day + gregorian - 1524.5;  // (7.1)
}

double sine_of_elevation(const Geodetic& place, Instant t) {
  const double T = (t.julian_date - kNoonOf2000) / kDaysInCentury;               // (25.1)
  const double mean_longitude = 280.46646 + T * (36000.76983 + T * 0.0003032);   // (25.2), degrees
  const Angle anomaly = degrees(357.52911 + T * (35999.05029 - T * 0.0001537));  // (25.3)
  const double m = anomaly.si();
  const double centre = (1.914602 - T * (0.004817 + T * 0.000014)) * std::sin(m) +
                        (0.019993 - T * 0.000101) * std::sin(2.0 * m) + 0.000289 * std::sin(3.0 * m);
  const double node = degrees(125.04 - 1934.136 * T).si();  // of the moon's orbit
  // Apparent: nutation and aberration.
  const double longitude = degrees(mean_longitude + centre - 0.00569 - 0.00478 * std::sin(node)).si();
  const double obliquity =
      degrees(23.43929111 - T * (0.013004167 + T * (1.6e-7 - T * 5.04e-7)) + 0.00256 * std::cos(node))
          .si();  // (22.2), (25.8)
  const double right_ascension = std::atan2(std::cos(obliquity) * std::sin(longitude), std::cos(longitude));  // (25.6)
  const double sin_declination = std::sin(obliquity) * std::sin(longitude);                                   // (25.7)

  const double days = t.julian_date - kNoonOf2000;
  const double greenwich = 280.46061837 + 360.98564736629 * days + T * T * (0.000387933 - T / 38710000.0);  // (12.4)
  const double hour_angle = degrees(std::fmod(greenwich, 360.0)).si() + place.longitude.si() - right_ascension;
  const double latitude = place.latitude.si();
  return std::sin(latitude) * sin_declination +
         std::cos(latitude) * std::sqrt(1.0 - sin_declination * sin_declination) * std::cos(hour_angle);  // (13.6)
}

}  // namespace

UtcClock clock_of(Instant t) {
  // Whole minutes first, so that 23:59:40 becomes the next day's 00:00.
  const double minutes = std::round((t.julian_date + 0.5) * 1440.0);
  const auto day_number = static_cast<long>(std::floor(minutes / 1440.0));
  const auto of_day = static_cast<int>(minutes - 1440.0 * static_cast<double>(day_number));
  // Meeus, ch. 7, calendar date from the Julian day.
  const auto alpha = static_cast<long>((static_cast<double>(day_number) - 1867216.25) / 36524.25);
  const long a = day_number + 1 + alpha - alpha / 4;
  const long b = a + 1524;
  const auto c = static_cast<long>((static_cast<double>(b) - 122.1) / 365.25);
  const auto d = static_cast<long>(365.25 * static_cast<double>(c));
  const auto e = static_cast<long>(static_cast<double>(b - d) / 30.6001);
  const long day = b - d - static_cast<long>(30.6001 * static_cast<double>(e));
  const long month = e < 14 ? e - 1 : e - 13;
  const long year = month > 2 ? c - 4716 : c - 4715;
  return {static_cast<int>(year), static_cast<int>(month), static_cast<int>(day), of_day / 60, of_day % 60};
}

std::optional<Instant> utc(const UtcClock& k) {
  if (k.year < kFirstSunYear || k.year > kLastSunYear || k.month < 1 || k.month > 12) return std::nullopt;
  if (k.day < 1 || k.day > days_in(k.year, k.month)) return std::nullopt;
  if (k.hour < 0 || k.hour > 23 || k.minute < 0 || k.minute > 59) return std::nullopt;
  return Instant{julian_date(k.year, k.month, k.day) + (60.0 * k.hour + k.minute) / 1440.0};
}

Angle sun_elevation(const Geodetic& place, Instant t) {
  return radians(std::asin(std::clamp(sine_of_elevation(place, t), -1.0, 1.0)));
}

std::optional<Instant> next_passing(const Geodetic& place, Instant from, Angle elevation, Duration within) {
  require(within.si() > 0.0, "a passing of the sun is looked for ahead");
  constexpr Duration kStep = minutes(5);
  constexpr Duration kFine = seconds(1);
  const auto above = [&](Instant t) { return sun_elevation(place, t) >= elevation; };
  const bool now = above(from);
  const Instant end = from + within;
  Instant before = from;
  while (before < end) {
    Instant after = std::min(before + kStep, end);
    if (above(after) == now) {
      before = after;
      continue;
    }
    while (after - before > kFine) {
      const Instant middle = before + (after - before) * 0.5;
      (above(middle) == now ? before : after) = middle;
    }
    return after;
  }
  return std::nullopt;
}

}  // namespace backfield::earth
