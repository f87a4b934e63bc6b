// Drawings that are made to hurt: refused with a reason, within bounds, and nothing outside of them is opened.
#include <arpa/inet.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/inotify.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <random>

#include "app/design/outline_reader.h"
#include "app/outline/confine.h"
#include "app/outline/outline_error.h"
#include "calib/files.h"
#include "tests/app/drawn_shape.h"
#include "tests/app/run_program.h"
#include "tests/catch.h"
#include "tests/error_of.h"

namespace {

const char* const kPage = "width=\"100mm\" height=\"80mm\" viewBox=\"0 0 100 80\"";
const std::string kInk = "<rect x=\"10\" y=\"10\" width=\"20\" height=\"20\"/>";

std::string repeated(const std::string& text, std::size_t times) {
  std::string all;
  all.reserve(text.size() * times);
  for (std::size_t i = 0; i < times; ++i) all += text;
  return all;
}

// Why it is refused; empty where it is not. What it took stays within the bounds either way. `ms`: less than the
// station gives, so that the tests go on.
std::string refusal(const std::string& svg, int ms = 150) {
  app::ReaderUse use;
  std::string why;
  try {
    app::read_outline(svg, 0.0, ms, &use);
  } catch (const app::OutlineError& error) {
    why = error.what();
    CHECK_FALSE(why.empty());
  }
  INFO(why);
  // The timer is as coarse as the kernel's ticks; libraries are loaded before it is set.
  CHECK(use.processor_s < 0.001 * ms + 0.15);
  CHECK(use.memory_mb < 200.0);
  return why;
}

std::string entities(int levels) {
  std::string text = "<!DOCTYPE svg [<!ENTITY e0 \"ha ha ha ha ha ha ha ha\">";
  for (int i = 1; i <= levels; ++i) {
    const std::string below = "&e" + std::to_string(i - 1) + ";";
    text += "<!ENTITY e" + std::to_string(i) + " \"" + repeated(below, 10) + "\">";
  }
  return text + "]>" + drawn::svg(kPage, "<text y=\"20\">&e" + std::to_string(levels) + ";</text>");
}

std::string uses(int levels) {
  std::string body = "<defs><g id=\"g0\">" + kInk + "</g>";
  for (int i = 1; i <= levels; ++i)
    body += "<g id=\"g" + std::to_string(i) + "\">" +
            repeated("<use xlink:href=\"#g" + std::to_string(i - 1) + "\"/>", 10) + "</g>";
  return drawn::svg(kPage, body + "</defs><use xlink:href=\"#g" + std::to_string(levels) + "\"/>");
}

}  // namespace

// Guarantees: a processor's second and 200 MB whatever the file holds. Example failure: an entity bomb that fills the
// station's memory.
TEST_CASE("hostile drawings are refused within their bounds", "[drawing][hostile]") {
  CHECK_FALSE(refusal(entities(9)).empty());
  CHECK_FALSE(refusal(uses(9)).empty());
  CHECK_FALSE(refusal(drawn::svg(kPage, repeated("<g>", 100000) + kInk + repeated("</g>", 100000))).empty());
  CHECK_FALSE(refusal(drawn::svg(kPage, repeated("<g>", 200) + kInk + repeated("</g>", 200) +
                                            repeated("<circle r=\"30\"/>", 400000)))
                  .empty());
  CHECK_FALSE(refusal(drawn::svg("width=\"1e30mm\" height=\"1e30mm\"", kInk)).empty());
  CHECK_FALSE(refusal(drawn::svg("width=\"0\" height=\"0\"", kInk)).empty());
  CHECK_FALSE(refusal(drawn::svg(kPage,
                                 "<path d=\"M0 40H1e9\" stroke=\"red\" stroke-width=\"9\" "
                                 "stroke-dasharray=\"1e-5\"/>"))
                  .empty());
  CHECK_FALSE(refusal(drawn::svg(kPage,
                                 "<filter id=\"f\" x=\"-1e5%\" y=\"-1e5%\" width=\"1e6%\" height=\"1e6%\">"
                                 "<feTurbulence baseFrequency=\"5\" numOctaves=\"100000\"/></filter>"
                                 "<rect width=\"100\" height=\"80\" filter=\"url(#f)\"/>"))
                  .empty());
  CHECK_FALSE(refusal(drawn::svg(kPage, "<filter id=\"f\"><feMorphology operator=\"dilate\" radius=\"1e9\"/>" +
                                            repeated("<feGaussianBlur stdDeviation=\"90\"/>", 300) +
                                            "</filter><g filter=\"url(#f)\">" + kInk + "</g>"))
                  .empty());
  // Compressed a thousandfold.
  const TemporaryFolder folder;
  const std::string bomb = (folder.path / "bomb.svgz").string();
  run_line(
      "(printf '<svg xmlns=\"http://www.w3.org/2000/svg\">'; head -c 60000000 /dev/zero | tr '\\0' ' ') | "
      "gzip -1 > " +
      bomb);
  REQUIRE(TemporaryFolder::content(bomb).size() > 1000);
  CHECK_FALSE(refusal(TemporaryFolder::content(bomb)).empty());
}

