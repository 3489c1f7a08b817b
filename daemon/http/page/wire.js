// Talking with the daemon: reading, changing, and following its events. The token, where one is needed, stays in
// this tab and goes nowhere but into the header field of a request.

const tokenName = "frisket-token";

export const token = {
  get: () => sessionStorage.getItem(tokenName) ?? "",
  set: (text) => (text ? sessionStorage.setItem(tokenName, text) : sessionStorage.removeItem(tokenName)),
};

// What the daemon answered instead of what was asked for.
export class Refusal extends Error {
  constructor(status, detail) {
    super(detail);
    this.status = status;
  }
}

function fields(more, held = token.get()) {
  return held ? {...more, Authorization: `Bearer ${held}`} : more;
}

async function answerOf(response, path) {
  if (response.ok) return response.json();
  const problem = await response.json().catch(() => ({}));
  throw new Refusal(response.status, problem.detail || `${path}: status ${response.status}`);
}

export async function read(path) {
  return answerOf(await fetch(path, {headers: fields({Accept: "application/json"}), cache: "no-cache"}), path);
}

// Page by page; each(items) after every page, so that much does not have to arrive before something is shown.
export async function readList(path, each) {
  let after = null;
  do {
    const mark = path.includes("?") ? "&" : "?";
    const page = await read(after === null ? path : `${path}${mark}after=${encodeURIComponent(after)}`);
    each(page.items);
    after = page.next ?? null;
  } while (after !== null);
}

// With this token, which need not be the one that is kept.
export async function send(path, body, held) {
  const headers = fields({Accept: "application/json", "Content-Type": "application/json"}, held);
  return answerOf(await fetch(path, {method: "POST", headers, body: JSON.stringify(body), cache: "no-store"}), path);
}

function eventOf(block) {
  const event = {name: "message", id: null, data: ""};
  for (const line of block.split("\n")) {
    if (line.startsWith("event:")) event.name = line.slice(6).trim();
    else if (line.startsWith("id:")) event.id = line.slice(3).trim();
    else if (line.startsWith("data:")) event.data += line.slice(5);
  }
  return event;
}

const silence = 45000; // a living stream says something every 15 s

// Follows server-sent events until the stream ends; opened() once it stands, take(event) for each. Not by EventSource,
// which cannot show a token. Gives the id to go on from.
export async function follow(path, lastId, opened, take) {
  const stop = new AbortController();
  const headers = fields(lastId ? {Accept: "text/event-stream", "Last-Event-ID": lastId} : {Accept: "text/event-stream"});
  let guard = setTimeout(() => stop.abort(), silence);
  try {
    const response = await fetch(path, {headers, signal: stop.signal, cache: "no-store"});
    if (!response.ok) await answerOf(response, path);
    opened();
    const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
    for (let rest = ""; ;) {
      const {done, value} = await reader.read();
      if (done) return lastId;
      clearTimeout(guard);
      guard = setTimeout(() => stop.abort(), silence);
      const blocks = (rest + value).split("\n\n");
      rest = blocks.pop();
      for (const event of blocks.map(eventOf)) {
        if (event.id) lastId = event.id;
        if (event.data) take(event.name, JSON.parse(event.data));
      }
    }
  } catch (error) {
    if (error instanceof Refusal) throw error;
    return lastId;
  } finally {
    clearTimeout(guard);
    stop.abort();
  }
}
