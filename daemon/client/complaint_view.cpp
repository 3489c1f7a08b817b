#include <algorithm>
#include <array>
#include <cmath>

#include "daemon/client/complaint_views.h"
#include "daemon/client/table.h"
#include "daemon/client/upkeep_words.h"
#include "daemon/client/view_parts.h"
#include "daemon/client/words.h"

namespace frisket::client {
namespace {

constexpr std::size_t kWhole = Column::kWhole;

std::string per_cent(double probability) {
  const auto whole = std::lround(probability * 100);
  if (whole == 0) return "under 1 %";
  return whole >= 100 ? "over 99 %" : std::to_string(whole) + " %";
}

std::string known_words(const Observed& known) {
  std::vector<std::string> words;
  words.reserve(known.size());
  for (const auto& [observation, so] : known) words.push_back(observation + (so ? "=yes" : "=no"));
  return joined(words, ", ");
}

// How strongly, by the factor on the odds: Kass and Raftery (1995), table of Bayes factors: 3, 20, 150.
std::string strength_word(double weight) {
  const double factor = std::exp(std::min(std::abs(weight), 50.0));
  if (factor < 3) return "a little ";
  if (factor < 20) return "";
  return factor < 150 ? "strongly " : "very strongly ";
}

std::string evidence_words(const Evidence& evidence) {
  const std::string what = evidence.question.empty() ? evidence.observation : evidence.question;
  return what + (evidence.so ? " Yes" : " No") + " (" + evidence.observation + ')';
}

std::string cause_block(const LikelyCause& cause, const Screen& screen) {
  std::string out =
      paragraph("  " + fitted(per_cent(cause.probability), 11),
                joined({cause.title.empty() ? cause.cause : cause.title, probability_word(cause.probability)}, ": ") +
                    " (" + cause.cause + ')',
                screen, Tone::heading);
  for (const Evidence& each : cause.evidence) {
    const std::string lead =
        std::string(13, ' ') + strength_word(each.weight) + (each.weight > 0 ? "for: " : "against: ");
    out += paragraph(lead, evidence_words(each), screen);
  }
  return out;
}

std::string checks_part(const Diagnosis& diagnosis, const Screen& screen) {
  if (diagnosis.checks.empty()) return "";
  std::string out = title("Look at this next, the most telling first", screen);
  for (const Check& each : diagnosis.checks) {
    const std::string takes = minutes_words(each.minutes);
    out += paragraph(
        "  - ",
        joined({each.question.empty() ? each.observation : each.question, takes.empty() ? "" : '(' + takes + ')'}, " "),
        screen);
    out += paragraph("    ", "then: --known " + each.observation + "=yes, or =no", screen);
  }
  return out;
}

std::string mend_part(const Diagnosis& diagnosis, const Screen& screen) {
  if (diagnosis.causes.empty()) return "";
  const LikelyCause& likeliest = diagnosis.causes.front();
  const std::string mend = remedy_part(likeliest.remedy, 2, screen);
  if (mend.empty()) return "";
  return title("If it is the likeliest: " + (likeliest.title.empty() ? likeliest.cause : likeliest.title), screen) +
         mend;
}

}  // namespace

std::string probability_word(double probability) {
  struct Band {
    double under;
    const char* word;
  };
  // Intelligence Community Directive 203 (2015), D.6.e.(2)(a), from memory. Its bands meet at these bounds.
  constexpr std::array<Band, 6> kBands = {{{0.05, "almost no chance"},
                                           {0.20, "very unlikely"},
                                           {0.45, "unlikely"},
                                           {0.55, "roughly even chance"},
                                           {0.80, "likely"},
                                           {0.95, "very likely"}}};
  const auto* const band = std::ranges::find_if(kBands, [&](const Band& each) { return probability < each.under; });
  return band == kBands.end() ? "almost certain" : band->word;
}

std::string symptoms_screen(const std::vector<Symptom>& symptoms, const Screen& screen) {
  Rows rows;
  rows.reserve(symptoms.size());
  for (const Symptom& each : symptoms) rows.push_back({{each.symptom}, {each.title}});
  return fitted_table({{"SYMPTOM", kWhole}, {"WHAT IS SEEN", 12}}, rows, screen.width, screen.colour) + '\n' +
         paragraph("", "Then: frisket complain DEVICE SYMPTOM", screen);
}

std::string symptoms_lines(const std::vector<Symptom>& symptoms) {
  Lines lines;
  for (const Symptom& each : symptoms) lines.push_back({each.symptom, each.title});
  return tab_separated({"symptom", "title"}, lines);
}

std::string complaints_screen(const std::vector<Complaint>& complaints, const Screen& screen) {
  if (complaints.empty()) return paragraph("", "Nothing was complained of.", screen);
  Rows rows;
  for (const Complaint& each : complaints)
    rows.push_back({{each.id},
                    {each.device},
                    {each.symptom},
                    {each.at ? local_moment(*each.at, screen.now, screen.zone) : ""},
                    {each.cause.empty() ? "not known yet" : each.cause},
                    {each.by},
                    {each.note}});
  return fitted_table({{"COMPLAINT", kWhole},
                       {"DEVICE", kWhole},
                       {"SYMPTOM", kWhole},
                       {"WHEN", kWhole, 1},
                       {"CAUSE", kWhole},
                       {"BY", 8, 3},
                       {"NOTE", 10, 2}},
                      rows, screen.width, screen.colour);
}

std::string complaints_lines(const std::vector<Complaint>& complaints) {
  Lines lines;
  for (const Complaint& each : complaints)
    lines.push_back({each.id, each.device, each.symptom, plain(each.at), each.by, known_words(each.known), each.cause,
                     plain(each.closed_at), each.note});
  return tab_separated({"id", "device", "symptom", "at", "by", "known", "cause", "closed_at", "note"}, lines);
}

std::string diagnosis_screen(const Diagnosis& diagnosis, const Screen& screen) {
  std::string out = paragraph(diagnosis.device + ": ", diagnosis.title.empty() ? diagnosis.symptom : diagnosis.title,
                              screen, Tone::heading);
  out += labelled("Complaint", diagnosis.id, screen);
  out += labelled("Known", diagnosis.known.empty() ? "nothing that tells causes apart" : known_words(diagnosis.known),
                  screen);
  out += title("What it may be", screen);
  if (diagnosis.causes.empty()) out += "  not known\n";
  for (const LikelyCause& each : diagnosis.causes) out += cause_block(each, screen);
  out += checks_part(diagnosis, screen) + mend_part(diagnosis, screen);
  return out + '\n' + paragraph("", "Once you know: frisket complain outcome " + diagnosis.id + " CAUSE", screen);
}

std::string diagnosis_lines(const Diagnosis& diagnosis) {
  Lines lines = {{"complaint", "id", diagnosis.id},
                 {"complaint", "device", diagnosis.device},
                 {"complaint", "symptom", diagnosis.symptom},
                 {"complaint", "at", plain(diagnosis.at)},
                 {"complaint", "known", known_words(diagnosis.known)}};
  for (const LikelyCause& each : diagnosis.causes) {
    const std::string about = "cause:" + each.cause;
    lines.push_back({about, "title", each.title});
    lines.push_back({about, "probability", plain(std::optional(each.probability))});
    lines.push_back({about, "prior", plain(each.prior)});
    for (const Evidence& seen : each.evidence)
      lines.push_back({about, seen.weight > 0 ? "for" : "against",
                       seen.observation + (seen.so ? "=yes " : "=no ") + plain(std::optional(seen.weight))});
    remedy_lines(lines, about, each.remedy);
  }
  for (const Check& each : diagnosis.checks) {
    const std::string about = "check:" + each.observation;
    lines.push_back({about, "question", each.question});
    lines.push_back({about, "minutes", plain(each.minutes)});
    lines.push_back({about, "bits", plain(each.bits)});
  }
  return tab_separated({"about", "field", "value"}, lines);
}

}  // namespace frisket::client
