// What the upkeep routes answer, for a garden with a past: the simulated fleet is minutes old and has none. The shapes are
// those of docs/api.md.

const day = 24 * 3600e3;
const iso = (instant) => new Date(instant).toISOString();
const carry = (part, maker, colorant, count = 1) => ({part, maker, colorant, count});
const manual =
  "The maker's manual and your local rules come before these steps; what they reserve for qualified service stays with qualified service.";
const heavy = "A full drawer is heavy: hold it with both hands, it may come all the way out.";
const powder = "Toner is a very fine powder. Do not breathe it or shake it about, wipe it up with a dry cloth.";

function job(what, why, minutes, more = {}) {
  return {what, why, incident: null, minutes, value: 1, steps: [], cautions: [], carry: [], ...more};
}

function stop(device, building, floor, place, jobs) {
  return {
    device,
    building,
    floor,
    place,
    location: [building, floor, place].filter(Boolean).join(", "),
    minutes: jobs.reduce((sum, each) => sum + each.minutes, 0),
    jobs,
  };
}

const kit = {
  steps: [
    "Print a test page and keep it beside the new one.",
    "Take the old kit out as its leaflet shows, rollers first.",
    "Put the new one in, reset the counter at the panel, and print twenty pages.",
  ],
  cautions: ["The fuser stays hot enough to burn long after the last page: let it cool first.", manual],
};

const rounds = {
  brackenholt: [
    stop("ticket-office-till", "Ticket office", "ground floor", "till two", [
      job("Refill the label roll", "75 labels are left; at the usual pace they last until this afternoon.", 3, {
        steps: ["Open the lid, take the empty core out.", "Put a new roll in, labels up, and close the lid until it snaps."],
      }),
    ]),
    stop("library-desk", "Library", "ground floor", "reading room desk", [
      job("Push Tray 2 in", "Tray 2 is open or missing.", 3, {
        cautions: [heavy],
        steps: [
          "Pull the tray out all the way and look behind it for a slipped sheet.",
          "Push it in with both hands until it stops.",
        ],
      }),
    ]),
    stop("library-stacks", "Library", "basement", "stacks", [
      job("Change the black toner", "It is at 4 % and lasts until Thursday or so.", 5, {
        cautions: [powder],
        steps: [
          "Take the old cartridge out by its green handle.",
          "Rock the new one five times, put it in, close the cover.",
        ],
        carry: [carry("TW-21K", "Tarnwick", "black")],
      }),
    ]),
    stop("herbarium-copier", "Herbarium", "first floor", "mounting room", [
      job("Empty Tray 2 wants paper", "Tray 2 has been empty since this morning.", 4, {
        cautions: [heavy],
        steps: ["Fan the ream, fill to the mark, set the guides."],
      }),
      job("Change the waste toner bottle", "It is 93 % full; likely full in 2 to 6 days.", 8, {
        cautions: [powder],
        steps: ["Close the full bottle with its cap before you tilt it.", "Put the new one in until it clicks."],
        carry: [carry("LV-55W", "Lumenveld", "")],
      }),
    ]),
    stop("finance-office", "Old house", "first floor", "finance office", [
      job("Change the maintenance kit", "At 1 % of its life; the copier stops when it is over.", 25, {
        ...kit,
        carry: [carry("640M", "Tarnwick", "")],
      }),
    ]),
  ],
  "high-meadow": [
    stop("seed-bank-intake", "Samenbank", "", "Annahme", [
      job("Change the magenta toner", "It is at 5 % and lasts 3 to 9 days.", 5, {
        cautions: [powder],
        steps: [
          "Open the front cover.",
          "Push the old cartridge down and out.",
          "Rock the new one, slide it in, close the cover.",
        ],
        carry: [carry("LV-32M", "Lumenveld", "magenta")],
      }),
    ]),
    stop("seed-bank-lab", "Samenbank", "", "Keimlabor", [
      job("Clear the inner bin", "Inner Bin is almost full.", 2, {
        steps: ["Take the printed sheets out and put them on the shelf beside it."],
      }),
    ]),
  ],
};

export function round(site, days) {
  const stops = rounds[site] ?? [];
  const parts = stops.flatMap((each) => each.jobs.flatMap((task) => task.carry));
  return {
    site,
    days: Number(days),
    minutes: stops.reduce((sum, each) => sum + each.minutes + 4, 0),
    stops,
    carry: parts,
    left_out:
      site === "brackenholt"
        ? [{device: "directors-office", what: "Fill Tray 1", why: "the room is locked until Monday"}]
        : [],
  };
}

function item(maker, part, description, colorant, count, devices, byDays, outDays, onHand, onOrder, why) {
  return {
    maker,
    part,
    description,
    colorant,
    class: "consumed",
    count,
    packs: count,
    for_devices: devices,
    order_by: iso(Date.now() + byDays * day),
    runs_out_first: iso(Date.now() + outDays * day),
    on_hand: onHand,
    on_order: onOrder,
    reorder_point: 1,
    why,
  };
}

