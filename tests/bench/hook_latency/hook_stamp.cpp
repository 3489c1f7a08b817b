// Writes down when it was started: hook_stamp FILE < NOTICE adds "MICROSECONDS NOTICE" to the file.
#include <fcntl.h>
#include <unistd.h>

#include <chrono>
#include <string>

int main(int argc, char** argv) {
  const auto began = std::chrono::system_clock::now().time_since_epoch();
  std::string line = std::to_string(std::chrono::duration_cast<std::chrono::microseconds>(began).count()) + ' ';
  char piece[4096];
  for (ssize_t got = 0; (got = ::read(STDIN_FILENO, piece, sizeof piece)) > 0;)
    line.append(piece, static_cast<std::size_t>(got));
  const int file = argc == 2 ? ::open(argv[1], O_WRONLY | O_APPEND | O_CREAT | O_CLOEXEC, 0600) : -1;
  return file >= 0 && ::write(file, line.data(), line.size()) == static_cast<ssize_t>(line.size()) ? 0 : 1;
}
