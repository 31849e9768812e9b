#include "run.hpp"

#include "exit_code.hpp"

#include "backfield/decision/assess.hpp"
#include "backfield/io/load.hpp"
#include "backfield/io/render_finding.hpp"
#include "backfield/io/write_file.hpp"
#include "backfield/report/json.hpp"
#include "backfield/report/text.hpp"

#include <unistd.h>

#include <algorithm>
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

int check(const Request& request) {
  const std::vector<Finding> findings = io::check(request.file);
  std::cerr << io::render(findings);
  if (has_error(findings)) return code_of_bad(request.file);
  if (request.strict && has_warning(findings)) return kBadInput;
  return put_out(request.file + (has_warning(findings) ? ": no errors, but warnings\n" : ": no errors\n"));
}

int brief(const Request& request) {
  std::error_code failed;
  if (request.json && std::filesystem::equivalent(*request.json, request.file, failed)) {
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
  std::vector<std::string> warnings;
  for (const Finding& finding : loaded.findings) {
    if (finding.severity == Severity::warning) warnings.push_back(in_one_line(finding));
  }
  answer.warnings.insert(answer.warnings.begin(), warnings.begin(), warnings.end());

  // Both are made before either is written.
  const std::string text = report::text(*loaded.value, answer);
  if (request.json) {
    const auto trouble = io::write_file(*request.json, report::json(*loaded.value, answer));
    if (trouble) {
      std::cerr << "backfield: cannot write " << *request.json << ": " << *trouble << "\n";
      return kFilesTrouble;
    }
  }
  if (const ExitCode written = put_out(text); written != kAnswered) return written;
  if (request.require_option && answer.briefed.empty() && !answer.land_ahead.heights) {
    std::cerr << "backfield: once airborne, nothing but the ground ahead is briefed\n";
    return kNoOption;
  }
  return kAnswered;
}

}  // namespace

int run(const Request& request) { return request.command == Command::check ? check(request) : brief(request); }

}  // namespace backfield::cli
