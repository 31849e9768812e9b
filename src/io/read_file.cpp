#include "read_file.hpp"

#include <filesystem>
#include <fstream>

namespace backfield::io {
namespace {

struct Refusal {
  std::string found, accepted, hint;
};

Loaded<std::string> refuse(const std::string& path, Refusal refusal) {
  Finding finding;
  finding.file = path;
  finding.found = std::move(refusal.found);
  finding.accepted = std::move(refusal.accepted);
  finding.hint = std::move(refusal.hint);
  return {std::nullopt, {finding}};
}

std::string too_large(std::size_t largest) { return "at most " + std::to_string(largest) + " bytes"; }

}  // namespace

Loaded<std::string> read_file(const std::string& path, std::size_t largest) {
  namespace fs = std::filesystem;
  std::error_code failed;
  const fs::file_status status = fs::status(path, failed);
  if (status.type() == fs::file_type::not_found) return refuse(path, {"no such file", "the path of a file", {}});
  if (fs::is_directory(status)) return refuse(path, {"a directory", "the path of a file", {}});
  std::size_t room = largest;
  if (fs::is_regular_file(status)) {
    const std::uintmax_t size = fs::file_size(path, failed);
    if (!failed && size <= largest) room = static_cast<std::size_t>(size);
    if (!failed && size > largest) {
      return refuse(path, {"a file of " + std::to_string(size) + " bytes", too_large(largest), "it was not read"});
    }
  }
  std::ifstream in(path, std::ios::binary);
  if (!in) return refuse(path, {"a file that cannot be opened", "a readable file", "check its permissions"});
  // A pipe or a device has no size to ask for, so one byte more than allowed is tried.
  // So is it with a file that grows meanwhile: then it is more than `room`, and refused.
  std::string bytes(room + 1, '\0');
  in.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  if (in.bad()) return refuse(path, {"a file that cannot be read", "a readable file", {}});
  bytes.resize(static_cast<std::size_t>(in.gcount()));
  if (bytes.size() > room) return refuse(path, {"more than it may hold", too_large(largest), "it was not read"});
  return {std::move(bytes), {}};
}

Finding file_error(const std::string& file, std::string found, std::string accepted, std::string hint) {
  Finding finding;
  finding.file = file;
  finding.found = std::move(found);
  finding.accepted = std::move(accepted);
  finding.hint = std::move(hint);
  return finding;
}

}  // namespace backfield::io
