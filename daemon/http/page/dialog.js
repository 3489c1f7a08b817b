// The dialog that comes before anything is changed: it says what will happen, and takes the name and the token.
import {element, said} from "./dom.js";
import {send, token, Refusal} from "./wire.js";

const at = (id) => document.getElementById(id);
const byName = "frisket-by";

function field(id, text, input, note) {
  return element(
    "p",
    {class: "field"},
    element("label", {for: id}, text),
    input,
    note ? element("small", {id: `${id}-note`}, note) : null
  );
}

// What stands in a field now; the dialog's own ids begin with "ask-".
export const clear = (id) => (at(id) ? at(id).value.trim() : "");

let running = null; // what the open dialog is for: {act}

// heading and lines say what will happen; fields are nodes; act({by, note}, token) does it and gives what to say of it,
// or the next dialog.
export function ask({heading, lines, fields = [], button, act}) {
  running = {act};
  const held = token.get();
  const already = at("ask").open;
  // Anew each time: what was typed for one thing is not said of the next.
  at("ask-body").replaceChildren(
    element("h2", {id: "ask-title"}, heading),
    element(
      "ul",
      {id: "ask-what", class: "what"},
      lines.map((text) => element("li", {}, said(text)))
    ),
    ...fields,
    field(
      "ask-by",
      "Your name",
      element("input", {id: "ask-by", autocomplete: "name", maxlength: 120, value: localStorage.getItem(byName) ?? ""}),
      "It is written down with what was done."
    ),
    field(
      "ask-token",
      "Token",
      element("input", {
        id: "ask-token",
        type: "password",
        autocomplete: "off",
        spellcheck: "false",
        value: held,
        "aria-describedby": "ask-token-note",
      }),
      "One with the right to operate; kept in this tab only. Leave it empty where this daemon has no tokens."
    ),
    element("p", {id: "ask-trouble", role: "alert", class: "trouble"}),
    element(
      "p",
      {class: "acts"},
      element("button", {type: "submit", id: "ask-do"}, button),
      element("button", {type: "button", "data-act": "leave"}, "Leave it")
    )
  );
  if (!already) return at("ask").showModal();
  at("ask-title").tabIndex = -1; // the next dialog in the same place is read from its top
  at("ask-title").focus();
}

export function leave() {
  running = null;
  at("ask").close();
}

async function confirmed(done) {
  const mine = running;
  if (!mine) return;
  const by = clear("ask-by");
  if (by) localStorage.setItem(byName, by);
  const held = clear("ask-token");
  at("ask-do").disabled = true;
  at("ask-trouble").textContent = "";
  try {
    const said = await mine.act({by: by || undefined, note: clear("ask-note") || undefined}, held);
    token.set(held); // only now: one that is wrong would spoil reading too
    const isNext = typeof said === "object";
    if (running !== mine) return isNext ? undefined : done(said); // left meanwhile
    if (isNext) return ask(said);
    leave();
    done(said);
  } catch (error) {
    if (running !== mine) return done(error.message);
    const wants = error instanceof Refusal && (error.status === 401 || error.status === 403);
    at("ask-trouble").textContent = `${wants ? "It was not done: " : "It could not be done: "}${error.message}`;
    at("ask-do").disabled = false;
    (wants ? at("ask-token") : at("ask-do")).focus();
  }
}

// done(text) when something was done and the dialog is closed.
export function listen(done) {
  at("ask-form").addEventListener("submit", (event) => {
    event.preventDefault();
    confirmed(done);
  });
  at("ask").addEventListener("close", () => (running = null));
}

// `text`: what is noted already.
export const note = (text = "") =>
  field(
    "ask-note",
    "A note, if you like",
    element("input", {id: "ask-note", autocomplete: "off", maxlength: 400, value: text})
  );

export function choice(id, text, options, chosen) {
  const made = options.map(([key, word]) => element("option", {value: key, selected: key === chosen}, word));
  return field(id, text, element("select", {id}, made));
}

// First it is asked what would be done; only the second dialog does it. `fields` are read by body(), once.
export function twice({heading, path, body = () => ({}), fields, first, button, tell}) {
  ask({
    heading,
    lines: [first, "Nothing is done yet: this asks what would be."],
    fields,
    button: "See what would happen",
    act: async (words, held) => {
      const asked = body();
      const dry = await send(path, {...words, ...asked, dry_run: true}, held);
      const jobs = (dry.jobs ?? []).map((job) => `job ${job.id}, ${job.state}`);
      return {
        heading,
        lines: [dry.said, ...jobs],
        button,
        act: async (again, still) => tell(await send(path, {...again, ...asked}, still)),
      };
    },
  });
}