TEST_CASE("numbers beyond all bounds do no harm", "[drawing][hostile]") {
  for (const char* body : {"<path d=\"M1e308 1e308L-1e308 0L0 -1e308z\"/>", "<circle r=\"1e39\"/>",
                           "<rect width=\"1e9\" height=\"1e9\" transform=\"scale(1e30)\"/>",
                           "<path d=\"M0 0L10 10\" stroke=\"red\" "
                           "stroke-width=\"1e30\"/>",
                           "<g transform=\"matrix(nan nan nan nan nan nan)\"><rect width=\"9\" height=\"9\"/></g>"})
    static_cast<void>(refusal(drawn::svg(kPage, body)));
  static_cast<void>(refusal(drawn::svg("width=\"nan\" height=\"inf\"", kInk)));
  static_cast<void>(refusal(drawn::svg("width=\"9mm\" height=\"9mm\" viewBox=\"0 0 1e-300 1e-300\"", kInk)));
}

TEST_CASE("what is no drawing is named", "[drawing][hostile][errors]") {
  const TemporaryFolder folder;
  const auto said = [&](const std::filesystem::path& file) {
    const std::string text = error_of([&] { app::read_drawing(file); });
    CHECK(text.find(file.string() + ": ") == 0);
    return text;
  };
  CHECK(said(folder.put("empty.svg", "")).find("no SVG drawing") != std::string::npos);
  CHECK(said(folder.put("text.svg", "hello")).find("no SVG drawing") != std::string::npos);
  CHECK(said(folder.put("nothing.svg", drawn::svg(kPage, ""))).find("nothing is drawn") != std::string::npos);
  CHECK(said(folder.put("white.svg", drawn::svg(kPage, "<rect width=\"9\" height=\"9\" fill=\"none\"/>")))
            .find("nothing is drawn") != std::string::npos);
  CHECK(said(folder.put("huge.svg", std::string(17U << 20, ' '))).find("larger than 16 MB") != std::string::npos);
  CHECK(said(folder.path).find("is no file") != std::string::npos);
  CHECK(said(folder.path / "none.svg").find("cannot be read") != std::string::npos);
  // A pipe that nobody writes to.
  const auto pipe = folder.path / "pipe.svg";
  REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
  CHECK(said(pipe).find("is no file") != std::string::npos);
  CHECK(said(folder.put("far.svg", drawn::svg("width=\"5000mm\" height=\"5000mm\" viewBox=\"0 0 10 10\"",
                                              "<rect width=\"10\" height=\"10\"/>")))
            .find("true") != std::string::npos);
}

