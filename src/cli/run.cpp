#include "run.hpp"

#include "exit_code.hpp"

#include "backfield/decision/assess.hpp"
#include "backfield/io/load.hpp"
#include "backfield/io/nearby.hpp"
#include "backfield/io/render_finding.hpp"
#include "backfield/io/write_file.hpp"
#include "backfield/report/json.hpp"
#include "backfield/report/nearby.hpp"
#include "backfield/report/runways.hpp"
#include "backfield/report/text.hpp"

#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <iostream>

namespace backfield::cli {
namespace {

bool has_warning(const std::vector<Finding>& findings) {
  return std::any_of(findings.begin(), findings.end(),
                     [](const Finding& finding) { return finding.severity == Severity::warning; });
}

/// Of an input with errors: whether it could be read at all.
ExitCode code_of_bad(const std::string& path) {
  std::error_code failed;
  const bool readable = access(path.c_str(), R_OK) == 0 && !std::filesystem::is_directory(path, failed);
  return readable ? kBadInput : kFilesTrouble;
}

/// A warning of a reader as the brief prints it: without the excerpt, in one line.
std::string in_one_line(Finding finding) {
  finding.excerpt.clear();
  std::string text;
  for (const char c : io::render(finding)) {
    const bool space = c == '\n' || c == ' ';
    if (!space || (!text.empty() && text.back() != ' ')) text += space ? ' ' : c;
  }
  while (!text.empty() && text.back() == ' ') text.pop_back();
  return text;
}

ExitCode put_out(const std::string& text) {
  std::cout << text << std::flush;
  if (std::cout) return kAnswered;
  std::cerr << "backfield: cannot write to standard output\n";
  return kFilesTrouble;
}

/// Text and, where asked for, JSON; the text only when the JSON has been written.
ExitCode put_out(const Request& request, const std::string& text, const std::string& json) {
  if (request.json) {
    const auto trouble = io::write_file(*request.json, json);
    if (trouble) {
      std::cerr << "backfield: cannot write " << *request.json << ": " << *trouble << "\n";
      return kFilesTrouble;
    }
  }
  return put_out(text);
}

/// Whether --json would write over one of the files that are read.
bool would_overwrite(const Request& request, const std::vector<std::string>& read) {
  return request.json && std::any_of(read.begin(), read.end(), [&request](const std::string& path) {
           std::error_code failed;
           return std::filesystem::equivalent(*request.json, path, failed);
         });
}

std::vector<std::string> warnings_of(const std::vector<Finding>& findings) {
  std::vector<std::string> warnings;
  for (const Finding& finding : findings) {
    if (finding.severity == Severity::warning) warnings.push_back(in_one_line(finding));
  }
  return warnings;
}

int check(const Request& request) {
  const std::vector<Finding> findings = io::check(request.file);
  std::cerr << io::render(findings);
  if (has_error(findings)) return code_of_bad(request.file);
  if (request.strict && has_warning(findings)) return kBadInput;
  return put_out(request.file + (has_warning(findings) ? ": no errors, but warnings\n" : ": no errors\n"));
}

int brief(const Request& request) {
  if (would_overwrite(request, {request.file})) {
    std::cerr << "backfield: --json names the case itself\n";
    return kBadInput;
  }
  const Loaded<decision::Case> loaded = io::load_case(request.file);
  if (!loaded.ok() || (request.strict && has_warning(loaded.findings))) {
    std::cerr << io::render(loaded.findings);
    return loaded.ok() ? kBadInput : code_of_bad(request.file);
  }

  decision::Answer answer = decision::assess(*loaded.value);
  if (!answer.refusal.empty()) {
    std::cerr << report::text(*loaded.value, answer);
    return kBadInput;
  }
  if (request.strict && !answer.warnings.empty()) {
    for (const std::string& warning : answer.warnings) std::cerr << request.file << ": warning: " << warning << "\n";
    return kBadInput;
  }
  const std::vector<std::string> warnings = warnings_of(loaded.findings);
  answer.warnings.insert(answer.warnings.begin(), warnings.begin(), warnings.end());

  // Both are made before either is written.
  const std::string text = report::text(*loaded.value, answer);
  const std::string json = report::json(*loaded.value, answer);
  if (const ExitCode written = put_out(request, text, json); written != kAnswered) return written;
  if (request.require_option && answer.briefed.empty() && !answer.land_ahead.heights) {
    std::cerr << "backfield: once airborne, nothing but the ground ahead is briefed\n";
    return kNoOption;
  }
  return kAnswered;
}

/// Of the system's clock in UTC, unless SOURCE_DATE_EPOCH says which second it shall be (reproducible-builds.org).
std::string today() {
  std::time_t now = std::chrono::system_clock::to_time_t(std::chrono::system_clock::now());
  if (const char* epoch = std::getenv("SOURCE_DATE_EPOCH"); epoch != nullptr && *epoch != '\0') {
    now = static_cast<std::time_t>(std::strtoll(epoch, nullptr, 10));
  }
  std::tm utc{};
  std::string text(sizeof "0000-00-00", '\0');
  if (gmtime_r(&now, &utc) == nullptr) return {};
  text.resize(std::strftime(text.data(), text.size(), "%Y-%m-%d", &utc));
  return text;
}

int nearby(const Request& request) {
  std::vector<std::string> read = request.own_files;
  const bool shipped = request.catalogue == "shipped";
  if (!shipped) read.push_back(request.catalogue);
  if (would_overwrite(request, read)) {
    std::cerr << "backfield: --json names a file that is read\n";
    return kBadInput;
  }
  Loaded<earth::Nearby> found =
      io::look_nearby({request.place, request.within, request.catalogue, request.own_files, today()});
  if (!found.ok() || (request.strict && has_warning(found.findings))) {
    std::cerr << io::render(found.findings);
    if (found.ok()) return kBadInput;
    const auto unreadable = [](const std::string& path) { return access(path.c_str(), R_OK) != 0; };
    return std::any_of(read.begin(), read.end(), unreadable) ? kFilesTrouble : kBadInput;
  }
  earth::Nearby& answer = *found.value;
  if (request.strict && !answer.warnings.empty()) {
    for (const std::string& warning : answer.warnings) std::cerr << "backfield: warning: " << warning << "\n";
    return kBadInput;
  }
  const std::vector<std::string> warnings = warnings_of(found.findings);
  answer.warnings.insert(answer.warnings.end(), warnings.begin(), warnings.end());
  const ExitCode written = put_out(request, report::nearby_text(answer), report::nearby_json(answer));
  if (written != kAnswered) return written;
  if (request.require_one && answer.aerodromes.empty()) {
    std::cerr << "backfield: no aerodrome with a usable runway is near\n";
    return kNoOption;
  }
  return kAnswered;
}

int runways(const Request& request) {
  if (would_overwrite(request, {request.file})) {
    std::cerr << "backfield: --json names the case itself\n";
    return kBadInput;
  }
  const Loaded<decision::Case> loaded = io::load_case(request.file, io::Asked::every_runway);
  if (!loaded.ok() || (request.strict && has_warning(loaded.findings))) {
    std::cerr << io::render(loaded.findings);
    return loaded.ok() ? kBadInput : code_of_bad(request.file);
  }
  const decision::Case& c = *loaded.value;
  if (!c.policy.runway_choice) {
    std::cerr << c.policy.file
              << ": runway_choice: found nothing, accepted {order}: by what runway ends are compared\n";
    return kBadInput;
  }
  const study::RunwayComparison comparison = study::compare_runways(c);
  const std::vector<std::string> warnings = warnings_of(loaded.findings);
  const ExitCode written =
      put_out(request, report::runways_text(c, comparison, warnings), report::runways_json(c, comparison, warnings));
  if (written != kAnswered) return written;
  if (request.require_one && !comparison.chosen) {
    std::cerr << "backfield: no runway end meets what must hold\n";
    return kNoOption;
  }
  return kAnswered;
}

}  // namespace

int run(const Request& request) {
  switch (request.command) {
    case Command::check:
      return check(request);
    case Command::nearby:
      return nearby(request);
    case Command::runways:
      return runways(request);
    case Command::brief:
      break;
  }
  return brief(request);
}

}  // namespace backfield::cli
