#include "drivers/printer.h"

#include <cups/cups.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstring>
#include <memory>

namespace crimpgate {

namespace {

struct CloseConnection {
    void operator()(http_t* connection) const { httpClose(connection); }
};
struct DeleteAnswer {
    void operator()(ipp_t* answer) const { ippDelete(answer); }
};
struct CloseFile {
    void operator()(std::FILE* file) const { std::fclose(file); }
};
using Connection = std::unique_ptr<http_t, CloseConnection>;
using Answer = std::unique_ptr<ipp_t, DeleteAnswer>;
using File = std::unique_ptr<std::FILE, CloseFile>;

// A server that stays silent for that long is given up: without this CUPS waits for ever.
int give_up(http_t*, void*) {
    return 0;
}

Connection connect(std::chrono::milliseconds patience) {
    Connection connection(httpConnect2(cupsServer(), ippPort(), nullptr, AF_UNSPEC, cupsEncryption(), 1,
                                       static_cast<int>(patience.count()), nullptr));
    if (connection) httpSetTimeout(connection.get(), static_cast<double>(patience.count()) / 1000.0, give_up, nullptr);
    return connection;
}

std::string last_said() {
    const char* said = cupsLastErrorString();
    // A connection that timed out leaves the words for "no error" behind.
    const bool none = said == nullptr || std::strcmp(said, std::strerror(0)) == 0;
    return none ? std::string("no answer") : std::string(said);
}

// As a request of our own: cupsCreateJob looks the queue up over connections of its own first, which know no timeout.
int create_job(http_t* server, const std::string& queue, const PrintJob& job) {
    std::array<char, HTTP_MAX_URI> uri{};
    httpAssembleURIf(HTTP_URI_CODING_ALL, uri.data(), static_cast<int>(uri.size()), "ipp", nullptr, "localhost",
                     ippPort(), "/printers/%s", queue.c_str());
    ipp_t* request = ippNewRequest(IPP_OP_CREATE_JOB);  // the request is CUPS's to free
    ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_URI, "printer-uri", nullptr, uri.data());
    ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_NAME, "requesting-user-name", nullptr, cupsUser());
    ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_NAME, "job-name", nullptr, job.title.c_str());
    const std::string media = "Custom." + std::to_string(job.width_mm) + "x" + std::to_string(job.height_mm) + "mm";
    cups_option_t* options = nullptr;
    int count = cupsAddOption("media", media.c_str(), 0, &options);
    count = cupsAddOption("print-scaling", "none", count, &options);
    count = cupsAddOption("copies", "1", count, &options);
    cupsEncodeOptions2(request, count, options, IPP_TAG_JOB);
    cupsFreeOptions(count, options);
    const std::string resource = "/printers/" + queue;
    const Answer answer(cupsDoRequest(server, request, resource.c_str()));
    if (!answer || cupsLastError() > IPP_STATUS_OK_EVENTS_COMPLETE) return 0;
    auto* id = ippFindAttribute(answer.get(), "job-id", IPP_TAG_INTEGER);
    return id == nullptr ? 0 : ippGetInteger(id, 0);
}

const char* state_word(int state) {
    if (state == IPP_PSTATE_PROCESSING) return "printing";
    return state == IPP_PSTATE_STOPPED ? "stopped" : "idle";
}

}  // namespace

Result<std::string> CupsPrinter::print(const PrintJob& job) {
    const auto failed = [&](std::string_view code, std::string said) {
        Message why{std::string(code), {}};
        return refuse(std::move(why).with("printer", queue_).with("said", said));
    };
    const std::string refused = message("printer.refused").code;
    const File file(std::fopen(job.file.c_str(), "rbe"));
    if (!file) return failed(refused, "the file cannot be read");
    const Connection server = connect(patience_);
    if (!server) return failed(refused, last_said());

    const int id = create_job(server.get(), queue_, job);
    if (id <= 0) return failed(refused, last_said());  // a job without a document prints nothing

    // Until the document is whole the server has nothing to print, and the job is called off.
    const auto call_off = [&] {
        std::string said = last_said();
        cupsCancelJob2(server.get(), queue_.c_str(), id, 1);
        return failed(refused, std::move(said));
    };
    if (cupsStartDocument(server.get(), queue_.c_str(), id, job.title.c_str(), CUPS_FORMAT_PDF, 1) !=
        HTTP_STATUS_CONTINUE)
        return call_off();
    std::array<char, 16384> piece;
    for (std::size_t n = 0; (n = std::fread(piece.data(), 1, piece.size(), file.get())) > 0;)
        if (cupsWriteRequestData(server.get(), piece.data(), n) != HTTP_STATUS_CONTINUE) return call_off();
    if (std::ferror(file.get()) != 0) return call_off();
    const auto done = cupsFinishDocument(server.get(), queue_.c_str());
    if (done <= IPP_STATUS_OK_EVENTS_COMPLETE) return queue_ + "-" + std::to_string(id);
    // The server's own word that it will not have it, or no word at all.
    const bool its_word = done >= IPP_STATUS_ERROR_BAD_REQUEST && done < IPP_STATUS_ERROR_INTERNAL;
    if (its_word) return call_off();
    return failed(message("printer.in_doubt").code, last_said());
}

Result<std::vector<FoundPrinter>> find_printers(std::chrono::milliseconds patience) {
    const auto no_server = [] { return refuse(message("printer.no_server").with("said", last_said())); };
    const Connection server = connect(patience);
    if (!server) return no_server();
    static constexpr std::array<const char*, 5> wanted = {"printer-name", "printer-info", "printer-state",
                                                          "printer-is-accepting-jobs", "printer-state-message"};
    ipp_t* request = ippNewRequest(IPP_OP_CUPS_GET_PRINTERS);  // the request is CUPS's to free
    ippAddStrings(request, IPP_TAG_OPERATION, IPP_TAG_KEYWORD, "requested-attributes", static_cast<int>(wanted.size()),
                  nullptr, wanted.data());
    const Answer answer(cupsDoRequest(server.get(), request, "/"));
    const auto status = cupsLastError();
    if (status == IPP_STATUS_ERROR_NOT_FOUND) return std::vector<FoundPrinter>{};  // CUPS's way to say: no queues
    if (!answer || status > IPP_STATUS_OK_EVENTS_COMPLETE) return no_server();

    std::vector<FoundPrinter> out;
    FoundPrinter one;
    const auto finish = [&] {
        if (!one.name.empty()) out.push_back(std::move(one));
        one = {};
    };
    for (auto* a = ippFirstAttribute(answer.get()); a != nullptr; a = ippNextAttribute(answer.get())) {
        const char* given = ippGetName(a);
        if (ippGetGroupTag(a) != IPP_TAG_PRINTER || given == nullptr) {
            finish();
            continue;
        }
        const std::string_view name(given);
        const auto text = [&] {
            const char* said = ippGetString(a, 0, nullptr);
            return said == nullptr ? std::string() : std::string(said);
        };
        if (name == "printer-name") one.name = text();
        if (name == "printer-info") one.info = text();
        if (name == "printer-state") one.state = state_word(ippGetInteger(a, 0));
        if (name == "printer-is-accepting-jobs") one.accepting = ippGetBoolean(a, 0) != 0;
        if (name == "printer-state-message") one.said = text();
    }
    finish();
    std::sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.name < b.name; });
    return out;
}

}  // namespace crimpgate
