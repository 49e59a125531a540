// Issuing: rights and what stands in the way on the loop, a checkpoint signed, the paper made on another thread with a
// journal of its own, then sealed, kept as a file and journalled on the loop again. The file comes first: an entry
// without its file would be a certificate that nobody can show.
#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <fstream>
#include <iterator>
#include <memory>

#include <boost/json.hpp>

#include "specs/dates.h"
#include "station/bench/decider.h"
#include "station/daemon/certificate_issue.h"
#include "station/http/api.h"
#include "station/http/body_members.h"
#include "station/http/certificate_routes.h"
#include "station/http/describe_certificates.h"
#include "station/http/describe_commands.h"
#include "station/http/link_token.h"
#include "station/http/page_words.h"
#include "station/journal/certificates.h"
#include "station/json/reflect.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

HttpResponse certificate_refused(const Message& why) {
    const std::string_view code = why.code;
    if (code == "certificate.no_order" || code == "certificate.no_number" || code == "delivery.no_delivery" ||
        code == "trace.no_serial" || code == "certificate.file_gone")
        return error_response(404, why);
    if (code == "certificate.pdf_failed" || code == "certificate.not_written" || code == "certificate.file_changed")
        return error_response(500, why);
    if (code.starts_with("date.") || code == "link.day_past" || code == "certificate.until_of_no_link")
        return error_response(400, why);
    if (code.starts_with("certificate.") || code.starts_with("evidence.")) return error_response(409, why);
    return refusal_of(why);
}

std::filesystem::path folder_of(const Api& api, const Journal& journal) {
    const auto& given = api.parts().certificates.folder;
    return given.empty() ? journal.file().parent_path() / "certificates" : given;
}

// Whole or not at all, and on the disk before it returns.
Result<void> keep_file(const std::filesystem::path& file, const std::string& bytes) {
    const auto failed = [&file](int error) {
        return refuse(
            message("certificate.not_written").with("file", file.string()).with("reason", std::strerror(error)));
    };
    std::error_code why;
    std::filesystem::create_directories(file.parent_path(), why);
    if (why) return failed(why.value());
    const std::string part = file.string() + ".part";
    const int handle = ::open(part.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0640);
    if (handle < 0) return failed(errno);
    int error = 0;
    for (std::size_t at = 0; at < bytes.size() && error == 0;) {
        const auto written = ::write(handle, bytes.data() + at, bytes.size() - at);
        if (written < 0 && errno != EINTR) error = errno;
        if (written > 0) at += static_cast<std::size_t>(written);
    }
    if (error == 0 && ::fsync(handle) != 0) error = errno;
    if (::close(handle) != 0 && error == 0) error = errno;
    if (error == 0 && std::rename(part.c_str(), file.c_str()) != 0) error = errno;
    const int folder = error == 0 ? ::open(file.parent_path().c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC) : -1;
    if (folder >= 0) {
        if (::fsync(folder) != 0) error = errno;
        ::close(folder);
    }
    if (error != 0) return failed(error);
    return {};
}

