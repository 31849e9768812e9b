#include "arguments.hpp"

#include "exit_code.hpp"

#include "backfield/base/version.hpp"

#include <CLI/CLI.hpp>

namespace backfield::cli {
namespace {

constexpr const char* kCautions =
    "Planning estimate, not flight-tested: flight manual, operations manual, local procedures and authority prevail. "
    "Low turnbacks have killed many pilots: train with a qualified instructor, practise high. "
    "Void if runway, wind, temperature or mass differ.";

constexpr const char* kExitCodes =
    "Exit codes: 0 answered, also when the answer is none; 2 bad input or usage; 3 --require-option or --require-one "
    "and "
    "none; "
    "70 fault of the program; 74 trouble with files.";

}  // namespace

Arguments read_arguments(int argc, const char* const* argv) {
  Request request;
  std::string json;

  CLI::App app{"If the engine fails after take-off, where do we land?", "backfield"};
  app.set_version_flag("--version", std::string("backfield ") + version());
  app.footer(std::string(kCautions) + "\n" + kExitCodes);
  app.require_subcommand(1);

  CLI::App* brief = app.add_subcommand("brief", "Answer a case: the brief on paper, and as JSON");
  brief->add_option("CASE", request.file, "File of kind case/1")->required();
  const CLI::Option* wants_json = brief->add_option("--json", json, "Write the answer to this file as well");
  brief->add_flag("--strict", request.strict, "Let warnings count as errors");
  brief->add_flag("--require-option", request.require_option,
                  "Exit with 3 when, once airborne, nothing but the ground ahead is briefed");
  brief->footer(kCautions);

  CLI::App* check = app.add_subcommand("check", "Read a file, compute nothing, and say what there is to say about it");
  check->add_option("FILE", request.file, "File of kind case/1, aircraft/1, aerodrome/1 or policy/1")->required();
  check->add_flag("--strict", request.strict, "Let warnings count as errors");

  CLI::App* nearby = app.add_subcommand("nearby", "List the aerodromes near a place that have a usable runway");
  nearby
      ->add_option("PLACE", request.place,
                   "Id of an aerodrome, or latitude and longitude in decimal degrees: \"46.1234 N, 7.5 E\"")
      ->required();
  nearby->add_option("--within", request.within, "How far, with its unit, up to 1,000 NM: \"20 NM\" or \"40 km\"")
      ->capture_default_str();
  nearby
      ->add_option("--catalogue", request.catalogue,
                   "shipped; or an extract, an SQLite file of the data package, or a directory with airports.csv and "
                   "runways.csv")
      ->capture_default_str();
  nearby
      ->add_option("--aerodrome", request.own_files,
                   "File of kind aerodrome/1 that takes the place of the catalogue's entry; once for each file")
      ->allow_extra_args(false);
  const CLI::Option* wants_list = nearby->add_option("--json", json, "Write the list to this file as well");
  nearby->add_flag("--strict", request.strict, "Let warnings count as errors");
  nearby->add_flag("--require-one", request.require_one, "Exit with 3 when nothing is near");
  nearby->footer("Near does not mean within glide. " + std::string(kCautions));

  CLI::App* runways = app.add_subcommand("runways", "Compare every runway end and intersection for the departure");
  runways->add_option("CASE", request.file, "File of kind case/1; its policy says what decides")->required();
  const CLI::Option* wants_rows = runways->add_option("--json", json, "Write the comparison to this file as well");
  runways->add_flag("--strict", request.strict, "Let warnings count as errors");
  runways->add_flag("--require-one", request.require_one, "Exit with 3 when no runway end meets what must hold");
  runways->footer(kCautions);

  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) { return {std::nullopt, app.exit(error) == 0 ? kAnswered : kBadInput}; }
  request.command = check->parsed()     ? Command::check
                    : nearby->parsed()  ? Command::nearby
                    : runways->parsed() ? Command::runways
                                        : Command::brief;
  for (const CLI::Option* wants : {wants_json, wants_list, wants_rows}) {
    if (wants->count() > 0) request.json = json;
  }
  return {request, kAnswered};
}

}  // namespace backfield::cli
