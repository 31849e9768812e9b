#include "backfield/io/write_file.hpp"

#include <sys/stat.h>
#include <unistd.h>
#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <iterator>

namespace {

namespace fs = std::filesystem;
using backfield::io::write_file;

/// An empty folder for one test.
class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "backfield-test-XXXXXX").string();
    REQUIRE(mkdtemp(name.data()) != nullptr);
    path_ = name;
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder() { fs::remove_all(path_); }
  [[nodiscard]] fs::path path() const { return path_; }
  [[nodiscard]] std::string file(const char* name) const { return (path_ / name).string(); }
  [[nodiscard]] std::ptrdiff_t entries() const {
    return std::distance(fs::directory_iterator(path_), fs::directory_iterator());
  }

 private:
  fs::path path_;
};

std::string bytes_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

TEST_CASE("A file is written whole, new or in place of an old one, and nothing else is left", "[io][write_file]") {
  const Folder folder;
  const std::string big(3000000, 'x');
  CHECK_FALSE(write_file(folder.file("a"), big));
  CHECK(bytes_of(folder.file("a")) == big);
  CHECK_FALSE(write_file(folder.file("a"), std::string_view("short\0one", 9)));
  CHECK(bytes_of(folder.file("a")) == std::string("short\0one", 9));
  CHECK_FALSE(write_file(folder.file("empty"), ""));
  CHECK(fs::file_size(folder.file("empty")) == 0);
  CHECK(folder.entries() == 2);
}

TEST_CASE("A new file has the permissions of the umask, an old one keeps its own", "[io][write_file]") {
  const Folder folder;
  const mode_t before = umask(027);
  CHECK_FALSE(write_file(folder.file("new"), "1"));
  umask(before);
  CHECK(fs::status(folder.file("new")).permissions() == fs::perms(0640));
  fs::permissions(folder.file("new"), fs::perms(0604));
  CHECK_FALSE(write_file(folder.file("new"), "2"));
  CHECK(fs::status(folder.file("new")).permissions() == fs::perms(0604));
}

TEST_CASE("A symbolic link stays and its target is replaced", "[io][write_file]") {
  const Folder folder;
  fs::create_directory(folder.path() / "deep");
  fs::create_symlink("deep/target", folder.file("second"));
  fs::create_symlink("second", folder.file("first"));
  CHECK_FALSE(write_file(folder.file("first"), "made"));  // the target did not exist
  CHECK(bytes_of(folder.file("deep/target")) == "made");
  CHECK_FALSE(write_file(folder.file("first"), "replaced"));
  CHECK(bytes_of(folder.file("deep/target")) == "replaced");
  CHECK(fs::is_symlink(folder.file("first")));
  CHECK(fs::is_symlink(folder.file("second")));
}

TEST_CASE("Links in a circle are refused", "[io][write_file]") {
  const Folder folder;
  fs::create_symlink("b", folder.file("a"));
  fs::create_symlink("a", folder.file("b"));
  CHECK(write_file(folder.file("a"), "x").has_value());
  CHECK(folder.entries() == 2);
}

TEST_CASE("What is no ordinary file is refused and stays as it is", "[io][write_file]") {
  const Folder folder;
  fs::create_directory(folder.path() / "directory");
  CHECK(write_file(folder.file("directory"), "x") == "a directory");
  CHECK(write_file(folder.file("directory/"), "x") == "a directory");
  CHECK(write_file(folder.file("none/x"), "x") == "no such directory");
  CHECK(write_file("", "x") == "an empty path");
  CHECK(write_file("/dev/null", "x") == "not an ordinary file");
  REQUIRE(mkfifo(folder.file("pipe").c_str(), 0600) == 0);
  CHECK(write_file(folder.file("pipe"), "x") == "not an ordinary file");
  CHECK_FALSE(write_file(folder.file("plain"), "x"));
  CHECK(write_file(folder.file("plain/x"), "x") == "not a directory");
  CHECK(write_file(folder.file(std::string(300, 'n').c_str()), "x") == "file name too long");
  CHECK(folder.entries() == 3);
}

TEST_CASE("A file that is protected, or lies in a protected directory, is not replaced", "[io][write_file]") {
  if (geteuid() == 0) {
    WARN("root may write everything: nothing to see here");
    return;
  }
  const Folder folder;
  CHECK_FALSE(write_file(folder.file("old"), "old"));
  fs::permissions(folder.file("old"), fs::perms(0444));
  CHECK(write_file(folder.file("old"), "new") == "permission denied");
  fs::permissions(folder.path(), fs::perms(0555));
  CHECK(write_file(folder.file("fresh"), "new") == "permission denied");
  fs::permissions(folder.path(), fs::perms(0755));
  CHECK(bytes_of(folder.file("old")) == "old");
  CHECK(folder.entries() == 1);
}
