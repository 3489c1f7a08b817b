// What only one view wants, read when that view asks for it, and again when it is old or an event touched it.
import {read, readList, Refusal} from "./wire.js";

const most = 60; // answers kept

export class Shelf {
  #answers = new Map(); // path to {state, value, detail, at, stale}
  #changed;

  constructor(changed) {
    this.#changed = changed;
  }

  // The answer to GET path as {state, value, detail}; state is "reading" (value: null), "known", "absent" (this
  // daemon has no such route, or no such thing) or "trouble". Of a list, value is its items.
  ask(path, {list = false, age = 60000} = {}) {
    const known = this.#answers.get(path) ?? {state: "reading", value: null, detail: "", at: 0, stale: true, busy: false};
    this.#answers.delete(path); // the last used is the last in order
    this.#answers.set(path, known);
    if (!known.busy && (known.stale || Date.now() - known.at > age)) this.#read(path, list, known);
    if (this.#answers.size > most) this.#answers.delete(this.#answers.keys().next().value);
    return known;
  }

  // Whatever has one of the words in its path is to be read again.
  forget(...words) {
    for (const [path, answer] of this.#answers) if (words.some((word) => path.includes(word))) answer.stale = true;
  }

  async #read(path, list, answer) {
    answer.busy = true;
    answer.stale = false;
    try {
      let value = list ? [] : await read(path);
      if (list) await readList(path, (items) => value.push(...items));
      Object.assign(answer, {state: "known", value, detail: ""});
    } catch (error) {
      const state = error instanceof Refusal && error.status === 404 ? "absent" : "trouble";
      Object.assign(answer, {state, value: state === "absent" ? null : answer.value, detail: error.message});
    }
    answer.at = Date.now();
    answer.busy = false;
    this.#changed();
  }
}
