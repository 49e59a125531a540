// Descriptions of what the API takes for station/json/reflect.h: the bench's commands, and bodies of the API's own.
#pragma once

#include <boost/describe.hpp>

#include "station/bench/commands.h"
#include "station/entries/describe_entries.h"

namespace crimpgate {

namespace commands {

BOOST_DESCRIBE_STRUCT(StartShift, (), ())
BOOST_DESCRIBE_STRUCT(EndShift, (), ())
BOOST_DESCRIBE_STRUCT(AcceptClock, (), ())
BOOST_DESCRIBE_STRUCT(ProveGauge, (), (gauge, reference))
BOOST_DESCRIBE_STRUCT(WithdrawGauge, (), (gauge, reason))
BOOST_DESCRIBE_STRUCT(TakeOrder, (), (order))
BOOST_DESCRIBE_STRUCT(ConfirmLots, (), (hose_lot, fitting_a_lot, fitting_b_lot))
BOOST_DESCRIBE_STRUCT(ConfirmDie, (), (die_set, crimper, setting))
BOOST_DESCRIBE_STRUCT(Confirm, (), (what, yes, seen))
BOOST_DESCRIBE_STRUCT(VoidLast, (), (reason))
BOOST_DESCRIBE_STRUCT(PutInQuarantine, (), (serial))
BOOST_DESCRIBE_STRUCT(TakeUp, (), (serial))
BOOST_DESCRIBE_STRUCT(SettleTagDoubt, (), (serial, found))
BOOST_DESCRIBE_STRUCT(AdoptProposal, (), (proposed_seq))
BOOST_DESCRIBE_STRUCT(DropProposal, (), (proposed_seq, reason))
BOOST_DESCRIBE_STRUCT(GiveRole, (), (person, role))
BOOST_DESCRIBE_STRUCT(GiveBadge, (), (person, badge))
BOOST_DESCRIBE_STRUCT(RetirePerson, (), (person, reason))
BOOST_DESCRIBE_STRUCT(ChooseLanguage, (), (language))

}  // namespace commands

// What differs from the commands: a PIN instead of its hash, files instead of rows, members that only some uses need.
namespace api {

// Who somebody is and what proves it: their badge and PIN at this machine, or badge or id and passphrase from anywhere.
// As "by" this one action as another person, who stays signed out; as "second" the second signature.
struct ByBody {
    std::string person;
    std::optional<std::string> pin;
    std::optional<std::string> passphrase;
};
struct SignInBody {
    std::string person;
    std::optional<std::string> pin;
    std::optional<std::string> passphrase;
    std::optional<bool> at_bench;  // also at the bench; not given: at this machine operators and leads yes, others no
    std::optional<bool> cookie;    // the token as a cookie that no script can read, and not in the answer
};
struct PersonBody {
    std::string person;
    std::string name;
    Role role = Role::operator_;
    std::optional<std::string> pin;
    std::optional<std::string> passphrase;
    std::optional<std::string> badge;
    std::optional<std::string> language;
    std::optional<std::string> code;  // the one-time code, for the first person
};
struct SecretBody {
    std::string person;
    std::optional<std::string> pin;
    std::optional<std::string> passphrase;
};
struct GaugeBody {  // the profile is that of the gauge's line
    std::string gauge;
    Length resolution;
    Length uncertainty;
    Length proof_limit;
    std::string calibrated;
    std::string calibration_due;
    std::string certificate;
};
struct TableBody {
    std::string name;
    std::string csv;
    std::optional<bool> acknowledge_warnings;
};
struct TableCheckBody {
    std::string name;
    std::string csv;
};
struct LineBody {  // its profile's file is looked up by id
    std::string gauge;
    std::string port;
    std::string profile;
};
struct OrdersBody {
    std::string csv;
};
struct SettleBody {
    std::string serial;
    Settlement how = Settlement::scrap;
    std::string reason;
    std::optional<std::string> customer_reference;
    std::optional<ByBody> second;
};
struct HoldBody {
    std::optional<std::string> serial;  // not given: the assembly in work
    std::string reason;
};
struct ReprintBody {
    std::string serial;
    std::string reason;
};
struct BackupBody {
    std::string to;  // file on the station's machine; must not be there yet
};
struct NoBody {};

BOOST_DESCRIBE_STRUCT(ByBody, (), (person, pin, passphrase))
BOOST_DESCRIBE_STRUCT(SignInBody, (), (person, pin, passphrase, at_bench, cookie))
BOOST_DESCRIBE_STRUCT(PersonBody, (), (person, name, role, pin, passphrase, badge, language, code))
BOOST_DESCRIBE_STRUCT(SecretBody, (), (person, pin, passphrase))
BOOST_DESCRIBE_STRUCT(GaugeBody, (),
                      (gauge, resolution, uncertainty, proof_limit, calibrated, calibration_due, certificate))
BOOST_DESCRIBE_STRUCT(TableBody, (), (name, csv, acknowledge_warnings))
BOOST_DESCRIBE_STRUCT(TableCheckBody, (), (name, csv))
BOOST_DESCRIBE_STRUCT(LineBody, (), (gauge, port, profile))
BOOST_DESCRIBE_STRUCT(OrdersBody, (), (csv))
BOOST_DESCRIBE_STRUCT(SettleBody, (), (serial, how, reason, customer_reference, second))
BOOST_DESCRIBE_STRUCT(HoldBody, (), (serial, reason))
BOOST_DESCRIBE_STRUCT(ReprintBody, (), (serial, reason))
BOOST_DESCRIBE_STRUCT(BackupBody, (), (to))
BOOST_DESCRIBE_STRUCT(NoBody, (), ())

}  // namespace api
}  // namespace crimpgate
