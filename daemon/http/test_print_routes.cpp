#include "daemon/http/test_print_routes.h"

#include "daemon/http/body_members.h"
#include "daemon/http/test_print_form.h"

namespace frisket::http {
namespace {

using json::Json;

model::Result<TestPrint> test_print_from(const Request& request, std::string_view device) {
  const auto body = body_of(request, {"dry_run", "by", "note", "incident"});
  if (!body) return body.error();
  TestPrint asked;
  asked.device = device;
  const auto dry_run = flag_in(*body, "dry_run");
  if (!dry_run) return dry_run.error();
  asked.dry_run = *dry_run;
  for (const auto& [member, name] :
       {std::pair{&asked.incident, "incident"}, std::pair{&asked.by, "by"}, std::pair{&asked.note, "note"}}) {
    auto text = text_in(*body, name);
    if (!text) return text.error();
    *member = std::move(*text);
  }
  return asked;
}

// For the audit trail: what was asked, and what came of it.
std::string detail_of(const TestPrintOutcome& outcome, const Json& form) {
  auto detail = form;
  if (!outcome.asked.by.empty()) detail["by"] = outcome.asked.by;
  if (!outcome.asked.note.empty()) detail["note"] = outcome.asked.note;
  return json::text_of(detail);
}

Response answer_of(const model::Result<TestPrintOutcome>& outcome, const std::string& path) {
  if (!outcome) return problem(status_of(outcome.error().kind), outcome.error().what, path);
  const auto form = test_print_form(*outcome);
  auto response = make_response(200, kJson, json::text_of(form));
  response.audit_detail = detail_of(*outcome, form);
  return response;
}

}  // namespace

Response post_testprint(Call& call) {
  if (auto misfit = misfit_of_post(call)) return std::move(*misfit);
  auto asked = test_print_from(call.request, call.argument);
  if (!asked) return problem(400, asked.error().what, call.target.path);
  if (!call.board.device(asked->device)) return problem(404, "no device of this name is configured", call.target.path);
  if (call.commands == nullptr) return problem(503, "nothing can be changed here", call.target.path);
  auto response = make_response(202, kJson, "{}");
  response.later = [commands = call.commands, asked = std::move(*asked),
                    path = call.target.path](std::function<void(Response)> answer) {
    commands->test_print(asked, [answer = std::move(answer), path](const model::Result<TestPrintOutcome>& outcome) {
      answer(answer_of(outcome, path));
    });
  };
  return response;
}

}  // namespace frisket::http
