#include "daemon/hooks/notice_body.h"

#include "daemon/json/forms.h"

namespace frisket::hooks {
namespace {

using json::Json;
using Reason = Notice::Reason;

std::string text_at(const Json& object, const char* key) {
  const auto found = object.find(key);
  return found != object.end() && found->is_string() ? found->get<std::string>() : std::string();
}

const Json& object_at(const Json& object, const char* key) {
  static const Json none = Json::object();
  const auto found = object.find(key);
  return found != object.end() && found->is_object() ? *found : none;
}

std::vector<std::string> texts_at(const Json& object, const char* key) {
  std::vector<std::string> texts;
  const auto found = object.find(key);
  if (found == object.end() || !found->is_array()) return texts;
  for (const auto& each : *found)
    if (each.is_string()) texts.push_back(each.get<std::string>());
  return texts;
}

std::string part_text(const Json& part) {
  const auto count = part.find("count");
  std::string text = (count != part.end() && count->is_number() ? std::to_string(count->get<int>()) : "1") + " x";
  if (const auto colorant = text_at(part, "colorant"); !colorant.empty()) text += " " + colorant;
  text += " " + text_at(part, "part");
  if (const auto maker = text_at(part, "maker"); !maker.empty()) text += " (" + maker + ")";
  return text;
}

void read_incident(const Json& incident, Facts& facts) {
  facts.incident = text_at(incident, "id");
  facts.kind = text_at(incident, "kind");
  facts.device = text_at(incident, "device");
  facts.queue = text_at(incident, "queue");
  facts.site = text_at(incident, "site");
  facts.place = text_at(incident, "place");
  facts.subunit = text_at(incident, "subunit");
  facts.state = text_at(incident, "state");
  facts.operator_state = text_at(incident, "operator");
  facts.training = text_at(incident, "training");
  facts.summary = text_at(incident, "summary");
  facts.raised_at = text_at(incident, "raised_at");
  facts.cleared_at = text_at(incident, "cleared_at");
  facts.severity = model::severity_from(text_at(incident, "severity")).value_or(model::Severity::warning);
  const auto& remedy = object_at(incident, "remedy");
  facts.cautions = texts_at(remedy, "cautions");
  facts.steps = texts_at(remedy, "steps");
  const auto carry = remedy.find("carry");
  if (carry == remedy.end() || !carry->is_array()) return;
  for (const auto& part : *carry)
    if (part.is_object()) facts.carry.push_back(part_text(part));
}

Json parsed(const std::string& body) {
  auto form = Json::parse(body, nullptr, false);
  return form.is_object() ? form : Json::object();
}

}  // namespace

std::string_view kind_of_telling(Reason reason) {
  switch (reason) {
    case Reason::raised:
    case Reason::escalated:
      return "raised";
    case Reason::changed:
    case Reason::reminder:
      return "changed";
    default:
      return to_text(reason);
  }
}

std::string body_of(const Notice& notice, const incidents::Incident& incident) {
  incidents::Transition transition;
  transition.at = notice.at;
  transition.incident = incident;
  auto form = json::notice_form(transition);
  form["notice"] = kind_of_telling(notice.reason);
  form["id"] = notice.id;
  form["hook"] = notice.hook;
  form["reason"] = to_text(notice.reason);
  form["times_raised"] = incident.times_raised;
  return json::text_of(form);
}

std::string test_body_of(const Notice& notice) {
  return json::text_of({{"notice", "test"},
                        {"at", model::to_rfc3339(notice.at)},
                        {"incident", nullptr},
                        {"id", notice.id},
                        {"hook", notice.hook},
                        {"reason", "test"}});
}

void tell_as_raised(Notice& notice) {
  if (kind_of_telling(notice.reason) == "raised") return;
  notice.reason = Reason::raised;
  auto form = parsed(notice.body);
  form["notice"] = "raised";
  form["reason"] = "raised";
  notice.body = json::text_of(form);
}

std::string body_of(const std::vector<Notice>& notices) {
  if (notices.size() == 1) return notices.front().body;
  std::string list;
  for (const auto& notice : notices) list += (list.empty() ? "" : ",") + notice.body;
  return "{\"hook\":" + json::text_of(notices.empty() ? "" : notices.front().hook) + ",\"digest\":[" + list + "]}";
}

Facts facts_of(const Notice& notice) {
  const auto form = parsed(notice.body);
  Facts facts;
  facts.notice = text_at(form, "notice");
  facts.reason = text_at(form, "reason");
  facts.at = text_at(form, "at");
  facts.id = text_at(form, "id");
  const auto times = form.find("times_raised");
  if (times != form.end() && times->is_number_integer()) facts.times_raised = times->get<std::int64_t>();
  read_incident(object_at(form, "incident"), facts);
  return facts;
}

}  // namespace frisket::hooks
