#include "daemon/client/table.h"
#include "daemon/client/views.h"
#include "daemon/client/words.h"

namespace frisket::client {
namespace {

std::string who_words(const std::string& training) {
  if (training == "untrained") return "anybody";
  if (training == "trained") return "a trained person";
  if (training == "field-service") return "field service";
  return training;
}

std::string evidence_block(const Condition& condition, const Screen& screen) {
  const std::string severity(condition.severity ? model::to_text(*condition.severity) : "");
  std::string what = condition.keyword;
  if (!condition.place.empty()) what += ", " + condition.place;
  if (condition.since) what += ", since " + since_words(*condition.since, screen.now, screen.zone);
  const Tone tone = condition.severity ? tone_of(*condition.severity) : Tone::plain;
  std::string out = paragraph("  " + fitted(severity, 10), what, screen, tone);
  for (const Witness& witness : condition.witnesses)
    out += paragraph(std::string(12, ' '), joined({witness.source, witness.says}, ": "), screen);
  return out;
}

std::string saying_words(const Saying& saying, const Screen& screen) {
  std::string words = joined({saying.operator_state, saying.by.empty() ? "" : "by " + saying.by}, " ");
  if (saying.at) words += ", " + local_moment(*saying.at, screen.now, screen.zone);
  if (!saying.note.empty()) words += ": " + saying.note;
  return words;
}

std::string proof_words(const std::string& proof) {
  if (proof == "awaited") return "no page was printed since; print a few test pages";
  if (proof == "held") return "pages were printed since";
  if (proof == "unseen") return "nothing was printed for so long that nobody waits any more";
  return "";
}

// How it went on: how often it came back, how it ended, what people said of it.
std::string course(const Incident& incident, const Screen& screen) {
  std::string out;
  if (incident.times_raised.value_or(1) > 1)
    out += labelled("Raised", std::to_string(*incident.times_raised) + " times", screen);
  out += labelled("Ended", incident.outcome, screen);
  out += labelled("Proof", proof_words(incident.proof), screen);
  if (incident.planned.value_or(false)) out += labelled("Planned", "raised in a maintenance window", screen);
  if (incident.operator_state != "none") {
    std::string words = incident.operator_state;
    if (incident.shelved_until) words += " until " + local_moment(*incident.shelved_until, screen.now, screen.zone);
    out += labelled("Operator", words, screen);
  }
  for (const Saying& each : incident.actions) out += labelled("Said", saying_words(each, screen), screen);
  return out;
}

// Since when; of a cleared incident also until when.
std::string when(const Incident& incident, const Screen& screen) {
  std::string since;
  std::string cleared;
  if (incident.raised_at) since = since_words(*incident.raised_at, screen.now, screen.zone);
  if (incident.cleared_at) {
    cleared = local_moment(*incident.cleared_at, screen.now, screen.zone);
    if (incident.raised_at) {
      since = local_moment(*incident.raised_at, screen.now, screen.zone);
      cleared += ", after " + span_words(*incident.cleared_at - *incident.raised_at);
    }
  }
  return labelled("Since", since, screen) + labelled("Cleared", cleared, screen);
}

// What happened, in a word: of what a person said, that.
std::string event_word(const Notice& notice) {
  if (notice.what != "operator-action") return notice.what;
  return notice.incident.operator_state == "none" ? "reopened" : notice.incident.operator_state;
}

using Lines = std::vector<std::vector<std::string>>;

void evidence_lines(Lines& lines, const std::vector<Condition>& evidence) {
  for (std::size_t i = 0; i < evidence.size(); ++i) {
    const Condition& each = evidence[i];
    const std::string part = "evidence:" + std::to_string(i + 1);
    lines.push_back({part, "keyword", each.keyword});
    lines.push_back({part, "severity", each.severity ? std::string(model::to_text(*each.severity)) : ""});
    lines.push_back({part, "subunit", each.subunit});
    lines.push_back({part, "place", each.place});
    lines.push_back({part, "since", plain(each.since)});
    for (const Witness& witness : each.witnesses)
      lines.push_back({part, "witness", joined({witness.source, witness.says}, ": ")});
  }
}

void numbered_lines(Lines& lines, const std::string& part, const std::vector<std::string>& texts) {
  for (std::size_t i = 0; i < texts.size(); ++i)
    lines.push_back({part + ':' + std::to_string(i + 1), "text", texts[i]});
}

}  // namespace

std::string incident_screen(const Incident& incident, const Screen& screen) {
  const std::string severity(model::to_text(incident.severity));
  std::string out = paragraph(severity + ": ", incident.summary, screen, tone_of(incident.severity));
  out += labelled("Incident", joined({incident.id, incident.kind, incident.state}, ", "), screen);
  out += labelled("Where", where_words(incident), screen);
  out += when(incident, screen);
  out += course(incident, screen);
  out += labelled("Work for", who_words(incident.training), screen);

  if (!incident.evidence.empty()) out += title("Evidence", screen);
  for (const Condition& each : incident.evidence) out += evidence_block(each, screen);
  if (!incident.cautions.empty()) out += title("Caution", screen);
  for (const std::string& caution : incident.cautions) out += paragraph("  ! ", caution, screen);
  if (!incident.steps.empty()) out += title("Steps", screen);
  for (std::size_t i = 0; i < incident.steps.size(); ++i)
    out += paragraph("  " + std::to_string(i + 1) + ". ", incident.steps[i], screen);
  if (!incident.carry.empty()) out += title("Carry", screen);
  for (const CarriedPart& part : incident.carry) out += paragraph("  ", part_words(part), screen);
  return out;
}

std::string incident_lines(const Incident& incident) {
  Lines lines = {{"incident", "id", incident.id},
                 {"incident", "kind", incident.kind},
                 {"incident", "severity", std::string(model::to_text(incident.severity))},
                 {"incident", "state", incident.state},
                 {"incident", "operator", incident.operator_state},
                 {"incident", "site", incident.site},
                 {"incident", "device", incident.device},
                 {"incident", "queue", incident.queue},
                 {"incident", "subunit", incident.subunit},
                 {"incident", "place", incident.place},
                 {"incident", "training", incident.training},
                 {"incident", "raised_at", plain(incident.raised_at)},
                 {"incident", "changed_at", plain(incident.changed_at)},
                 {"incident", "cleared_at", plain(incident.cleared_at)},
                 {"incident", "summary", incident.summary},
                 {"incident", "times_raised", std::to_string(incident.times_raised.value_or(1))},
                 {"incident", "planned", incident.planned.value_or(false) ? "true" : "false"},
                 {"incident", "shelved_until", plain(incident.shelved_until)},
                 {"incident", "outcome", incident.outcome},
                 {"incident", "proof", incident.proof}};
  for (std::size_t i = 0; i < incident.actions.size(); ++i) {
    const Saying& each = incident.actions[i];
    const std::string part = "action:" + std::to_string(i + 1);
    lines.push_back({part, "at", plain(each.at)});
    lines.push_back({part, "operator", each.operator_state});
    lines.push_back({part, "by", each.by});
    lines.push_back({part, "note", each.note});
  }
  evidence_lines(lines, incident.evidence);
  numbered_lines(lines, "caution", incident.cautions);
  numbered_lines(lines, "step", incident.steps);
  for (std::size_t i = 0; i < incident.carry.size(); ++i) {
    const CarriedPart& each = incident.carry[i];
    const std::string part = "carry:" + std::to_string(i + 1);
    lines.push_back({part, "part", each.part});
    lines.push_back({part, "maker", each.maker});
    lines.push_back({part, "colorant", each.colorant});
    lines.push_back({part, "count", std::to_string(each.count)});
  }
  return tab_separated({"about", "field", "value"}, lines);
}

std::string notice_screen(const Notice& notice, const Screen& screen) {
  const Incident& incident = notice.incident;
  const std::string when = notice.at ? local_moment_with_seconds(*notice.at, screen.now, screen.zone) : "";
  return when + "  " + fitted(event_word(notice), 8) + "  " +
         toned(model::to_text(incident.severity), tone_of(incident.severity), screen.colour) + "  " +
         joined({where_words(incident), incident.summary}, ": ") + '\n';
}

std::string notice_header_line() {
  return tab_line({"at", "notice", "severity", "kind", "site", "device", "queue", "place", "id", "summary"});
}

std::string notice_line(const Notice& notice) {
  const Incident& incident = notice.incident;
  return tab_line({plain(notice.at), notice.what, std::string(model::to_text(incident.severity)), incident.kind,
                   incident.site, incident.device, incident.queue, incident.place, incident.id, incident.summary});
}

}  // namespace frisket::client