HttpAnswer certificates_list(ApiCall& call) {
    const auto limit = call.number("limit", 200, 10'000);
    if (!limit) return refusal_of(limit.error());
    const auto serial = call.request.query.find("serial");
    auto list = certificates(call.api.journal(), serial == call.request.query.end() ? "" : serial->second, *limit);
    if (!list) return refusal_of(list.error());
    json::object body;
    body["certificates"] = std::move(*list);
    return ok(body);
}

// "CF-12.pdf" or "CF-12.json": what was issued, or nothing.
HttpAnswer certificate_file(ApiCall& call) {
    const auto dot = call.value.rfind('.');
    const auto number = call.value.substr(0, dot);
    const auto ending = dot == std::string::npos ? std::string() : call.value.substr(dot);
    const auto known = certificate(call.api.journal(), number);
    if (!known) return certificate_refused(known.error());
    if (ending != ".pdf" && ending != ".json")
        return certificate_refused(message("certificate.no_number").with("number", call.value));
    std::ifstream in(folder_of(call.api, call.api.journal()) / (number + ending), std::ios::binary);
    const std::string reason = in.is_open() ? "" : std::strerror(errno);
    std::string bytes((std::istreambuf_iterator<char>(in)), {});
    if (!in.is_open() || in.bad())
        return certificate_refused(message("certificate.file_gone").with("number", number).with("reason", reason));
    const auto wanted = known->at(ending == ".pdf" ? "pdf_sha256" : "evidence_sha256").as_string();
    if (to_hex(sha256(bytes)) != std::string_view(wanted))
        return certificate_refused(message("certificate.file_changed").with("number", number));
    HttpResponse response;
    response.content_type = ending == ".pdf" ? "application/pdf" : "application/json";
    response.body = std::move(bytes);
    response.headers.emplace_back("Content-Disposition", "attachment; filename=\"" + number + ending + "\"");
    return response;
}

// The refusal, and beside it each serial with the stage that it is in.
HttpResponse with_list(const Message& why, const CertificateSubject& subject) {
    auto response = certificate_refused(why);
    auto body = json::parse(response.body).as_object();
    json::array list;
    for (const auto& [serial, stage] : subject.in_way)
        list.push_back(json::object{{"serial", serial}, {"stage", stage}});
    body["in_the_way"] = std::move(list);
    response.body = json::serialize(body);
    return response;
}

CertificateIssuer issuer_for(const ApiCall& call) {
    const auto& desk = call.api.desk();
    CertificateIssuer out;
    out.shop = call.api.parts().shop;
    out.address = call.api.parts().certificates.address;
    out.place = call.api.parts().certificates.place;
    out.station = call.api.journal().station();
    out.time_zone = desk.time_zone();
    out.person = call.who;
    for (const auto& [id, person] : desk.state().people)
        out.names[id] = person.name;
    out.number = "CF-" + std::to_string(desk.state().record.certificates + 1);
    out.now_ms = desk.now().utc_ms;
    out.inches = desk.rules().shown_unit == ShownUnit::inch;
    out.say = [](const std::string& language, const Message& m) { return say_in(language, m); };
    return out;
}

Result<KeptCheckpoint> checkpoint_for(ApiCall& call) {
    const auto& parts = call.api.parts().certificates;
    if (!parts.seal) return refuse(message("evidence.no_key"));
    if (parts.sign) return parts.sign("certificate", call.who);
    auto last = last_checkpoint(call.api.journal());
    if (!last) return refuse(last.error());
    if (!*last) return refuse(message("certificate.no_checkpoint"));
    return std::move(**last);
}

// The link whose address will be printed; its token is on the paper and here, and nowhere else. Its number is given
// when the certificate is written down. Nothing where none is asked for.
Result<std::optional<entries::LinkMade>> link_for(const ApiCall& call, const api::CertificateBody& body,
                                                  const CertificateSubject& subject, CertificateAsked& asked) {
    if (!body.with_link.value_or(false)) {
        if (body.link_until) return refuse(message("certificate.until_of_no_link"));
        return std::optional<entries::LinkMade>();
    }
    if (body.subject != api::CertificateOf::delivery) return refuse(message("certificate.link_of_delivery"));
    const auto& base = call.api.parts().certificates.link;
    if (base.empty()) return refuse(message("certificate.no_link_address"));
    entries::LinkMade link;
    link.customer = subject.customer;
    link.delivery = subject.id;
    link.valid_until = body.link_until.value_or("");
    if (!link.valid_until.empty()) {
        if (const auto day = parse_date(link.valid_until); !day) return refuse(day.error());
        if (const auto today = call.api.desk().now().local_date; link.valid_until < today)
            return refuse(message("link.day_past").with("day", link.valid_until).with("today", today));
    }
    const auto token = make_link_token();
    link.token_sha256 = link_token_hash(token);
    asked.link = CertificateLink{link_address(base, token), link.valid_until};
    return link;
}

// `key`: in force when the record inside was signed. A seal by another one would not be led to by that record.
HttpResponse finished(Api& api, MadeCertificate made, std::optional<entries::LinkMade> link, const std::string& who,
                      const std::string& key) {
    auto& issued = made.issued;
    if (api.desk().state().record.key.key != key) return certificate_refused(message("record.key_meanwhile"));
    const auto pdf = api.parts().certificates.seal(std::move(made.pdf), issued.certificate);
    issued.pdf_sha256 = to_hex(sha256(pdf));
    // Before the file is touched: a number that was given meanwhile has a file of its own.
    if (issued.certificate != "CF-" + std::to_string(api.desk().state().record.certificates + 1))
        return certificate_refused(message("certificate.meanwhile").with("number", issued.certificate));
    if (link) {
        link->link = next_link(api.desk().state());
        link->certificate = issued.certificate;
        issued.link = link->link;
    }
    const auto folder = folder_of(api, api.journal());
    if (auto kept = keep_file(folder / (issued.certificate + ".pdf"), pdf); !kept)
        return certificate_refused(kept.error());
    if (auto kept = keep_file(folder / (issued.certificate + ".json"), made.evidence); !kept)
        return certificate_refused(kept.error());
    const auto ran = api.desk().run(commands::IssueCertificate{issued, std::move(link)}, who);
    if (ran.refusal) {
        for (const auto* ending : {".pdf", ".json"}) {
            std::error_code unimportant;
            std::filesystem::remove(folder / (issued.certificate + ending), unimportant);
        }
        return certificate_refused(*ran.refusal);
    }
    auto response = answer_of(ran);
    auto body = json::parse(response.body).as_object();
    body["certificate"] = issued.certificate;
    body["pdf_sha256"] = issued.pdf_sha256;
    body["evidence_sha256"] = issued.evidence_sha256;
    body["checkpoint_size"] = issued.checkpoint_size;
    if (issued.link) body["link"] = *issued.link;
    response.body = json::serialize(body);
    return response;
}

HttpAnswer issue_certificate(ApiCall& call) {
    auto read = reflect::from_json<api::CertificateBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    // Before anything is looked up or signed: whoever may not issue one starts nothing.
    const auto& person = call.api.desk().state().people.at(call.who);
    if (person.role != Role::lead) return refusal_of(message("bench.not_a_lead").with("person", person.name));
    if (read->function.empty()) return error_response(400, message("bench.field_empty").with("field", "function"));
    CertificateAsked asked;
    asked.subject = reflect::enum_name(read->subject);
    asked.id = read->id;
    asked.statement = read->statement;
    asked.function = read->function;
    asked.independent = read->independent;
    asked.paper = read->paper.value_or(PaperSize::a4);
    asked.language = reflect::enum_name(read->language.value_or(api::CertificateLanguage::en));
    const auto subject = certificate_subject(call.api.journal(), asked.subject, asked.id);
    if (!subject) return certificate_refused(subject.error());
    if (auto clear = nothing_in_the_way(*subject); !clear) return with_list(clear.error(), *subject);
    const auto link = link_for(call, *read, *subject, asked);
    if (!link) return certificate_refused(link.error());
    const auto checkpoint = checkpoint_for(call);
    if (!checkpoint) return certificate_refused(checkpoint.error());

    const auto made = std::make_shared<std::optional<MadeCertificate>>();
    LaterAnswer later;
    later.work = [made, asked, issuer = issuer_for(call), checkpoint = *checkpoint, file = call.api.journal().file(),
                  station = call.api.journal().station()] {
        const auto journal = second_look(file, station);
        if (!journal) return refusal_of(journal.error());
        auto done = make_certificate(*journal, asked, issuer, checkpoint);
        if (!done) return certificate_refused(done.error());
        *made = std::move(*done);
        return HttpResponse{};
    };
    later.then = [made, link = *link, &api = call.api, who = call.who,
                  key = call.api.desk().state().record.key.key](HttpResponse refused) {
        if (!*made) return refused;
        return finished(api, std::move(**made), link, who, key);
    };
    return later;
}

}  // namespace

std::vector<Route> certificate_routes() {
    return {
        {"GET", "/api/certificates", "certificates", Needs::office, &certificates_list, nullptr},
        {"GET", "/api/certificates/{file}", "certificateFile", Needs::office, &certificate_file, nullptr},
        {"POST", "/api/certificates", "issueCertificate", Needs::signed_in, &issue_certificate,
         &members_of<api::CertificateBody>},
    };
}

}  // namespace crimpgate
