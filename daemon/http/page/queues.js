// The print queues as galley slips: how each does, what waits in it, and what can be done.
import {element, said, way} from "./dom.js";
import {count, howLong, states, stateMark, stateWord} from "./words.js";

// "3 wait, the oldest for 12 min; 1 held"; the age goes on since the queue was read.
function waiting(queue, now) {
  const {jobs} = queue;
  if (!jobs.known) return jobs.queued === null ? "does not list its jobs" : count(jobs.queued, "job");
  const parts = [];
  if (jobs.waiting > 0) {
    const since = Math.max(0, now - new Date(queue.last_reading_at));
    const oldest = jobs.oldest_waiting_seconds;
    const age = oldest === null ? "" : `, the oldest for ${howLong(oldest * 1000 + since)}`;
    parts.push(`${count(jobs.waiting, "job waits", "jobs wait")}${age}`);
  }
  if (jobs.held > 0) parts.push(`${jobs.held} held`);
  return parts.length ? parts.join("; ") : "nothing waits";
}

function notes(queue) {
  const lines = [];
  if (queue.accepting === false) lines.push("takes no jobs");
  for (const reason of queue.reasons) lines.push([reason.keyword, reason.mark].filter(Boolean).join(", "));
  if (queue.message) lines.push(queue.message);
  if (queue.detail) lines.push(queue.detail);
  return lines.length === 0
    ? null
    : element(
        "ul",
        {class: "notes"},
        lines.map((line) => element("li", {}, said(line)))
      );
}

function jobLine(job) {
  const what = [job.state, ...(job.reasons ?? [])].join(", ");
  const pages = job.impressions_completed === null ? "" : `, ${count(job.impressions_completed, "page")} done`;
  return element(
    "li",
    {},
    `job ${job.id}: ${what}${pages}; sent ${howLong(job.age_seconds * 1000)} ago`,
    job.name ? [", ", said(job.name)] : null,
    job.owner ? [" of ", said(job.owner)] : null
  );
}

// Which print service it is asked of, by scheme, host and port.
const service = (queue) => queue.uri?.match(/^[^/]+:\/\/[^/]+/)?.[0].toLowerCase() ?? null;
const besides = (a, b) =>
  a.name !== b.name &&
  ((a.spooler !== null && a.spooler === b.spooler) || (service(a) !== null && service(a) === service(b)));

// The queues that its jobs could be moved to, as [name, words].
export function targetsOf(queue, queues) {
  return [...queues.values()]
    .filter((each) => besides(each, queue) && each.accepting !== false && !each.read_only)
    .sort(inOrder)
    .map((each) => [each.name, `${each.name} (${[stateWord(each.state), each.location].filter(Boolean).join(", ")})`]);
}

function inside(queue, {fleet, shelf}) {
  const path = `/v1/queues/${encodeURIComponent(queue.name)}/jobs`;
  const answer = shelf.ask(path, {age: 15000});
  const jobs = answer.value?.items ?? [];
  const act = (verb, text) =>
    element("button", {type: "button", "data-act": "queue", "data-verb": verb, "data-name": queue.name}, text);
  return [
    jobs.length
      ? element("ol", {class: "jobs"}, jobs.map(jobLine))
      : element(
          "p",
          {},
          answer.state === "reading"
            ? "Reading \u2026"
            : answer.value?.known
              ? "No job is in it."
              : "It does not list its jobs."
        ),
    queue.read_only
      ? element("p", {class: "later"}, "It can only be read.")
      : element(
          "p",
          {class: "acts"},
          act("pause", "Pause \u2026"),
          act("resume", "Let it go on \u2026"),
          act("cancel-head", "Cancel the first job \u2026"),
          act("cancel-waiting", "Cancel all that wait \u2026"),
          targetsOf(queue, fleet.queues).length ? act("move", "Move all that wait \u2026") : null,
          act("restart", "Restart its spooler \u2026")
        ),
  ];
}

// `open`: with its jobs and what can be done, for which the view's shelf is asked.
export function slip(queue, now, open, view) {
  const place = [queue.location, queue.site].filter(Boolean).join(", ");
  return element(
    "li",
    {"data-key": queue.name, class: "line", "data-chosen": open},
    element(
      "a",
      {href: open ? "#/queues" : `#/queues/${encodeURIComponent(queue.name)}`, "aria-expanded": open ? "true" : "false"},
      element("strong", {}, said(queue.name)),
      stateMark(queue.state),
      element("span", {class: "stands"}, said(place)),
      element("span", {class: "waits"}, waiting(queue, now))
    ),
    notes(queue),
    queue.device
      ? element("p", {class: "stands"}, "prints on ", way(["device", queue.device], {}, said(queue.device)))
      : null,
    open ? element("div", {class: "inside"}, inside(queue, view)) : null
  );
}

export function inOrder(a, b) {
  const first = states.indexOf(a.state) - states.indexOf(b.state);
  return first !== 0 ? first : a.name < b.name ? -1 : 1;
}

export function queuesView(view, now) {
  const {fleet, route, fits, page} = view;
  const fitting = [...fleet.queues.values()]
    .filter((queue) =>
      fits(
        queue.site,
        [
          queue.name,
          queue.device,
          queue.spooler,
          queue.location,
          queue.info,
          queue.state,
          ...queue.reasons.map((reason) => reason.keyword),
        ]
          .filter(Boolean)
          .join("\n")
          .toLowerCase()
      )
    )
    .sort(inOrder);
  const shown = page.slice(fitting, 100);
  return [
    element(
      "section",
      {"aria-labelledby": "view-title", "data-key": "queues"},
      element("h2", {id: "view-title", tabindex: "-1"}, "Print queues"),
      shown.items.length
        ? element(
            "ol",
            {class: "register queues", "data-walk": ""},
            shown.items.map((queue) => slip(queue, now, queue.name === route[1], view))
          )
        : element(
            "p",
            {class: "nothing"},
            fleet.since === null ? "Reading \u2026" : fleet.queues.size ? "No queue fits." : "No queue is watched."
          ),
      shown.more
    ),
  ];
}
