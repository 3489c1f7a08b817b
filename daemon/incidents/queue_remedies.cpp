#include "daemon/incidents/queue_remedies.h"

#include <algorithm>

namespace frisket::incidents {
namespace {

struct Row {
  std::string_view keyword;
  RemedyText text;
};

constexpr std::string_view kAsk = "Ask the owner before a job is cancelled: it may be the only copy.";
constexpr std::string_view kFlow = "Watch whether the jobs flow; the incident ends by itself when they do.";

const std::vector<Row>& rows() {
  static const std::vector<Row> kRows = {
      {"spooler-silent",
       {{"Jobs that wait there are kept over a restart as a rule, but the one being printed may start again from its "
         "first "
         "page."},
        {"Everybody who prints through {place} waits: look at this first.",
         "Check that the machine is up and on the network, and that its disk has room.",
         "Start the print service {place} again: frisket queue NAME restart, where that is configured, else on the "
         "machine "
         "itself.",
         "If it hangs again at once, pause the queues one by one: one job or one printer may be what it hangs on."}}},
      {"spooler-refused",
       {{},
        {"Printing most likely goes on; only the state of the queues is unknown.",
         "Compare user, password and certificate in the configuration with those of the print service {place}.",
         "Look in its own settings whether this machine may read it."}}},
      {"spooler-nonsense",
       {{},
        {"Check that the URI in the configuration is that of the print service {place}, and that no other program has "
         "taken "
         "its port.",
         "See whether it answers to another program over IPP."}}},
      {"queue-absent",
       {{},
        {"Look in the print service's list whether the queue {place} was renamed or removed.",
         "Set it up again, or change its URI in the configuration, or take its [[queue]] section out."}}},
      {"queue-stopped",
       {{kAsk},
        {"Read what the queue itself says; it names the error that stopped it.",
         "Look at the printer: paper, covers, supplies, cable. Mend that first, or the queue stops again at once.",
         "Resume the queue: frisket queue {place} resume.", kFlow,
         "If it stops again at the same job, cancel that job: frisket queue {place} cancel --head."}}},
      {"paused",
       {{},
        {"Somebody has paused the queue {place}, or the print service did so without naming an error. Ask who, and "
         "whether "
         "the reason still holds.",
         "Resume it: frisket queue {place} resume.", kFlow}}},
      {"job-stuck",
       {{kAsk},
        {"Look whether the printer is on, what its panel shows, and whether it prints a page from its own menu.",
         "Check the address that the queue prints to: it may be that of another printer, or of one that has moved.",
         "Cancel the job at the head: frisket queue {place} cancel --head. If the next one prints, that job was the "
         "trouble: "
         "have it printed again from another program or as another format.",
         "If the next one hangs as well, pause and resume the queue, then restart the print service.", kFlow}}},
      {"queue-rejecting",
       {{},
        {"Somebody has set the queue {place} to take no jobs. Ask who, and whether the reason still holds.",
         "Let it take jobs again in the print service's own administration."}}},
      {"queue-backlog",
       {{kAsk},
        {"See which job holds the others up: frisket queue {place} jobs.",
         "If it is simply long, tell those who wait, or move the waiting jobs to a queue nearby: frisket queue {place} "
         "move "
         "--to OTHER.",
         "If nothing is being printed, treat it as a job that gets no further."}}},
      {"authentication-held",
       {{"Never type somebody else's password for him."},
        {"Ask the owners of the held jobs to enter their user name and password again, or to print again.",
         "If it happens to everybody, the printer or file server that the queue prints to has new rules: compare them "
         "with "
         "the queue's settings."}}},
      {"spool-area-full",
       {{kAsk},
        {"Free room on the disk that holds the print service's jobs: old logs and jobs of long ago first.",
         "Cancel jobs that nobody wants any more: frisket queue {place} cancel --waiting shows them first.",
         "If it fills up again, ask what prints so much, or give the jobs a larger disk."}}},
      {"driver-mismatch",
       {{},
        {"Compare the queue's make and model with the name plate of the printer; the evidence has both.",
         "Set the queue up with the driver for this printer, or, where both support it, with none (IPP).",
         "Print a test page: a wrong driver shows as pages of symbols, wrong trays or wrong colours."}}},
      {"location-mismatch",
       {{},
        {"Find out where the printer really is; the evidence has both texts.",
         "Correct the queue's location in the print service, or the device's in the configuration."}}},
      {"queues-disagree",
       {{},
        {"Compare the two queues; the evidence says in what they differ.",
         "Correct one, or remove the one that nobody needs: people choose between them by chance."}}},
      {"default-queue-elsewhere",
       {{},
        {"Jobs of people who choose nothing come out at the default queue {place}, which is not where they are.",
         "Set another default in the print service, or change spooler.default_location."}}},
  };
  return kRows;
}

}  // namespace

std::optional<RemedyText> queue_remedy(std::string_view keyword) {
  const auto row = std::ranges::find(rows(), keyword, &Row::keyword);
  if (row == rows().end()) return std::nullopt;
  return row->text;
}

}  // namespace frisket::incidents
