// The remedy texts. Common practice, no source, except where a line names one.
#include "daemon/incidents/remedy_texts.h"

#include <algorithm>
#include <array>
#include <initializer_list>
#include <string_view>

#include "daemon/incidents/findings.h"
#include "daemon/incidents/kinds.h"
#include "daemon/incidents/queue_remedies.h"

namespace frisket::incidents {
namespace {

using model::DeviceSnapshot;
using model::MarkTech;
using model::Supply;

// Cautions that several remedies share.
constexpr std::string_view kManual =
    "The maker's manual and your local rules come before these steps; what they reserve for qualified service stays "
    "with qualified service.";
constexpr std::string_view kUnplug =
    "Switch the printer off and pull the mains plug before you reach inside: rollers and gears can start on their own.";
constexpr std::string_view kHotFuser =
    "The fuser stays hot enough to burn long after the last page: keep out of that area until it has cooled.";
constexpr std::string_view kToner =
    "Toner is a very fine powder. Do not breathe it or shake it about, wipe it up with a dry cloth, wash skin with "
    "cold "
    "water, and never use a household vacuum cleaner for it.";
constexpr std::string_view kInk =
    "Ink stains skin and clothes: wear gloves, keep it away from eyes and mouth, and keep used cartridges upright.";
constexpr std::string_view kInterlock =
    "Never hold an interlock switch down to make the printer run with a cover open.";
constexpr std::string_view kWeight = "A full drawer is heavy: hold it with both hands, it may come all the way out.";
constexpr std::string_view kProve = "Print a few test pages and look at them before anything important is printed.";

using Text = RemedyText;
using Writer = Text (*)(const DeviceSnapshot* snapshot, const Condition& lead);

bool has_fuser(const DeviceSnapshot* snapshot) {
  if (snapshot == nullptr || snapshot->markers.empty()) return true;  // not known: warn
  return std::ranges::any_of(snapshot->markers, [](const model::Marker& marker) {
    switch (marker.mark_tech) {
      case MarkTech::electrophotographic_led:
      case MarkTech::electrophotographic_laser:
      case MarkTech::electrophotographic_other:
      case MarkTech::other:
      case MarkTech::unknown:
        return true;
      default:
        return false;
    }
  });
}

bool is_ink(const Condition& lead, const DeviceSnapshot* snapshot) {
  if (lead.keyword.find("ink") != std::string::npos) return true;
  const auto* supply = snapshot == nullptr ? nullptr : find_supply(*snapshot, lead.subunit.index);
  return supply != nullptr && supply_keyword(supply, Stage::low) == "marker-ink-almost-empty";
}

// What comes out of a supply when it is handled.
void caution_for_material(Text& text, const DeviceSnapshot* snapshot, const Condition& lead) {
  if (is_ink(lead, snapshot))
    text.cautions.push_back(kInk);
  else if (has_fuser(snapshot))
    text.cautions.push_back(kToner);
}

// The cautions of whoever handles a supply.
Text about_material(const DeviceSnapshot* snapshot, const Condition& lead) {
  Text text;
  caution_for_material(text, snapshot, lead);
  text.cautions.push_back(kManual);
  return text;
}

Text jam(const DeviceSnapshot* snapshot, const Condition& lead) {
  Text text;
  text.cautions = {kUnplug};
  if (has_fuser(snapshot)) text.cautions.insert(text.cautions.end(), {kHotFuser, kToner});
  text.cautions.push_back(kManual);
  const bool placed = lead.subunit.index > 0 || lead.subunit.kind == Subunit::Kind::finisher;
  if (placed) text.steps.push_back("Start at {place}: open what the panel or the label there tells you to open.");
  text.steps.push_back(
      placed
          ? "If no sheet is to be seen there, search in this order: input trays, output, rear cover and duplex path, "
            "and "
            "the fuser last."
          : "The printer does not say where, so search in this order: input trays, output, rear cover and duplex path, "
            "and the fuser last.");
  text.steps.insert(
      text.steps.end(),
      {"Pull each sheet slowly with both hands, if possible the way the paper travels, and check that no torn "
       "corner stays behind.",
       "Take the paper out of the tray in use, drop damp, curled or creased sheets, square the rest and put it "
       "back under the fill mark, with the guides touching it and not bending it.",
       "Seat the trays, close all covers, plug in, switch on and wait until the panel says ready.", kProve});
  return text;
}

Text tray_open(const DeviceSnapshot*, const Condition&) {
  return {
      {kWeight, kManual},
      {"Pull {place} out all the way and look behind and under it for a slipped or crumpled sheet: a single sheet can "
       "hold a tray that looks shut.",
       "Take the paper out, square it, put it back under the fill mark and set the guides to its size.",
       "Push the tray in with both hands until it stops, and check that the message on the panel goes.",
       "Print a test page from this tray."}};
}

Text output_missing(const DeviceSnapshot*, const Condition&) {
  return {{kManual}, {"Put {place} back until it seats.", "Check that the message on the panel goes.", kProve}};
}

Text cover_open(const DeviceSnapshot* snapshot, const Condition&) {
  Text text;
  text.cautions.push_back(kInterlock);
  if (has_fuser(snapshot)) text.cautions.push_back(kHotFuser);
  text.cautions.push_back(kManual);
  text.steps = {"Ask whether somebody is at work on the printer; if so, leave it to them.",
                "Open {place} fully and look for paper, a cartridge or a lever that keeps it from closing.",
                "Close it firmly, pressing on both sides of the latch, and check that the message on the panel goes.",
                "If it still counts as open, the latch or its switch is worn: call service.", kProve};
  return text;
}

Text supply_missing(const DeviceSnapshot* snapshot, const Condition& lead) {
  auto text = about_material(snapshot, lead);
  text.steps = {
      "Open the supply cover, take {place} out and check that it is the right part for this printer and place.",
      "Remove tape and transport locks that are still on it.",
      "Wipe its contacts with a dry, lint-free cloth and push it back until it clicks.", kProve};
  return text;
}

Text supply_low(const DeviceSnapshot* snapshot, const Condition& lead) {
  auto text = about_material(snapshot, lead);
  text.steps = {
      "Check that a replacement for {place} is on the shelf, and order one if not.",
      "Leave the supply in until the print fades or the printer asks for a new one: what is left in it is paid for.",
      "If important work is due, take the replacement to the printer now."};
  return text;
}

Text supply_empty(const DeviceSnapshot* snapshot, const Condition& lead) {
  auto text = about_material(snapshot, lead);
  text.steps = {"Check that the new part is the right one: part number and colour.",
                "Replace {place} the way the label inside the cover shows; remove all tape and transport locks.",
                "Close the cover, wait until the printer is ready, and check that the level shows as full.", kProve,
                "Hand the used part in for return or disposal as your local rules say."};
  return text;
}

Text waste_full(const DeviceSnapshot* snapshot, const Condition& lead) {
  Text text;
  caution_for_material(text, snapshot, lead);
  text.cautions.insert(text.cautions.end(),
                       {"Do not empty a waste container and put it back: what it holds gets everywhere, and worn parts "
                        "are in it.",
                        kManual});
  text.steps = {"Have a new container ready before you take the old one out.",
                "Take {place} out level, close it with its cap or put it into a bag at once.",
                "Put the new container in until it seats, and check that the message on the panel goes.", kProve,
                "Dispose of the full container as your local rules say."};
  return text;
}

Text waste_almost_full(const DeviceSnapshot* snapshot, const Condition& lead) {
  auto text = about_material(snapshot, lead);
  text.steps = {"Check that a new container for {place} is on the shelf, and order one if not.",
                "Change it at the next visit: when it is full, the printer stops."};
  return text;
}

Text load_paper(const DeviceSnapshot*, const Condition&) {
  return {{kWeight, "Paper edges cut: fan a stack away from your face and fingers.", kManual},
          {"Check on the panel which size and type of paper {place} is set to.",
           "Load that paper, squared and under the fill mark, and set the guides to touch it.",
           "Push the tray in until it stops, and check that the panel shows the right size.",
           "Print a test page from this tray."}};
}

Text paper_request(const DeviceSnapshot*, const Condition&) {
  return {{kManual},
          {"Read on the panel which paper the job asks for.",
           "Load that paper in {place}, or cancel the job if nobody wants it any more.",
           "If such requests keep coming, correct the paper settings of the driver or of the tray."}};
}

Text tray_failure(const DeviceSnapshot*, const Condition&) {
  return {{kUnplug, kWeight, kManual},
          {"Take the paper out of {place} and reload less of it, squared.",
           "Look for pieces of paper or a broken guide below the lift plate.",
           "Seat the tray, switch on, and listen whether the lift runs.", "If the message comes back, call service."}};
}

Text output_full(const DeviceSnapshot*, const Condition&) {
  return {{kManual},
          {"Take the paper out of {place} and lay it where its owners find it.",
           "Check that the flag or lever that feels the stack moves freely.", "Check that printing goes on."}};
}

Text fuser(const DeviceSnapshot*, const Condition&) {
  return {{kHotFuser, kUnplug, "The fuser carries mains voltage: do not open it.", kManual},
          {"Switch the printer off, leave it off for half an hour with its vents free, and switch it on again.",
           "Check that it has a wall socket of its own and not an extension lead or an overloaded strip.",
           "If the message comes back, take the printer out of use and call qualified service."}};
}

Text failure(const DeviceSnapshot*, const Condition&) {
  return {{kUnplug, kManual},
          {"Write down the message on the panel word for word, and what was being printed.",
           "Switch the printer off, wait a minute, and switch it on again.",
           "If the message comes back, call qualified service and give them the message."}};
}

Text life(const DeviceSnapshot*, const Condition&) {
  return {
      {kHotFuser, kManual},
      {"Look up which part {place} is and who may replace it.", "Order the part and plan its replacement.", kProve}};
}

Text service(const DeviceSnapshot*, const Condition&) {
  return {{kManual},
          {"Read the panel and print the configuration page: it says what is due.",
           "Order the maintenance kit if one is named, and plan the visit with whoever may do it.", kProve}};
}

Text offline(const DeviceSnapshot*, const Condition&) {
  return {
      {kManual},
      {"Ask whether somebody took the printer off line on purpose.", "Press the on-line or continue key on the panel.",
       "If it goes off line again, read the message on the panel and look at the job that is first in line."}};
}

Text silent(const DeviceSnapshot*, const Condition&) {
  return {{"Leave damaged mains leads and sockets alone and have them repaired by an electrician.", kManual},
          {"Look whether the printer is switched on and its panel is lit; wake it if it sleeps.",
           "Check both ends of the network cable and the lights beside the socket; try another cable.",
           "Compare the address on the panel or on a configuration page with the one in the configuration.",
           "If other devices nearby are silent too, look at the switch they share."}};
}

Text misload(const DeviceSnapshot* snapshot, const Condition& lead) {
  Text text;
  if (lead.subunit.kind == Subunit::Kind::cover) {
    text.cautions.push_back(kInterlock);
    if (has_fuser(snapshot)) text.cautions.push_back(kHotFuser);
    text.cautions.push_back(kManual);
    text.steps = {
        "Open {place} fully and look for a sheet, a cartridge or a lever that is not home.",
        "Pull the trays below it out, take the paper out, square it and seat it again: a single slipped sheet "
        "can keep a cover from closing.",
        "Close it firmly on both sides and check that the message on the panel goes.",
        "If it still counts as open, the latch or its switch is worn: call service.", kProve};
    return text;
  }
  return {{kWeight, kManual},
          {"Pull {place} out all the way and look behind and under it for a slipped or crumpled sheet: a single sheet "
           "can hold a tray that looks shut.",
           "Take all the paper out, square it, put it back under the fill mark and set the guides to its size.",
           "Push the tray in with both hands until it stops, and wait: the message must stay away for some minutes.",
           "If it comes back with an empty tray too, the tray or its switch is worn: call service.",
           "Print a few test pages from this tray before anything important."}};
}

Text jam_recurring(const DeviceSnapshot* snapshot, const Condition& lead) {
  auto text = jam(snapshot, lead);
  text.steps.insert(text.steps.begin(),
                    "It is not the sheet that is stuck now: look for the reason. The incident's history says when it "
                    "jammed.");
  text.steps.insert(
      text.steps.end() - 1,
      {"Check that the paper is of a kind and weight that the maker allows for this tray, dry, and stored "
       "closed.",
       "Look at the pick-up and separation rollers of {place}: clean dusty ones with a lint-free cloth "
       "moistened with water, and order a roller kit if they are smooth or cracked.",
       "If it jams again with new paper and clean rollers, call service."});
  return text;
}

Text mismatch(const DeviceSnapshot* snapshot, const Condition& lead) {
  auto text = about_material(snapshot, lead);
  text.steps = {
      "Read on the panel what the printer says of {place}.",
      "Compare the part number and the colour on the part with the label inside the cover: a part for another "
      "model or region may fit and still be refused.",
      "Take it out, check that tape and locks are off, wipe its contacts with a dry, lint-free cloth, and seat "
      "it again.",
      "If it is the right part and stays refused, put in another one and send this one back.", kProve};
  return text;
}

Text cable_suspect(const DeviceSnapshot*, const Condition&) {
  return {{"Leave damaged mains leads and sockets alone and have them repaired by an electrician.", kManual},
          {"Look at the network cable from end to end: a bent plug, a broken latch, a spot where chairs or carts roll "
           "over it.",
           "Change the cable for a new one, then try another socket of the switch.",
           "Compare the speed and duplex settings of the printer with those of the switch: both on automatic.",
           "If it is on a wireless network, look at its signal, and prefer a cable.",
           "The incident ends by itself after an hour without an interruption."}};
}

Text site_silent(const DeviceSnapshot*, const Condition&) {
  return {{"Leave damaged mains leads, sockets and fuses alone and have them repaired by an electrician."},
          {"Do not go to the printers: what they share comes first. Ask whether {place} has power and network.",
           "Look at the switch, router or tunnel between this server and {place}, and whether anything was changed "
           "there just now.",
           "Check that this server itself still reaches other networks.",
           "When it answers again, look at what is left: those printers have incidents of their own."}};
}

Text refused(const DeviceSnapshot*, const Condition&) {
  return {{},
          {"Printing most likely goes on; only the printer's state is unknown.",
           "Compare the community or user with the printer's own SNMP settings, and correct whichever is wrong.",
           "Check whether the printer restricts which addresses may read it."}};
}

Text unknown_user(const DeviceSnapshot*, const Condition&) {
  return {
      {},
      {"Printing most likely goes on; only the printer's state is unknown.",
       "Look in the printer's own SNMP settings whether the SNMPv3 user of the configuration is there, spelt alike.",
       "If the printer was reset or repaired, set its SNMPv3 user up again."}};
}

Text wrong_key(const DeviceSnapshot*, const Condition&) {
  return {
      {},
      {"Printing most likely goes on; only the printer's state is unknown.",
       "Compare both passwords and both algorithms of the SNMPv3 user with those in the printer's own SNMP settings.",
       "Set the user's passwords anew on the printer if nobody knows which ones it has."}};
}

Text nonsense(const DeviceSnapshot*, const Condition&) {
  return {
      {},
      {"Check that the address and port in the configuration are this printer's, and that no other device has taken "
       "the address.",
       "Switch the printer off and on once.", "If it keeps answering so, ask the maker for newer firmware."}};
}

Text no_sides(const DeviceSnapshot*, const Condition&) {
  return {{kManual},
          {"Print the job on one side only, or on paper that the duplex unit accepts.",
           "Check the paper type that is set for the tray: a wrong one rules out printing on both sides."}};
}

Text memory_full(const DeviceSnapshot*, const Condition&) {
  return {{kManual},
          {"Cancel the job on the panel and print it again in smaller parts or at a lower resolution.",
           "If this happens often, ask whether the printer's memory can be extended."}};
}

Text panel(const DeviceSnapshot*, const Condition&) {
  return {{kManual},
          {"Read the message on the panel; it says more than the network does.",
           "Do what it asks for, as far as it is not reserved for service.", kProve}};
}

struct Entry {
  std::string_view keyword;  // as in kinds()
  Writer writer;
};

constexpr std::array kEntries = {
    Entry{"media-jam", jam},
    Entry{"*-jam", jam},
    Entry{"jam-recurring", jam_recurring},
    Entry{"tray-misload", misload},
    Entry{"supply-mismatch", mismatch},
    Entry{"cable-suspect", cable_suspect},
    Entry{"site-silent", site_silent},
    Entry{"input-tray-missing", tray_open},
    Entry{"media-path-media-tray-missing", tray_open},
    Entry{"output-tray-missing", output_missing},
    Entry{"cover-open", cover_open},
    Entry{"interlock-open", cover_open},
    Entry{"*-cover-open", cover_open},
    Entry{"*-interlock-open", cover_open},
    Entry{"marker-toner-cartridge-missing", supply_missing},
    Entry{"marker-supply-missing", supply_missing},
    Entry{"toner-empty", supply_empty},
    Entry{"marker-ink-empty", supply_empty},
    Entry{"marker-print-ribbon-empty", supply_empty},
    Entry{"developer-empty", supply_empty},
    Entry{"opc-life-over", supply_empty},
    Entry{"marker-supply-empty", supply_empty},
    Entry{"*-empty", supply_empty},
    Entry{"marker-waste-toner-receptacle-full", waste_full},
    Entry{"marker-waste-ink-receptacle-full", waste_full},
    Entry{"marker-waste-full", waste_full},
    Entry{"toner-low", supply_low},
    Entry{"marker-ink-almost-empty", supply_low},
    Entry{"marker-print-ribbon-almost-empty", supply_low},
    Entry{"developer-low", supply_low},
    Entry{"opc-near-eol", supply_low},
    Entry{"marker-supply-low", supply_low},
    Entry{"*-almost-empty", supply_low},
    Entry{"marker-waste-toner-receptacle-almost-full", waste_almost_full},
    Entry{"marker-waste-ink-receptacle-almost-full", waste_almost_full},
    Entry{"marker-waste-almost-full", waste_almost_full},
    Entry{"media-empty", load_paper},
    Entry{"media-needed", load_paper},
    Entry{"media-low", load_paper},
    Entry{"input-media-change-request", paper_request},
    Entry{"input-manual-input-request", paper_request},
    Entry{"input-cannot-feed-size-selected", paper_request},
    Entry{"input-tray-position-failure", tray_failure},
    Entry{"input-tray-elevation-failure", tray_failure},
    Entry{"output-area-full", output_full},
    Entry{"output-area-almost-full", output_full},
    Entry{"media-path-media-tray-full", output_full},
    Entry{"media-path-media-tray-almost-full", output_full},
    Entry{"*-full", output_full},
    Entry{"*-almost-full", output_full},
    Entry{"media-path-cannot-duplex-media-selected", no_sides},
    Entry{"fuser-over-temp", fuser},
    Entry{"fuser-under-temp", fuser},
    Entry{"marker-fuser-timing-failure", fuser},
    Entry{"marker-fuser-thermistor-failure", fuser},
    Entry{"subunit-unrecoverable-failure", failure},
    Entry{"subunit-recoverable-failure", failure},
    Entry{"subunit-motor-failure", failure},
    Entry{"output-mailbox-select-failure", failure},
    Entry{"unexplained-stop", failure},
    Entry{"*-failure", failure},
    Entry{"subunit-life-over", life},
    Entry{"subunit-life-almost-over", life},
    Entry{"*-life-over", life},
    Entry{"*-life-almost-over", life},
    Entry{"subunit-memory-exhausted", memory_full},
    Entry{"service-requested", service},
    Entry{"overdue-prevent-maint", service},
    Entry{"offline", offline},
    Entry{"subunit-offline", offline},
    Entry{"device-silent", silent},
    Entry{"device-refused", refused},
    Entry{"device-unknown-user", unknown_user},
    Entry{"device-wrong-key", wrong_key},
    Entry{"device-nonsense", nonsense},
};

Writer writer_for(std::string_view keyword) {
  const auto entry = std::ranges::find(kEntries, kind_of(keyword).keyword, &Entry::keyword);
  return entry == kEntries.end() ? panel : entry->writer;
}

}  // namespace

RemedyText remedy_text(const Condition& lead, const DeviceSnapshot* snapshot) {
  if (auto text = queue_remedy(lead.keyword)) return std::move(*text);
  return writer_for(lead.keyword)(snapshot, lead);
}

}  // namespace frisket::incidents
