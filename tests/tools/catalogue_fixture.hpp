#pragma once
// What the tests of the open catalogue share: a directory of their own and a small invented extract.
// All aerodromes here are invented; their ids begin with ZZ.

#include "backfield/io/catalogue.hpp"
#include "backfield/io/render_finding.hpp"

#include <unistd.h>
#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <string>

namespace backfield::io {

namespace fs = std::filesystem;

/// A directory of its own that is gone afterwards.
class Scratch {
 public:
  Scratch() {
    std::string pattern = (fs::temp_directory_path() / "backfield-catalogue-XXXXXX").string();
    REQUIRE(mkdtemp(pattern.data()) != nullptr);
    directory_ = pattern;
  }
  ~Scratch() { fs::remove_all(directory_); }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  [[nodiscard]] std::string path(const std::string& name) const { return (directory_ / name).string(); }
  std::string write(const std::string& name, const std::string& text) const {
    std::ofstream(path(name), std::ios::binary) << text;
    return path(name);
  }

 private:
  fs::path directory_;
};

inline const std::string kHead =
    "# backfield catalogue extract/1\n"
    "# stamped: 2026-02-16\n"
    "# attribution: Invented aerodromes, no licence needed\n";
inline const std::string kColumns =
    "id,latitude_deg,longitude_deg,elevation_ft,name,country,frequency_mhz,left_out,length_ft,width_ft,surface,lit,"
    "end1,end1_latitude_deg,end1_longitude_deg,end1_heading_deg,end1_displaced_ft,end1_elevation_ft,"
    "end2,end2_latitude_deg,end2_longitude_deg,end2_heading_deg,end2_displaced_ft,end2_elevation_ft\n";
// One degree of longitude on the equator is 111,319.49 m (WGS 84: a pi/180), so 0.01 degree is 3,652.2 ft.
inline const std::string kHome =
    "ZZDA,0,0.005,100,\"Home, \"\"old\"\" "
    "field\",ZZ,118.9,2,3652,98,asphalt,yes,09,0,0,90,,100,27,0,0.01,270,300,120\n";

inline Catalogue opened(const std::string& path) {
  Loaded<Catalogue> catalogue = Catalogue::open(path);
  INFO(render(catalogue.findings));
  REQUIRE(catalogue.ok());
  return *catalogue.value;
}

/// `file`     of a directory that the finding is about
inline std::string refusal(const std::string& path, const std::string& file = {}) {
  const Loaded<Catalogue> catalogue = Catalogue::open(path);
  REQUIRE_FALSE(catalogue.ok());
  REQUIRE(catalogue.findings.size() == 1);
  CHECK(fs::path(catalogue.findings[0].file) == (file.empty() ? fs::path(path) : fs::path(path) / file));
  return catalogue.findings[0].found;
}

}  // namespace backfield::io