// Guarantees: what a drawing names outside itself is not opened, neither as a file nor over the network. The kernel
// tells of every opening.
TEST_CASE("nothing outside the drawing is opened", "[drawing][hostile]") {
  const TemporaryFolder folder;
  const std::string shape = drawn::svg("width=\"10\" height=\"10\"", "<rect id=\"a\" width=\"90\" height=\"60\"/>");
  const auto secret = folder.put("secret.svg", shape);
  folder.put("secret.css", "rect { fill: none }");
  const int watch = ::inotify_init1(IN_CLOEXEC | IN_NONBLOCK);
  REQUIRE(watch >= 0);
  REQUIRE(::inotify_add_watch(watch, folder.path.c_str(), IN_OPEN | IN_ACCESS) >= 0);
  const auto events = [watch] {
    char buffer[4096];
    return ::read(watch, buffer, sizeof buffer) > 0;
  };
  // An address that tells of visitors.
  const int door = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  REQUIRE(::bind(door, reinterpret_cast<sockaddr*>(&address), sizeof address) == 0);
  REQUIRE(::listen(door, 5) == 0);
  socklen_t length = sizeof address;
  REQUIRE(::getsockname(door, reinterpret_cast<sockaddr*>(&address), &length) == 0);
  const std::string web = "http://127.0.0.1:" + std::to_string(ntohs(address.sin_port)) + "/secret.svg";

  for (const std::string& place : {secret.string(), "file://" + secret.string(), std::string("secret.svg"), web}) {
    INFO(place);
    const std::string css = place.substr(0, place.size() - 3) + "css";
    const std::string text =
        "<?xml version=\"1.0\"?><?xml-stylesheet href=\"" + css + "\" type=\"text/css\"?>" + "<!DOCTYPE svg SYSTEM \"" +
        place + "\" [<!ENTITY x SYSTEM \"" + place + "\">]>" +
        drawn::svg(std::string(kPage) + " xmlns:xi=\"http://www.w3.org/2001/XInclude\"",
                   "<style>@import url('" + css + "'); @font-face { font-family: X; src: url('" + place +
                       "') } </style>" + kInk + "<image width=\"90\" height=\"60\" xlink:href=\"" + place +
                       "\"/><use xlink:href=\"" + place + "#a\"/><xi:include href=\"" + place +
                       "\"/><filter id=\"f\"><feImage xlink:href=\"" + place +
                       "\"/></filter><text font-family=\"X\" y=\"70\" fill=\"none\">&x;</text>");
    app::PageOutline seen;
    try {
      seen = app::read_outline(text, 0.0, app::kMostProcessorTime_ms);
    } catch (const app::OutlineError& error) {
      INFO(error.what());
    }
    // Drawn without them, or refused.
    for (const auto& outline : seen.outlines_mm)
      for (const cv::Point2d& p : outline) CHECK(p.x < 31.0);
    CHECK_FALSE(events());
  }
  pollfd visitor{door, POLLIN, 0};
  CHECK(::poll(&visitor, 1, 0) == 0);
  // The watch would have told.
  TemporaryFolder::content(secret);
  CHECK(events());
  ::close(door);
  ::close(watch);
}

// Guarantees: where the kernel has the walls, nobody behind them opens a file of the station's or an address. What the
// walls forbid is told by the kernel's own answer.
TEST_CASE("behind the walls nothing of the station can be opened", "[drawing][hostile]") {
  const TemporaryFolder folder;
  const std::string secret = folder.put("secret.txt", "x").string();
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    const app::Confinement walls = app::confine_this_process();
    int leaks = 0;
    if (walls.files && ::open(secret.c_str(), O_RDONLY | O_CLOEXEC) >= 0) leaks |= 1;
    if (walls.files && ::open((secret + "2").c_str(), O_WRONLY | O_CREAT | O_CLOEXEC, 0600) >= 0) leaks |= 2;
    if (walls.files && ::open("/usr", O_RDONLY | O_DIRECTORY | O_CLOEXEC) < 0) leaks |= 4;
    if (walls.system && ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0) >= 0) leaks |= 8;
    ::_exit(leaks);
  }
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  REQUIRE(WIFEXITED(status));
  CHECK(WEXITSTATUS(status) == 0);
}

// Guarantees: a damaged drawing is read or refused, and nothing else happens.
TEST_CASE("damaged drawings are read or refused", "[drawing][hostile][fuzz]") {
  const std::string whole =
      drawn::svg(kPage,
                 "<defs><linearGradient id=\"l\"><stop offset=\"0\" stop-color=\"red\"/></linearGradient></defs>"
                 "<g transform=\"rotate(10)\"><path d=\"M10 10C20 20 30 5 40 40A9 9 0 0 1 60 60z\" fill=\"url(#l)\""
                 "/></g><text x=\"5\" y=\"30\">Ab</text>");
  std::mt19937 random(7);
  for (int round = 0; round < 25; ++round) {
    std::string text = whole;
    for (int change = 0; change < 4; ++change) {
      const std::size_t at = random() % text.size();
      if (random() % 3 == 0)
        text.erase(at, 1 + random() % 9);
      else
        text[at] = static_cast<char>(random() % 256);
    }
    static_cast<void>(refusal(text));
  }
}
