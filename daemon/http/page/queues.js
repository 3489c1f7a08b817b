// One print queue as a galley slip: its name, how it does, what waits in it.
import {element, said} from "./dom.js";
import {count, howLong, queueWord} from "./words.js";

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
  if (lines.length === 0) return null;
  return element("ul", {class: "notes"}, ...lines.map((line) => element("li", {}, said(line))));
}

export function slip(queue, now) {
  const place = [queue.device ? `prints on ${queue.device}` : "", queue.location, queue.site];
  return element("article", {class: "plate", "aria-label": `queue ${queue.name}, ${queue.state}`},
    element("h4", {}, said(queue.name)),
    element("p", {class: "stands"}, said(place.filter(Boolean).join(" \u00B7 "))),
    element("p", {class: `state ${queue.state}`}, queueWord(queue.state)),
    element("p", {class: "waits"}, waiting(queue, now)),
    notes(queue));
}

const attention = ["stopped", "silent", "absent", "refused", "nonsense", "unknown", "processing", "idle"];
export function inOrder(a, b) {
  const first = attention.indexOf(a.state) - attention.indexOf(b.state);
  return first !== 0 ? first : a.name < b.name ? -1 : 1;
}
