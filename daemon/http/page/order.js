// What to order, and by when.
import {element, said, way} from "./dom.js";
import {day, figure, howLong, count} from "./words.js";
import {notKnown, ledger} from "./later.js";

function when(instant, now) {
  if (!instant) return "no hurry known";
  const ahead = new Date(instant) - now;
  return [element("b", {}, day(instant, "UTC")), ahead < 0 ? ` (${howLong(-ahead)} ago)` : ` (in ${howLong(ahead)})`];
}

function row(item, now) {
  const devices = item.for_devices ?? [];
  const shelf = [
    item.on_hand !== null && item.on_hand !== undefined ? `${figure(item.on_hand)} on the shelf` : "",
    item.on_order ? `${figure(item.on_order)} on order` : "",
    typeof item.reorder_point === "number" ? `order again at ${figure(item.reorder_point)}` : "",
  ].filter(Boolean);
  return {
    key: `${item.maker} ${item.part} ${item.description}`,
    cells: [
      [
        element("b", {}, said([item.maker, item.part].filter(Boolean).join(" ") || "part not known")),
        element("br"),
        said([item.description, item.colorant].filter(Boolean).join(", ")),
      ],
      [
        element("b", {}, figure(item.count)),
        item.packs && item.packs !== item.count ? ` (${count(item.packs, "pack")})` : "",
      ],
      when(item.order_by, now),
      item.runs_out_first ? day(item.runs_out_first, "UTC") : "not known",
      shelf.join(", ") || "not known",
      [
        devices.slice(0, 6).map((name, index) => [index ? ", " : "", way(["device", name], {}, said(name))]),
        devices.length > 6 ? ` and ${devices.length - 6} more` : "",
      ],
      said(item.why ?? ""),
    ],
  };
}

const heads = ["part", "order", "order by", "first runs out", "stock", "for", "why"];

// What is enough has a count of 0. The most urgent comes first.
function wanted(items) {
  return items.filter((item) => item.count > 0).sort((a, b) => ((a.order_by ?? "9") < (b.order_by ?? "9") ? -1 : 1));
}

export function orderView({shelf, fits, page}, now) {
  const answer = shelf.ask("/v1/order", {list: true});
  const text = (item) =>
    [item.maker, item.part, item.description, item.colorant, ...(item.for_devices ?? [])].join("\n").toLowerCase();
  const shown = page.slice(
    wanted(answer.value ?? []).filter((item) => fits(null, text(item))),
    100
  );
  return [
    element(
      "article",
      {class: "sheet lone", "data-key": "order", "aria-labelledby": "view-title"},
      element(
        "header",
        {},
        element("h2", {id: "view-title", tabindex: "-1"}, "To order"),
        element("p", {class: "choices"}, element("button", {type: "button", "data-act": "print"}, "Print it"))
      ),
      !answer.value
        ? notKnown(answer, "work out orders")
        : shown.items.length
          ? ledger(
              heads,
              shown.items.map((item) => row(item, now)),
              "What to order"
            )
          : element("p", {class: "nothing"}, "Nothing is to be ordered."),
      shown.more
    ),
  ];
}
