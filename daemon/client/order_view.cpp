// What to order, and what is on the shelf.
#include <algorithm>

#include "daemon/client/csv.h"
#include "daemon/client/table.h"
#include "daemon/client/upkeep_views.h"
#include "daemon/client/upkeep_words.h"
#include "daemon/client/view_parts.h"
#include "daemon/client/words.h"

namespace frisket::client {
namespace {

constexpr std::size_t kWhole = Column::kWhole;

// "black toner cartridge"
std::string what_words(const OrderLine& line) { return joined({line.colorant, line.description}, " "); }

std::string packs_words(const OrderLine& line) {
  if (line.pack_size.value_or(1) <= 1 || !line.packs) return "";
  return counted_words(*line.packs, "pack", "packs") + " of " + std::to_string(*line.pack_size);
}

std::string counted(const char* label, std::optional<std::int64_t> count) {
  return count ? label + std::to_string(*count) : std::string();
}

std::string in_hand_words(std::optional<std::int64_t> on_hand, std::optional<std::int64_t> on_order) {
  return joined({counted("on the shelf ", on_hand), counted("on order ", on_order)}, ", ");
}

std::string stock_words(const OrderLine& line) {
  return joined({in_hand_words(line.on_hand, line.on_order), counted("to be ordered at or under ", line.reorder_point)},
                ", ");
}

// The one device for which it is the most pressing stands first, as served.
std::string block(const OrderLine& line, const Screen& screen) {
  const bool late = line.order_by && *line.order_by < screen.now;
  const CarriedPart part{line.part, line.maker, "", line.count};
  std::string out = paragraph("[ ] ", joined({part_words(part), what_words(line)}, ", "), screen, Tone::plain);
  if (line.order_by)
    out += paragraph(fitted("    Order by", 18), date_words(line.order_by, screen) + (late ? ": late" : ""), screen,
                     late ? Tone::major : Tone::plain);
  const auto labelled_line = [&](const char* label, const std::string& value) {
    if (!value.empty()) out += paragraph(fitted(std::string("    ") + label, 18), value, screen);
  };
  labelled_line("Out first", date_words(line.runs_out_first, screen));
  labelled_line("Packs", packs_words(line));
  labelled_line("From", line.supplier);
  labelled_line("For", joined(line.for_devices, ", "));
  labelled_line("Stock", stock_words(line));
  labelled_line("Why", line.why);
  labelled_line("No date", line.undated.empty() ? "" : joined(line.undated, ", ") + ": look at them");
  return out;
}

std::string waiting_table(const std::vector<OrderLine>& lines, const Screen& screen) {
  Rows rows;
  for (const OrderLine& each : lines)
    if (each.count <= 0)
      rows.push_back({{each.part},
                      {joined({each.maker, what_words(each)}, " ")},
                      {in_hand_words(each.on_hand, each.on_order)},
                      {each.order_by ? "by " + local_date(*each.order_by, screen.zone) : ""},
                      {each.why}});
  return section("Not to be ordered now", {{"", kWhole}, {"", 10, 2}, {"", kWhole, 3}, {"", kWhole}, {"", 16, 1}}, rows,
                 screen);
}

const std::vector<std::string> kOrderColumns = {
    "part",           "count",       "order_by", "maker",       "description", "colorant",
    "supplier",       "pack_size",   "packs",    "on_hand",     "on_order",    "reorder_point",
    "runs_out_first", "for_devices", "undated",  "demand_days", "demand_mean", "why"};

std::vector<std::vector<std::string>> order_rows(const Foreseen<OrderLine>& orders) {
  std::vector<std::vector<std::string>> rows;
  rows.reserve(orders.items.size());
  for (const OrderLine& each : orders.items)
    rows.push_back({each.part, std::to_string(each.count), plain(each.order_by), each.maker, each.description,
                    each.colorant, each.supplier, plain(each.pack_size), plain(each.packs), plain(each.on_hand),
                    plain(each.on_order), plain(each.reorder_point), plain(each.runs_out_first),
                    joined(each.for_devices, ","), joined(each.undated, ","), plain(each.demand_days),
                    plain(each.demand_mean), each.why});
  return rows;
}

}  // namespace

std::string orders_screen(const Foreseen<OrderLine>& orders, const Screen& screen) {
  std::string blocks;
  std::int64_t wanted = 0;
  for (const OrderLine& each : orders.items) {
    if (each.count <= 0) continue;
    blocks += '\n' + block(each, screen);
    ++wanted;
  }
  const std::string head = wanted == 0
                               ? "Nothing is to be ordered now."
                               : "To order: " + counted_words(wanted, "part", "parts") + ", the most pressing first.";
  return paragraph("", head + ' ' + made_words(orders.made_at, screen), screen) + blocks +
         waiting_table(orders.items, screen);
}

std::string orders_lines(const Foreseen<OrderLine>& orders) { return tab_separated(kOrderColumns, order_rows(orders)); }

std::string orders_csv(const Foreseen<OrderLine>& orders) { return csv(kOrderColumns, order_rows(orders)); }

std::string stock_screen(const Foreseen<StockLine>& stock, const Screen& screen) {
  if (stock.items.empty())
    return paragraph("", "No stock has been told. Tell it with: frisket stock set PART COUNT", screen);
  Rows rows;
  for (const StockLine& each : stock.items)
    rows.push_back({{each.part}, {plain(each.on_hand)}, {plain(each.on_order)}});
  return fitted_table({{"PART", kWhole}, {"ON THE SHELF", kWhole}, {"ON ORDER", kWhole}}, rows, screen.width,
                      screen.colour);
}

std::string stock_lines(const Foreseen<StockLine>& stock) {
  std::vector<std::vector<std::string>> rows;
  rows.reserve(stock.items.size());
  for (const StockLine& each : stock.items) rows.push_back({each.part, plain(each.on_hand), plain(each.on_order)});
  return tab_separated({"part", "on_hand", "on_order"}, rows);
}

}  // namespace frisket::client
