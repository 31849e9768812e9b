#include "backfield/io/write_file.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>
#include <system_error>

namespace backfield::io {
namespace {

namespace fs = std::filesystem;

std::string reason(int error) {
  std::string text = std::generic_category().message(error);
  if (!text.empty() && text[0] >= 'A' && text[0] <= 'Z') text[0] = static_cast<char>(text[0] - 'A' + 'a');
  return text;
}

/// The file behind a chain of symbolic links; it need not exist.
std::optional<fs::path> behind_links(fs::path path, std::error_code& failed) {
  constexpr int kMostLinks = 40;  // as many as Linux follows
  for (int i = 0; i < kMostLinks; ++i) {
    if (!fs::is_symlink(fs::symlink_status(path, failed))) {
      failed.clear();
      return path;
    }
    const fs::path target = fs::read_symlink(path, failed);
    if (failed) return std::nullopt;
    path = target.is_absolute() ? target : path.parent_path() / target;
  }
  failed = std::make_error_code(std::errc::too_many_symbolic_link_levels);
  return std::nullopt;
}

/// A file that is removed again unless it has taken its final name.
class Temporary {
 public:
  /// Beside `target`, under a name that no file has.
  Temporary(const fs::path& target, mode_t mode) {
    const fs::path directory = target.has_parent_path() ? target.parent_path() : fs::path(".");
    constexpr int kMostTries = 100;  // names left over by processes that were killed and had the same number
    error_ = EEXIST;
    for (int i = 0; i < kMostTries && error_ == EEXIST; ++i) {
      name_ = directory / (".backfield-" + std::to_string(getpid()) + "-" + std::to_string(i) + ".tmp");
      file_ = open(name_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, mode);
      error_ = file_ < 0 ? errno : 0;
    }
    is_ours_ = error_ == 0;
  }
  Temporary(const Temporary&) = delete;
  Temporary& operator=(const Temporary&) = delete;
  ~Temporary() {
    if (file_ >= 0) close(file_);
    if (is_ours_) unlink(name_.c_str());
  }

  /// returns     0 or the error
  int fill(std::string_view bytes) {
    while (error_ == 0 && !bytes.empty()) {
      const ssize_t written = write(file_, bytes.data(), bytes.size());
      if (written >= 0) {
        bytes.remove_prefix(static_cast<std::size_t>(written));
      } else if (errno != EINTR) {
        error_ = errno;
      }
    }
    return error_;
  }

  int set_mode(mode_t mode) {
    if (error_ == 0 && fchmod(file_, mode) != 0) error_ = errno;
    return error_;
  }

  /// On the disk first, then under the name: a power cut must not leave an empty file where a full one was.
  int become(const fs::path& target) {
    if (error_ == 0 && fsync(file_) != 0) error_ = errno;
    if (error_ == 0) {
      error_ = close(file_) != 0 ? errno : 0;
      file_ = -1;
    }
    if (error_ == 0 && rename(name_.c_str(), target.c_str()) != 0) error_ = errno;
    if (error_ == 0) is_ours_ = false;
    return error_;
  }

  [[nodiscard]] int error() const { return error_; }

 private:
  fs::path name_;
  int file_ = -1;
  int error_ = 0;
  bool is_ours_ = false;  ///< and is still called so
};

}  // namespace

std::optional<std::string> write_file(const std::string& path, std::string_view bytes) {
  if (path.empty()) return "an empty path";
  std::error_code failed;
  const std::optional<fs::path> target = behind_links(path, failed);
  if (!target) return reason(failed.value());
  if (!target->has_filename()) return "a directory";

  struct stat old {};
  const bool exists = stat(target->c_str(), &old) == 0;
  if (!exists && errno != ENOENT) return reason(errno);
  if (exists && S_ISDIR(old.st_mode)) return "a directory";
  if (exists && !S_ISREG(old.st_mode)) return "not an ordinary file";
  // The new name would replace a file that its owner has protected: only the directory's permissions are asked for it.
  if (exists && access(target->c_str(), W_OK) != 0) return reason(errno);

  Temporary temporary(*target, 0666);
  if (temporary.error() == ENOENT) return "no such directory";
  temporary.fill(bytes);
  if (exists) temporary.set_mode(old.st_mode & 07777U);
  const int error = temporary.become(*target);
  if (error != 0) return reason(error);
  return std::nullopt;
}

}  // namespace backfield::io
