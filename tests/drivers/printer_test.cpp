// The print server behind the tags: a real cupsd where there is one, and a server that never says a word.
#include "drivers/printer.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <sys/socket.h>

#include <iterator>

#include "tests/support/catch.h"
#include "tests/support/print_server.h"
#include "tests/support/temp_folder.h"

using namespace crimpgate;
using crimpgate::test::PrintServer;
using crimpgate::test::TempFolder;
namespace fs = std::filesystem;

namespace {

std::string bytes_of(const fs::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

PrintJob job_of(const fs::path& folder) {
    const auto file = folder / "tag.pdf";
    std::ofstream(file, std::ios::binary) << "%PDF-1.4\nnot much of a tag\n%%EOF\n";
    return {file.string(), "crimpgate K1-0001", 100, 150};
}

// Takes connections and says nothing.
struct Silent {
    Silent() {
        sockaddr_in at{};
        at.sin_family = AF_INET;
        at.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        fd = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
        REQUIRE(::bind(fd, reinterpret_cast<sockaddr*>(&at), sizeof at) == 0);
        REQUIRE(::listen(fd, 20) == 0);
        socklen_t size = sizeof at;
        REQUIRE(::getsockname(fd, reinterpret_cast<sockaddr*>(&at), &size) == 0);
        cupsSetServer(("127.0.0.1:" + std::to_string(ntohs(at.sin_port))).c_str());
    }
    ~Silent() {
        cupsSetServer(nullptr);
        ::close(fd);
    }
    int fd = -1;
};

}  // namespace

TEST_CASE(
    "R11: a tag handed to the print server comes out once, byte for byte, and its job is known by the server's id") {
    if (const auto why = PrintServer::why_not(); !why.empty()) {
        WARN("skipped: " << why);
        return;
    }
    const TempFolder folder;
    PrintServer server(folder / "cups");
    const auto found = find_printers();
    REQUIRE(found.has_value());
    REQUIRE(found->size() == 1);
    CHECK(found->front().name == "label");
    CHECK(found->front().info == "Labels for the bench");
    CHECK(found->front().state == "idle");
    CHECK(found->front().accepting);

    const auto job = job_of(folder.path());
    CHECK(CupsPrinter("label").print(job).value() == "label-1");
    CHECK(server.printed(1) == 1);
    CHECK(bytes_of(server.out() / "job-1.pdf") == bytes_of(job.file));

    const auto nobody = CupsPrinter("no-such-queue").print(job);
    REQUIRE_FALSE(nobody.has_value());
    CHECK(nobody.error().code == "printer.refused");
    CHECK_FALSE(nobody.error().detail("said").empty());
}

TEST_CASE("R11: a device that is out of labels keeps the server's job, which comes out by itself and once") {
    if (const auto why = PrintServer::why_not(); !why.empty()) {
        WARN("skipped: " << why);
        return;
    }
    const TempFolder folder;
    PrintServer server(folder / "cups");
    server.break_device(true);
    CHECK(CupsPrinter("label").print(job_of(folder.path())).has_value());
    CHECK(server.count() == 0);
    server.break_device(false);
    CHECK(server.printed(1) == 1);
}

TEST_CASE("R10: a print server that is gone refuses, prints nothing, and is of use again once it is back") {
    if (const auto why = PrintServer::why_not(); !why.empty()) {
        WARN("skipped: " << why);
        return;
    }
    const TempFolder folder;
    PrintServer server(folder / "cups");
    server.stop();
    const auto job = job_of(folder.path());
    CHECK(CupsPrinter("label").print(job).error().code == "printer.refused");
    CHECK(find_printers().error().code == "printer.no_server");
    server.start();
    CHECK(CupsPrinter("label").print(job).has_value());
    CHECK(server.printed(1) == 1);
}

TEST_CASE("R10: a print server that takes the connection and never says a word is given up, and has nothing to print") {
    const Silent silent;
    const TempFolder folder;
    const auto patience = std::chrono::milliseconds(200);
    const auto refused = CupsPrinter("label", patience).print(job_of(folder.path()));
    REQUIRE_FALSE(refused.has_value());
    CHECK(refused.error().code == "printer.refused");
    CHECK(refused.error().detail("said") == "no answer");
    CHECK(find_printers(patience).error().code == "printer.no_server");
}
