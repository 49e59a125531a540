#include "drivers/port_finder.h"

#include <unistd.h>

#include <fstream>

#include "tests/support/catch.h"
#include "tests/support/temp_folder.h"

using namespace crimpgate;
namespace fs = std::filesystem;

namespace {

// A folder that looks like /dev: plain files for the devices, and the links that udev makes.
class PretendDev {
  public:
    PretendDev() { fs::create_directories(folder_ / "serial"); }
    PretendDev(const PretendDev&) = delete;
    PretendDev& operator=(const PretendDev&) = delete;

    void device(const std::string& name) { std::ofstream(folder_ / name) << ""; }
    void link(const std::string& kind, const std::string& name, const std::string& device) {
        fs::create_directories(folder_ / "serial" / kind);
        fs::create_symlink("../../" + device, folder_ / "serial" / kind / name);
    }
    std::string at(const std::string& tail) const { return (folder_ / tail).string(); }
    const fs::path& root() const { return folder_.path(); }

  private:
    crimpgate::test::TempFolder folder_;
};

}  // namespace

TEST_CASE("A machine without serial ports has an empty list") {
    PretendDev dev;
    CHECK(find_ports(dev.root()).empty());
    CHECK(find_ports(dev.root() / "nowhere").empty());
}

TEST_CASE("A single adapter is configured by its own name") {
    PretendDev dev;
    dev.device("ttyUSB0");
    dev.link("by-id", "usb-Acme_Converter_A1-if00-port0", "ttyUSB0");
    dev.link("by-path", "pci-0000:00:14.0-usbv2-0:2:1.0-port0", "ttyUSB0");
    dev.link("by-path", "pci-0000:00:14.0-usb-0:2:1.0-port0", "ttyUSB0");
    const auto ports = find_ports(dev.root());
    REQUIRE(ports.size() == 1);
    CHECK(ports[0].device == dev.at("ttyUSB0"));
    CHECK(ports[0].key == dev.at("serial/by-id/usb-Acme_Converter_A1-if00-port0"));
    CHECK(ports[0].by_path == dev.at("serial/by-path/pci-0000:00:14.0-usb-0:2:1.0-port0"));
    CHECK(ports[0].advice.code == "port.name_follows_adapter");
    CHECK_FALSE(doubt_about_name(ports[0].key, ports));
}

TEST_CASE("Two adapters that share one name are told apart by their sockets") {
    PretendDev dev;
    dev.device("ttyUSB0");
    dev.device("ttyUSB1");
    dev.link("by-id", "usb-Acme_Converter-if00-port0", "ttyUSB1");  // only one of the twins holds the name
    dev.link("by-path", "pci-0000:00:14.0-usb-0:1:1.0-port0", "ttyUSB0");
    dev.link("by-path", "pci-0000:00:14.0-usb-0:2:1.0-port0", "ttyUSB1");
    const auto ports = find_ports(dev.root());
    REQUIRE(ports.size() == 2);
    for (const auto& port : ports) {
        CHECK(port.key == port.by_path);
        CHECK(port.advice.code == "port.name_follows_socket_twins");
        CHECK(port.advice.detail("name") == port.by_path);
    }
    const auto doubt = doubt_about_name(ports[1].by_id, ports);
    REQUIRE(doubt);
    CHECK(doubt->code == "port.name_shared_by_twins");
    CHECK(doubt->detail("better") == ports[1].by_path);
}

TEST_CASE("A socket on the board does not make USB names doubtful") {
    PretendDev dev;
    dev.device("ttyS4");
    dev.device("ttyACM0");
    dev.link("by-path", "pci-0000:00:16.3", "ttyS4");
    dev.link("by-id", "usb-Acme_Gauge_7781-if00", "ttyACM0");
    dev.link("by-path", "pci-0000:00:14.0-usb-0:3:1.0", "ttyACM0");
    const auto ports = find_ports(dev.root());
    REQUIRE(ports.size() == 2);
    CHECK(ports[0].key == ports[0].by_id);
    CHECK(ports[1].advice.code == "port.name_follows_socket");
}

TEST_CASE("A number in the order of plugging in is pointed out, with the name to take instead") {
    PretendDev dev;
    dev.device("ttyUSB0");
    dev.link("by-id", "usb-Acme_Converter_A1-if00-port0", "ttyUSB0");
    const auto ports = find_ports(dev.root());
    const auto doubt = doubt_about_name(dev.at("ttyUSB0"), ports);
    REQUIRE(doubt);
    CHECK(doubt->code == "port.name_may_change");
    CHECK(doubt->detail("better") == ports.at(0).key);
}

TEST_CASE("A link left over from a port that is gone is not listed") {
    PretendDev dev;
    dev.link("by-id", "usb-Acme_Converter_A1-if00-port0", "ttyUSB0");
    CHECK(find_ports(dev.root()).empty());
}