export function order() {
  return {
    items: [
      item(
        "Tarnwick",
        "TW-21K",
        "Black Toner TW-21K",
        "black",
        2,
        ["library-stacks", "palm-house-office"],
        -1,
        2,
        0,
        0,
        "library-stacks runs out in 1 to 4 days and delivery takes 3; none is on the shelf."
      ),
      item(
        "Lumenveld",
        "LV-55W",
        "Waste Toner Bottle LV-55W",
        "",
        1,
        ["herbarium-copier"],
        1,
        4,
        0,
        0,
        "It is 93 % full and likely full in 2 to 6 days."
      ),
      item(
        "Lumenveld",
        "LV-32M",
        "Toner Purpur LV-32M",
        "magenta",
        1,
        ["seed-bank-intake"],
        3,
        6,
        1,
        0,
        "The one on the shelf goes in this week; the next is wanted in about 40 days."
      ),
      item(
        "Brindlecote",
        "BC-8C",
        "Cyan Ink BC-8C",
        "cyan",
        3,
        ["plant-clinic", "ticket-office-back"],
        9,
        15,
        1,
        2,
        "Two devices share this cartridge; it is sold singly."
      ),
    ],
    next: null,
  };
}

function task(device, key, title, state, dueIn, last, why, remedy = {steps: [], cautions: []}) {
  const due_at = dueIn === null ? null : iso(Date.now() + dueIn * day);
  return {id: `${device}:${key}`, device, task: key, title, state, due_at, last_done: last, minutes: 20, why, remedy};
}

const done = (ago, by, impressions) => ({at: iso(Date.now() - ago * day), by, impressions});

export function upkeep() {
  const rollers = {
    steps: ["Wipe each roller with a cloth damped with water, a quarter turn at a time."],
    cautions: [manual],
  };
  const jams = "Jams have come twice as often as usual for two weeks.";
  const unheard = "It has not been heard long enough to know its pace.";
  return {
    items: [
      task("library-desk", "dust", "Take the paper dust out", "later", 34, null, "Every 100,000 impressions."),
      task("herbarium-copier", "rollers", "Clean the feed rollers", "due", 1, done(62, "maeve", 170100), jams, rollers),
      task(
        "finance-office",
        "kit",
        "Change the maintenance kit",
        "overdue",
        -4,
        done(240, "robin", 387000),
        "200,000 impressions since the last one.",
        kit
      ),
      task("directors-office", "fuser", "Change the fuser", "soon", null, null, unheard),
    ],
    next: null,
  };
}

// A course of forty days that ends where the device is now.
export function history(device) {
  const days = 40;
  const now = Date.now();
  const at = (index) => iso(now - (days - index) * day);
  const series = device.supplies
    .filter((supply) => supply.percent !== null)
    .map((supply) => {
      const fall = 0.5 + ((supply.index * 37) % 11) / 8;
      const points = Array.from({length: days + 1}, (_, index) => {
        const level = supply.percent + fall * (days - index) + (index % 7 < 2 ? fall : 0);
        return [at(index), Math.round((level > 100 ? level - 100 : level) * 10) / 10];
      });
      points[days] = [at(days), supply.percent];
      return {name: `supply:${supply.index}`, unit: "percent", points};
    });
  const pages = device.impressions ?? 0;
  series.push({
    name: "impressions",
    unit: "impressions",
    points: Array.from({length: days + 1}, (_, index) => [at(index), pages - (days - index) * 310]),
  });
  return {device: device.name, from: at(0), to: at(days), resolution: "day", series, incidents: []};
}

export function withForecast(device) {
  for (const supply of device.supplies) {
    if (supply.days_left || supply.percent === null) continue;
    const likely = Math.max(1, Math.round(supply.percent / (0.5 + ((supply.index * 37) % 11) / 8)));
    supply.days_left = {p10: Math.round(likely * 7) / 10, p50: likely, p90: Math.round(likely * 15) / 10};
  }
  return device;
}

// Puts these answers in place of the daemon's own, which come of a past of minutes. Gives the routes it put them in for.
export async function fillIn(page) {
  const filled = new Set();
  const otherwise = (pattern, name, make) =>
    page.route(pattern, async (route) => {
      const answer = await route.fetch();
      if (answer.status() !== 200) return route.fulfill({response: answer});  // the daemon must know the route
      filled.add(name);
      const made = await make(new URL(route.request().url()));
      return route.fulfill({json: made});
    });
  await otherwise("**/v1/order*", "order", () => order());
  await otherwise("**/v1/upkeep*", "upkeep", () => upkeep());
  await otherwise("**/v1/round?*", "round", (url) => round(url.searchParams.get("site"), url.searchParams.get("days")));
  await otherwise("**/v1/devices/*/history*", "history", async (url) => {
    const device = await page.request.get(url.href.replace(/\/history.*/, ""));
    return history(await device.json());
  });
  await page.route(/\/v1\/devices\/[^/?]+$/, async (route) => {
    const answer = await route.fetch();
    if (answer.status() !== 200) return route.fulfill({response: answer});
    return route.fulfill({response: answer, json: withForecast(await answer.json())});
  });
  return filled;
}
