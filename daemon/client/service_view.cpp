// The service plan.
#include <algorithm>
#include <tuple>

#include "daemon/client/table.h"
#include "daemon/client/upkeep_views.h"
#include "daemon/client/upkeep_words.h"
#include "daemon/client/view_parts.h"
#include "daemon/client/words.h"

namespace frisket::client {
namespace {

constexpr const char* kNothing = "Nothing of the kind is to be serviced.";
constexpr std::size_t kWhole = Column::kWhole;

int rank(const std::string& state) {
  if (state == "overdue") return 0;
  if (state == "due") return 1;
  return state == "soon" ? 2 : 3;
}

Tone tone_of_service(const std::string& state) {
  if (state == "overdue") return Tone::major;
  return state == "due" ? Tone::minor : Tone::plain;
}

void most_pressing_first(std::vector<ServiceTask>& tasks) {
  std::ranges::stable_sort(tasks, {}, [](const ServiceTask& task) {
    return std::make_tuple(rank(task.state), task.due_at.value_or(WallTime::max()), task.device, task.task);
  });
}

std::string done_words(const ServiceTask& task, const Screen& screen) {
  if (!task.last_done) return "never, as far as is known";
  const Saying& done = *task.last_done;
  std::string words = done.at ? local_date(*done.at, screen.zone) : "";
  words = joined({words, done.by.empty() ? "" : "by " + done.by}, " ");
  if (task.last_count) words += ", counter at " + plain(task.last_count);
  return done.note.empty() ? words : words + ": " + done.note;
}

}  // namespace

std::string service_screen(Foreseen<ServiceTask> plan, const Screen& screen) {
  const std::string made = paragraph("", made_words(plan.made_at, screen), screen);
  if (plan.items.empty()) return paragraph("", kNothing, screen) + made;
  most_pressing_first(plan.items);
  Rows rows;
  for (const ServiceTask& each : plan.items)
    rows.push_back({{each.state, tone_of_service(each.state)},
                    {each.device},
                    {each.task},
                    {each.due_at ? local_date(*each.due_at, screen.zone) : "no date"},
                    {minutes_words(each.minutes)},
                    {each.title},
                    {each.last_done && each.last_done->at ? local_date(*each.last_done->at, screen.zone) : "never"},
                    {each.why}});
  return fitted_table({{"STATE", kWhole},
                       {"DEVICE", kWhole},
                       {"TASK", kWhole},
                       {"DUE", kWhole},
                       {"TAKES", kWhole, 3},
                       {"WHAT", 12, 4},
                       {"DONE", kWhole, 2},
                       {"WHY", 14, 1}},
                      rows, screen.width, screen.colour) +
         '\n' + made;
}

std::string service_tasks_screen(Foreseen<ServiceTask> plan, const Screen& screen) {
  const std::string made = paragraph("", made_words(plan.made_at, screen), screen);
  if (plan.items.empty()) return paragraph("", kNothing, screen) + made;
  most_pressing_first(plan.items);
  std::string out;
  for (const ServiceTask& each : plan.items) out += service_task_screen(each, screen) + '\n';
  return out + made;
}

std::string service_lines(Foreseen<ServiceTask> plan) {
  most_pressing_first(plan.items);
  std::vector<std::vector<std::string>> rows;
  rows.reserve(plan.items.size());
  for (const ServiceTask& each : plan.items) {
    const Saying done = each.last_done.value_or(Saying{});
    rows.push_back({each.id, each.state, each.device, each.task, each.site, each.location, each.title,
                    plain(each.due_at), plain(each.share), plain(each.minutes), plain(done.at), done.by, done.note,
                    each.why});
  }
  return tab_separated({"id", "state", "device", "task", "site", "location", "title", "due_at", "share", "minutes",
                        "done_at", "done_by", "done_note", "why"},
                       rows);
}

std::string service_task_screen(const ServiceTask& task, const Screen& screen) {
  std::string out =
      paragraph(task.device + ": ", joined({task.title.empty() ? task.task : task.title, task.state}, ", "), screen,
                tone_of_service(task.state));
  out += labelled("Task", task.id, screen);
  out += labelled("Where", joined({task.location, task.site.empty() ? "" : "site " + task.site}, ", "), screen);
  out += labelled("Due", task.due_at ? date_words(task.due_at, screen) : "no date", screen);
  out += labelled("Why", task.why, screen);
  out += labelled("Last done", done_words(task, screen), screen);
  out += labelled("Takes", minutes_words(task.minutes), screen);
  return out + remedy_part(task.remedy, 2, screen);
}

}  // namespace frisket::client
