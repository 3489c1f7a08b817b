#include "daemon/incidents/kinds.h"

#include <algorithm>
#include <array>

namespace frisket::incidents {
namespace {

using namespace std::chrono_literals;
using S = model::Severity;
using T = model::Training;

// Severities, training and delays are common practice, no source, except that critical is
// "printing has stopped", major "about to stop, or much is lost" and so on (ITU-T X.733 as RFC
// 8632 section 4.5 words it).
constexpr std::array<Kind, 102> kKinds = {{
    // clang-format off
    {"jam-recurring", "jam", S::minor, T::trained, false, true, 0s, "Paper jams again and again at {place}.|Paper jams again and again; the printer does not say where.",
     "rules.jam_repeats jams at one place within rules.jam_within, pages printed between them", "fewer jams within that time", "our name"},
    {"media-jam", "jam", S::critical, T::untrained, true, true, 0s, "Paper is jammed at {place}.|Paper is jammed; the printer does not say where.",
     "alert row jam; bit jammed", "row gone and bit off", "RFC 8011 5.4.12"},
    {"*-jam", "jam", S::major, T::untrained, true, true, 0s, "Paper is jammed in the finishing unit at {place}.|Paper is jammed in the finishing unit.",
     "finisher alert row jam", "row gone", "PWG 5100.9"},
    {"tray-misload", "input", S::major, T::untrained, true, true, 0s, "{place} does not close, or does not stay closed.|A tray or cover does not close, or does not stay closed.",
     "a tray or cover open for rules.misload_after, or open again within rules.misload_within of being closed, no jam, nobody at work", "closed", "our name"},
    {"input-tray-missing", "input", S::major, T::untrained, true, true, 0s, "{place} is open or missing.|A paper tray is open or missing.",
     "alert row inputMediaTrayMissing, or subunitMissing or an open state in group input; bit inputTrayMissing", "row gone and bit off", "RFC 8011 5.4.12"},
    {"output-tray-missing", "output", S::major, T::untrained, true, true, 0s, "{place} is missing.|An output tray is missing.",
     "alert row outputMediaTrayMissing or subunitMissing in group output; bit outputTrayMissing", "row gone and bit off", "RFC 8011 5.4.12"},
    {"media-path-media-tray-missing", "", S::major, T::untrained, true, true, 0s, "A tray of the paper path is missing at {place}.|A tray of the paper path is missing.",
     "alert row", "row gone", "PWG 5100.9"},
    {"cover-open", "cover", S::critical, T::untrained, true, true, 0s, "{place} is open.|A cover is open; the printer does not say which.",
     "prtCoverStatus coverOpen; alert row coverOpen or doorOpen; bit doorOpen", "status closed, row gone, bit off", "RFC 8011 5.4.12"},
    {"interlock-open", "cover", S::critical, T::untrained, true, true, 0s, "The safety interlock of {place} is open.|A safety interlock is open.",
     "prtCoverStatus interlockOpen; alert row interlockOpen", "status closed and row gone", "RFC 8011 5.4.12"},
    {"*-cover-open", "cover", S::major, T::untrained, true, true, 0s, "A cover of the finishing unit is open at {place}.|A cover of the finishing unit is open.",
     "finisher alert row", "row gone", "PWG 5100.9"},
    {"*-interlock-open", "cover", S::major, T::untrained, true, true, 0s, "A safety interlock of the finishing unit is open at {place}.|A safety interlock of the finishing unit is open.",
     "finisher alert row", "row gone", "PWG 5100.9"},
    {"supply-mismatch", "supply", S::major, T::untrained, true, true, 0s, "{place} is not accepted by the printer.|A supply is not accepted by the printer.",
     "alert row at a supply whose text says wrong, incompatible, unsupported, not recognised or mismatch", "row gone", "our name"},
    {"marker-toner-cartridge-missing", "supply", S::major, T::untrained, true, true, 0s, "{place} is missing or not seated.|A toner cartridge is missing or not seated.",
     "alert row markerTonerCartridgeMissing, or subunitMissing at a toner; bit markerSupplyMissing at the only toner", "row gone and bit off", "PWG 5100.9"},
    {"marker-supply-missing", "supply", S::major, T::untrained, true, true, 0s, "{place} is missing or not seated.|A supply is missing or not seated.",
     "alert row subunitMissing at any other supply; bit markerSupplyMissing", "row gone and bit off", "RFC 2790 hrPrinterDetectedErrorState"},
    {"toner-empty", "supply", S::major, T::untrained, true, true, 0s, "{place} is empty.|Toner is empty; the printer does not say which.",
     "level at 0; alert row; bit noToner", "level above nearly_empty_at again, row gone, bit off", "RFC 8011 5.4.12"},
    {"marker-ink-empty", "supply", S::major, T::untrained, true, true, 0s, "{place} is empty.|Ink is empty; the printer does not say which.",
     "level at 0; alert row; bit noToner", "level above nearly_empty_at again, row gone, bit off", "PWG 5100.9"},
    {"marker-print-ribbon-empty", "supply", S::major, T::untrained, true, true, 0s, "{place} is used up.|The print ribbon is used up.",
     "level at 0; alert row; bit noToner", "level above nearly_empty_at again, row gone, bit off", "PWG 5100.9"},
    {"developer-empty", "supply", S::major, T::trained, true, true, 0s, "{place} is empty.|Developer is empty.",
     "level at 0; alert row; bit noToner", "level above nearly_empty_at again, row gone, bit off", "RFC 8011 5.4.12"},
    {"opc-life-over", "supply", S::major, T::trained, true, true, 0s, "{place} has reached the end of its life.|A drum has reached the end of its life.",
     "level at 0; alert row; bit noToner", "level above nearly_empty_at again, row gone, bit off", "RFC 8011 5.4.12"},
    {"marker-supply-empty", "supply", S::major, T::untrained, true, true, 0s, "{place} is used up.|A supply is used up; the printer does not say which.",
     "level at 0; alert row; bit noToner", "level above nearly_empty_at again, row gone, bit off", "RFC 8011 5.4.12"},
    {"marker-waste-toner-receptacle-full", "supply", S::major, T::untrained, true, true, 0s, "{place} is full.|A waste container is full.",
     "room left 0; alert row", "room above nearly_empty_at again and row gone", "PWG 5100.9"},
    {"marker-waste-ink-receptacle-full", "supply", S::major, T::untrained, true, true, 0s, "{place} is full.|A waste container is full.",
     "room left 0; alert row", "room above nearly_empty_at again and row gone", "PWG 5100.9"},
    {"marker-waste-full", "supply", S::major, T::untrained, true, true, 0s, "{place} is full.|A waste container is full.",
     "room left 0; alert row", "room above nearly_empty_at again and row gone", "RFC 8011 5.4.12"},
    {"toner-low", "supply", S::warning, T::untrained, false, true, 0s, "{place} is low.|Toner is low; the printer does not say which.",
     "level at or under low_at (minor at or under nearly_empty_at); alert row; bit lowToner", "level at or above clear_at, row gone, bit off", "RFC 8011 5.4.12"},
    {"marker-ink-almost-empty", "supply", S::warning, T::untrained, false, true, 0s, "{place} is low.|Ink is low; the printer does not say which.",
     "level at or under low_at (minor at or under nearly_empty_at); alert row; bit lowToner", "level at or above clear_at, row gone, bit off", "PWG 5100.9"},
    {"marker-print-ribbon-almost-empty", "supply", S::warning, T::untrained, false, true, 0s, "{place} is almost used up.|The print ribbon is almost used up.",
     "level at or under low_at (minor at or under nearly_empty_at); alert row; bit lowToner", "level at or above clear_at, row gone, bit off", "PWG 5100.9"},
    {"developer-low", "supply", S::warning, T::trained, false, true, 0s, "{place} is low.|Developer is low.",
     "level at or under low_at (minor at or under nearly_empty_at); alert row; bit lowToner", "level at or above clear_at, row gone, bit off", "RFC 8011 5.4.12"},
    {"opc-near-eol", "supply", S::warning, T::trained, false, true, 0s, "{place} is near the end of its life.|A drum is near the end of its life.",
     "level at or under low_at (minor at or under nearly_empty_at); alert row; bit lowToner", "level at or above clear_at, row gone, bit off", "RFC 8011 5.4.12"},
    {"marker-supply-low", "supply", S::warning, T::untrained, false, true, 0s, "{place} is low.|A supply is low; the printer does not say which.",
     "level at or under low_at (minor at or under nearly_empty_at); alert row; bit lowToner", "level at or above clear_at, row gone, bit off", "RFC 8011 5.4.12"},
    {"marker-waste-toner-receptacle-almost-full", "supply", S::warning, T::untrained, false, true, 0s, "{place} is almost full.|A waste container is almost full.",
     "room left at or under low_at (minor at or under nearly_empty_at); alert row", "room at or above clear_at and row gone", "PWG 5100.9"},
    {"marker-waste-ink-receptacle-almost-full", "supply", S::warning, T::untrained, false, true, 0s, "{place} is almost full.|A waste container is almost full.",
     "room left at or under low_at (minor at or under nearly_empty_at); alert row", "room at or above clear_at and row gone", "PWG 5100.9"},
    {"marker-waste-almost-full", "supply", S::warning, T::untrained, false, true, 0s, "{place} is almost full.|A waste container is almost full.",
     "room left at or under low_at (minor at or under nearly_empty_at); alert row", "room at or above clear_at and row gone", "RFC 8011 5.4.12"},
    {"media-empty", "input", S::minor, T::untrained, true, true, 0s, "{place} is empty.|A paper tray is empty; the printer does not say which.",
     "input level 0; alert row inputMediaSupplyEmpty or subunitEmpty; bit noPaper or inputTrayEmpty; major if no other tray has the same media; a manual tray only if a critical row or the stopped printer asks for it", "level above 0, row gone, bit off", "RFC 8011 5.4.12"},
    {"media-needed", "input", S::major, T::untrained, true, true, 0s, "{place} waits for paper.|The printer waits for paper.",
     "prtInputStatus on request with critical alerts", "status changed", "RFC 8011 5.4.12"},
    {"input-media-change-request", "input", S::major, T::untrained, true, true, 0s, "{place} waits for other paper.|The printer waits for other paper.",
     "alert row", "row gone", "PWG 5100.9"},
    {"input-manual-input-request", "input", S::major, T::untrained, true, true, 0s, "{place} waits for a sheet fed by hand.|The printer waits for a sheet fed by hand.",
     "alert row", "row gone", "PWG 5100.9"},
    {"media-low", "input", S::warning, T::untrained, false, true, 0s, "{place} is low on paper.|A paper tray is low.",
     "alert row inputMediaSupplyLow or subunitAlmostEmpty in group input; bit lowPaper; never from a level", "row gone and bit off", "RFC 8011 5.4.12"},
    {"input-tray-position-failure", "input", S::major, T::trained, true, true, 0s, "{place} is not in its position.|A paper tray is not in its position.",
     "alert row", "row gone", "PWG 5100.9"},
    {"input-tray-elevation-failure", "input", S::major, T::trained, true, true, 0s, "{place} cannot lift its paper.|A paper tray cannot lift its paper.",
     "alert row", "row gone", "PWG 5100.9"},
    {"input-cannot-feed-size-selected", "input", S::major, T::untrained, true, true, 0s, "{place} cannot feed the size selected.|The printer cannot feed the size selected.",
     "alert row", "row gone", "PWG 5100.9"},
    {"output-area-full", "output", S::minor, T::untrained, true, true, 0s, "{place} is full.|An output tray is full.",
     "room left 0; alert row outputMediaTrayFull or subunitFull in group output; bit outputFull", "room above 0, row gone, bit off", "RFC 8011 5.4.12"},
    {"output-area-almost-full", "output", S::warning, T::untrained, false, true, 0s, "{place} is almost full.|An output tray is almost full.",
     "alert row outputMediaTrayAlmostFull or subunitAlmostFull in group output; bit outputNearFull", "row gone and bit off", "RFC 8011 5.4.12"},
    {"output-mailbox-select-failure", "", S::minor, T::trained, true, true, 0s, "{place} cannot be selected.|A mailbox cannot be selected.",
     "alert row", "row gone", "PWG 5100.9"},
    {"media-path-media-tray-full", "", S::major, T::untrained, true, true, 0s, "A tray of {place} is full.|A tray of the paper path is full.",
     "alert row", "row gone", "PWG 5100.9"},
    {"media-path-media-tray-almost-full", "", S::warning, T::untrained, false, true, 0s, "A tray of {place} is almost full.|A tray of the paper path is almost full.",
     "alert row", "row gone", "PWG 5100.9"},
    {"media-path-cannot-duplex-media-selected", "", S::minor, T::untrained, true, true, 0s, "{place} cannot print this paper on both sides.|The printer cannot print this paper on both sides.",
     "alert row", "row gone", "PWG 5100.9"},
    {"fuser-over-temp", "", S::major, T::field_service, true, true, 0s, "The fuser is too hot.|The fuser is too hot.",
     "alert row, special or generic in group marker", "row gone", "RFC 8011 5.4.12"},
    {"fuser-under-temp", "", S::major, T::field_service, true, true, 0s, "The fuser does not get hot enough.|The fuser does not get hot enough.",
     "alert row, special or generic in group marker", "row gone", "RFC 8011 5.4.12"},
    {"marker-fuser-timing-failure", "", S::major, T::field_service, true, true, 0s, "The fuser's timing failed.|The fuser's timing failed.",
     "alert row, special or generic in group marker", "row gone", "PWG 5100.9"},
    {"marker-fuser-thermistor-failure", "", S::major, T::field_service, true, true, 0s, "The fuser's temperature sensor failed.|The fuser's temperature sensor failed.",
     "alert row, special or generic in group marker", "row gone", "PWG 5100.9"},
    {"subunit-unrecoverable-failure", "", S::major, T::field_service, true, true, 0s, "{place} has failed.|A part has failed.",
     "alert row", "row gone", "PWG 5100.9"},
    {"subunit-recoverable-failure", "", S::minor, T::trained, true, true, 0s, "{place} has failed and can recover.|A part has failed and can recover.",
     "alert row", "row gone", "PWG 5100.9"},
    {"subunit-motor-failure", "", S::major, T::field_service, true, true, 0s, "A motor has failed at {place}.|A motor has failed.",
     "alert row", "row gone", "PWG 5100.9"},
    {"subunit-life-over", "", S::major, T::trained, true, true, 0s, "{place} has reached the end of its life.|A part has reached the end of its life.",
     "alert row, not at a supply", "row gone", "PWG 5100.9"},
    {"subunit-life-almost-over", "", S::warning, T::trained, false, true, 0s, "{place} is near the end of its life.|A part is near the end of its life.",
     "alert row, not at a supply", "row gone", "PWG 5100.9"},
    {"subunit-missing", "", S::major, T::untrained, true, true, 0s, "{place} is missing.|A part is missing.",
     "alert row in another group", "row gone", "PWG 5100.9"},
    {"subunit-offline", "", S::minor, T::untrained, true, true, 0s, "{place} is off line.|A part is off line.",
     "alert row", "row gone", "PWG 5100.9"},
    {"subunit-memory-exhausted", "", S::minor, T::trained, true, true, 0s, "{place} is out of memory.|The printer is out of memory.",
     "alert row", "row gone", "PWG 5100.9"},
    {"interpreter-resource-unavailable", "", S::minor, T::trained, true, true, 0s, "A font, form or other resource is missing at {place}.|A font, form or other resource is missing.",
     "alert row", "row gone", "RFC 8011 5.4.12"},
    {"service-requested", "", S::minor, T::trained, true, true, 0s, "The printer asks for service.|The printer asks for service.",
     "bit serviceRequested with nothing else wrong", "bit off", "RFC 2790 hrPrinterDetectedErrorState"},
    {"overdue-prevent-maint", "", S::warning, T::trained, false, true, 0s, "Preventive maintenance is overdue.|Preventive maintenance is overdue.",
     "bit overduePreventMaint", "bit off", "RFC 2790 hrPrinterDetectedErrorState"},
    {"offline", "", S::major, T::untrained, true, true, 60s, "The printer is off line.|The printer is off line.",
     "bit offline with nothing else that stops it", "bit off", "RFC 2790 hrPrinterDetectedErrorState"},
    {"other", "", S::warning, T::trained, true, true, 0s, "{place} reports a problem.|The printer reports a problem.",
     "alert row other; a subunit broken or with critical alerts that nothing explains", "row gone, status normal", "RFC 8011 5.4.12"},
    {"unknown", "", S::warning, T::trained, true, true, 0s, "{place} reports a problem that it does not name.|The printer reports a problem that it does not name.",
     "alert row unknown", "row gone", "PWG 5100.9"},
    {"unexplained-stop", "", S::critical, T::trained, true, true, 60s, "The printer is down and does not say why.|The printer is down and does not say why.",
     "hrDeviceStatus down, not warming up, with nothing that explains it", "status other than down, or explained", "RFC 3805 2.2.13.2 (Unavailable); our name"},
    {"subunit-power-saver", "", S::warning, T::untrained, false, false, 0s, "{place} saves power.|The printer saves power.",
     "alert row", "row gone", "PWG 5100.9"},
    {"subunit-warming-up", "", S::warning, T::untrained, false, false, 0s, "{place} warms up.|The printer warms up.",
     "alert row", "row gone", "PWG 5100.9"},
    {"marker-adjusting-print-quality", "", S::warning, T::untrained, false, false, 0s, "The printer adjusts its print quality.|The printer adjusts its print quality.",
     "alert row", "row gone", "PWG 5100.9"},
    {"cable-suspect", "reach", S::minor, T::trained, false, true, 0s, "The printer's network connection comes and goes, or spoils packets.|The printer's network connection comes and goes, or spoils packets.",
     "within an hour: 4 interruptions, and as many as a twentieth of its polls; or 100 more interface errors", "an hour without either", "our name"},
    {"device-silent", "reach", S::major, T::untrained, true, true, 0s, "The printer does not answer.|The printer does not answer.",
     "polling.silent_after polls in a row missed, the last one without any answer", "first answer", "our name"},
    {"device-refused", "reach", S::minor, T::trained, false, true, 0s, "The printer refuses to be read.|The printer refuses to be read.",
     "polling.silent_after polls in a row missed, the last one refused", "first answer", "our name"},
    {"device-unknown-user", "reach", S::minor, T::trained, false, true, 0s, "The printer has no such SNMPv3 user.|The printer has no such SNMPv3 user.",
     "polling.silent_after polls in a row missed, the last one refused for its user name", "first answer", "RFC 3414 usmStatsUnknownUserNames; our name"},
    {"device-wrong-key", "reach", S::minor, T::trained, false, true, 0s, "The printer refuses the SNMPv3 user's password.|The printer refuses the SNMPv3 user's password.",
     "polling.silent_after polls in a row missed, the last one refused for its key, or answered at discovery and no further", "first answer", "RFC 3414 usmStatsWrongDigests, usmStatsDecryptionErrors; our name"},
    {"device-nonsense", "reach", S::minor, T::trained, false, true, 0s, "The printer answers with what is no SNMP.|The printer answers with what is no SNMP.",
     "polling.silent_after polls in a row missed, the last one answered with nonsense", "first answer", "our name"},
    {"site-silent", "site", S::critical, T::trained, true, true, 0s, "Most printers of {place} stopped answering together.|Most printers of the site stopped answering together.",
     "3 devices and two thirds of a site or subnet silent, those left out that were so before", "half of them answer again", "our name"},
    {"spooler-silent", "spooler", S::critical, T::trained, true, true, 0s, "The print service {place} does not answer.|A print service does not answer.",
     "polling.silent_after passes in a row without any answer, its printer answering if it is a printer's own", "first answer", "our name"},
    {"spooler-refused", "spooler", S::minor, T::trained, false, true, 0s, "The print service {place} refuses to be read.|A print service refuses to be read.",
     "polling.silent_after passes in a row refused", "first answer", "our name"},
    {"spooler-nonsense", "spooler", S::minor, T::trained, false, true, 0s, "The print service {place} answers with what is no IPP.|A print service answers with what is no IPP.",
     "polling.silent_after passes in a row answered with nonsense", "first answer", "our name"},
    {"queue-absent", "queue-absent", S::major, T::trained, false, true, 0s, "The print service has no queue {place}.|The print service has no such queue.",
     "2 passes in a row: client-error-not-found, or not in the list of queues", "it is there", "our name"},
    {"queue-stopped", "queue", S::major, T::untrained, false, true, 0s, "The queue {place} has been stopped after an error.|A queue has been stopped after an error.",
     "printer-state stopped, and an error among its reasons or no reason paused; its device has nothing that explains it", "printer-state another", "RFC 8011 5.4.11; our name"},
    {"paused", "queue", S::minor, T::untrained, false, true, 0s, "The queue {place} is paused.|A queue is paused.",
     "printer-state stopped for the reason paused alone; major while jobs wait", "printer-state another", "RFC 8011 5.4.12"},
    {"job-stuck", "queue", S::major, T::trained, false, true, 0s, "A job at the head of the queue {place} gets no further.|A job gets no further.",
     "the head job without progress for rules.job_stuck_after, its device neither printing nor stopped; its device has nothing that explains it", "another head job, progress, or the device prints", "our name"},
    {"queue-rejecting", "queue", S::minor, T::untrained, false, true, 0s, "The queue {place} takes no jobs.|A queue takes no jobs.",
     "printer-is-accepting-jobs false", "printer-is-accepting-jobs true", "RFC 8011 5.4.24; our name"},
    {"queue-backlog", "queue", S::warning, T::untrained, false, true, 0s, "Jobs wait long in the queue {place}.|Jobs wait long in a queue.",
     "a pending job as old as rules.backlog_age, or rules.backlog_jobs of them; its device has nothing that explains it", "neither", "our name"},
    {"authentication-held", "queue-held", S::minor, T::trained, false, true, 0s, "Jobs in the queue {place} wait for a user name and a password.|Jobs wait for a user name and a password.",
     "a held job whose job-state-reasons ask for authentication or authorization", "no such job", "our name; the reasons are common practice, no source"},
    {"spool-area-full", "queue-spool", S::major, T::trained, true, true, 0s, "The print service has no room for jobs of the queue {place}.|The print service has no room for jobs.",
     "printer-state-reasons spool-area-full", "reason gone", "RFC 8011 5.4.12"},
    {"driver-mismatch", "queue-driver", S::warning, T::trained, false, true, 0s, "The driver of the queue {place} is not for its printer.|A queue's driver is not for its printer.",
     "make-and-model, IEEE 1284 id or language of the queue against the device's", "they agree, or one is no longer known", "our name"},
    {"location-mismatch", "queue-location", S::warning, T::untrained, false, true, 0s, "The queue {place} says it is somewhere else than its printer.|A queue says it is somewhere else than its printer.",
     "printer-location against device.location, where neither contains the other", "they agree", "our name"},
    {"queues-disagree", "queue-twin", S::warning, T::trained, false, true, 0s, "The queue {place} and another one of the same printer contradict each other.|Two queues of one printer contradict each other.",
     "make-and-model or location of two queues of one device", "they agree", "our name"},
    {"default-queue-elsewhere", "queue-default", S::warning, T::untrained, false, true, 0s, "The default queue {place} is somewhere else than it should be.|The default queue is somewhere else than it should be.",
     "printer-location of the spooler's default queue against spooler.default_location", "they agree, or another queue is the default", "our name"},
    {"queue-waits", "queue-waits", S::warning, T::untrained, false, false, 0s, "Jobs in the queue {place} wait for this printer.|Jobs wait for this printer.",
     "a condition of the queue that follows from what is wrong with its device; evidence of that incident", "the device is well, or the queue is", "our name"},
    {"*-missing", "", S::major, T::untrained, true, true, 0s, "A part of the finishing unit is missing at {place}.|A part of the finishing unit is missing.",
     "alert row of a finisher or of a generic code", "row gone", "PWG 5100.9"},
    {"*-almost-empty", "", S::warning, T::untrained, false, true, 0s, "A finishing supply is low at {place}.|A finishing supply is low.",
     "alert row of a finisher or of a generic code", "row gone", "PWG 5100.9"},
    {"*-empty", "", S::minor, T::untrained, true, true, 0s, "A finishing supply is empty at {place}.|A finishing supply is empty.",
     "alert row of a finisher or of a generic code", "row gone", "PWG 5100.9"},
    {"*-almost-full", "", S::warning, T::untrained, false, true, 0s, "A part of the finishing unit is almost full at {place}.|A part of the finishing unit is almost full.",
     "alert row of a finisher or of a generic code", "row gone", "PWG 5100.9"},
    {"*-full", "", S::minor, T::untrained, true, true, 0s, "A part of the finishing unit is full at {place}.|A part of the finishing unit is full.",
     "alert row of a finisher or of a generic code", "row gone", "PWG 5100.9"},
    {"*-life-almost-over", "", S::warning, T::trained, false, true, 0s, "A finishing part is near the end of its life at {place}.|A finishing part is near the end of its life.",
     "alert row of a finisher or of a generic code", "row gone", "PWG 5100.9"},
    {"*-life-over", "", S::minor, T::trained, true, true, 0s, "A finishing part has reached the end of its life at {place}.|A finishing part has reached the end of its life.",
     "alert row of a finisher or of a generic code", "row gone", "PWG 5100.9"},
    {"*-failure", "", S::major, T::field_service, true, true, 0s, "A part has failed at {place}.|A part has failed.",
     "alert row of a finisher or of a generic code", "row gone", "PWG 5100.9"},
    {"*-power-saver", "", S::warning, T::untrained, false, false, 0s, "The finishing unit saves power at {place}.|The finishing unit saves power.",
     "alert row of a finisher", "row gone", "PWG 5100.9"},
    {"*-warming-up", "", S::warning, T::untrained, false, false, 0s, "The finishing unit warms up at {place}.|The finishing unit warms up.",
     "alert row of a finisher", "row gone", "PWG 5100.9"},
    {"*", "", S::minor, T::trained, true, true, 0s, "{place} reports a problem.|The printer reports a problem.",
     "any other alert row", "row gone", "RFC 3805 PrtAlertCodeTC"},
    // clang-format on
}};

bool ends_with_row(std::string_view keyword, std::string_view row) {
  return row.starts_with('*') && keyword.size() >= row.size() && keyword.ends_with(row.substr(1));
}

}  // namespace

std::span<const Kind> kinds() { return kKinds; }

const Kind& kind_of(std::string_view keyword) {
  const auto exact = std::ranges::find(kKinds, keyword, &Kind::keyword);
  if (exact != kKinds.end()) return *exact;
  const Kind* best = &kKinds.back();
  for (const auto& kind : kKinds)
    if (ends_with_row(keyword, kind.keyword) && kind.keyword.size() > best->keyword.size()) best = &kind;
  return *best;
}

std::size_t rank_of(std::string_view keyword) { return static_cast<std::size_t>(&kind_of(keyword) - kKinds.data()); }

std::string family_of(std::string_view keyword) {
  const auto& kind = kind_of(keyword);
  if (!kind.family.empty()) return std::string(kind.family);
  // stapler-almost-empty and stapler-empty are both about the stapler.
  if (kind.keyword.starts_with('*')) keyword.remove_suffix(kind.keyword.size() - 1);
  return std::string(keyword);
}

Condition condition_of(std::string_view keyword, WallTime since, Witness witness) {
  const auto& kind = kind_of(keyword);
  Condition condition;
  condition.keyword = keyword;
  condition.severity = kind.severity;
  condition.training = kind.training;
  condition.since = since;
  condition.witnesses = {std::move(witness)};
  return condition;
}

bool is_about_queue(std::string_view keyword) {
  const auto& family = kind_of(keyword).family;
  return family.starts_with("queue") || family == "spooler";
}

std::string summary_of(std::string_view keyword, std::string_view place) {
  const auto sentences = kind_of(keyword).summary;
  const auto bar = sentences.find('|');
  if (place.empty()) return std::string(sentences.substr(bar + 1));
  std::string sentence(sentences.substr(0, bar));
  constexpr std::string_view kSlot = "{place}";
  if (const auto slot = sentence.find(kSlot); slot != std::string::npos) sentence.replace(slot, kSlot.size(), place);
  return sentence;
}

}  // namespace frisket::incidents
