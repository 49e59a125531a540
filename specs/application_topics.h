// The topics of the application check, one function each (application.h has rules and sources); used by it alone.
#pragma once

#include "specs/application.h"

namespace crimpgate::application {

// Collects what is found; the four ways in which a topic can end.
class Findings {
  public:
    void stop(Message what, std::string_view source, SourceMark mark);
    void warn(Message what, std::string_view source, SourceMark mark);
    void holds(Message what, std::string_view source, SourceMark mark);
    void not_checked(Message what);
    std::vector<ApplicationFinding> take() { return std::move(all_); }

  private:
    void add(FindingSeverity severity, Message what, std::string_view source, SourceMark mark);
    std::vector<ApplicationFinding> all_;
};

// "34.5": as many places as hold it, at most three.
std::string mm(Length length);
std::string bar(Pressure pressure);

void fluid(Findings& out, const Application& wanted, const AssemblyFacts& assembly);
void temperatures(Findings& out, const Application& wanted, const AssemblyFacts& assembly);
void bend_radius(Findings& out, const Application& wanted, const AssemblyFacts& assembly);
void straight_leads(Findings& out, const Application& wanted, const AssemblyFacts& assembly);
void bend_length(Findings& out, const Application& wanted, const AssemblyFacts& assembly);
void length_under_pressure(Findings& out, const Application& wanted, const AssemblyFacts& assembly);
void slack(Findings& out, const Application& wanted, const AssemblyFacts& assembly);

}  // namespace crimpgate::application
