// One browser for all tests, and pages that keep account of what went wrong in them.
import assert from "node:assert/strict";
import {appendFileSync} from "node:fs";
import {createRequire} from "node:module";

const {FRISKET_URL, FRISKET_CONTROL, FRISKET_TOKEN, FRISKET_MODULES, FRISKET_CHROMIUM, FRISKET_SCRATCH} = process.env;
export {FRISKET_URL as url, FRISKET_TOKEN as token, FRISKET_SCRATCH as scratch};
const require = createRequire(`${FRISKET_MODULES}/`);
const {chromium} = require("playwright-core");
const axeSource = require("axe-core").source;

// As root, chromium's sandbox cannot be.
const args = process.getuid() === 0 ? ["--no-sandbox"] : [];
export const browser = await chromium.launch({executablePath: FRISKET_CHROMIUM, args});

// What the page's files allow, whatever the daemon says by itself.
export const policy =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'none'; base-uri 'none'";

// Opens the page; `faults` is what the browser complained of, what asked for a dialog, and what was asked of anybody or
// anything but the page's own routes.
export async function open({
  at = "",
  width = 1280,
  height = 860,
  scheme = "light",
  before = async () => {},
  base = FRISKET_URL,
} = {}) {
  const context = await browser.newContext({
    viewport: {width, height},
    colorScheme: scheme,
    locale: "en-GB",
    timezoneId: "Europe/Dublin",
  });
  const page = await context.newPage();
  page.setDefaultTimeout(15000);
  const faults = [];
  page.on("console", (message) => {
    if (["error", "warning"].includes(message.type()) && !/status of 40[0134]/.test(message.text()))
      faults.push(`console: ${message.text()}`);
  });
  page.on("pageerror", (error) => faults.push(`error: ${error.stack}`));
  page.on("dialog", (dialog) => {
    faults.push(`dialog: ${dialog.message()}`);
    dialog.dismiss();
  });
  page.on("request", (request) => {
    const {origin, pathname} = new URL(request.url());
    if (origin !== base || !/^\/($|page\/|v1\/)/.test(pathname)) faults.push(`request: ${request.url()}`);
  });
  await page.route(`${base}/`, async (route) => {
    const answer = await route.fetch();
    await route.fulfill({response: answer, headers: {...answer.headers(), "content-security-policy": policy}});
  });
  await before(page);
  await page.goto(`${base}/${at}`);
  return {
    page,
    faults,
    close: async () => {
      await page.unrouteAll({behavior: "ignoreErrors"});
      await context.close();
    },
  };
}

// Milliseconds of the longest task of a page's main thread. Counted is the processor's time: on a shared machine the
// clock on the wall also shows what others did meanwhile.
function longestTask(trace) {
  const {traceEvents} = JSON.parse(trace);
  const mains = new Set(
    traceEvents.filter((each) => each.args?.name === "CrRendererMain").map((each) => `${each.pid} ${each.tid}`)
  );
  const tasks = traceEvents.filter(
    (each) => /RunTask$/.test(each.name) && each.tdur && mains.has(`${each.pid} ${each.tid}`)
  );
  assert.ok(tasks.length > 100, "the trace has no tasks");
  return tasks.reduce((most, each) => Math.max(most, each.tdur / 1000), 0);
}

// A page for the time of `work`; whatever the work found, the page must not have complained.
// traced(ms), if given, hears of the longest task meanwhile.
export async function within({traced, ...options}, work) {
  const before = options.before ?? (async () => {});
  const trace = (page) => browser.startTracing(page, {categories: ["toplevel"]});
  const opened = await open({
    ...options,
    before: async (page) => {
      await before(page);
      if (traced) await trace(page);
    },
  });
  try {
    await work(opened.page, opened.faults);
    if (traced) traced(longestTask(await browser.stopTracing()));
    assert.deepEqual(opened.faults, []);
  } finally {
    await opened.close();
  }
}

// A line for the simulated fleet: "library-stacks jam 1".
export const control = (line) => appendFileSync(FRISKET_CONTROL, `${line}\n`);

export async function ask(path) {
  const answer = await fetch(FRISKET_URL + path);
  return {status: answer.status, body: await answer.json()};
}

// Every item of a list.
export async function all(path) {
  const items = [];
  for (let after = null; ; ) {
    const mark = path.includes("?") ? "&" : "?";
    const {body} = await ask(after === null ? path : `${path}${mark}after=${encodeURIComponent(after)}`);
    items.push(...body.items);
    after = body.next ?? null;
    if (after === null) return items;
  }
}

export async function until(what, seconds = 15) {
  for (const end = Date.now() + seconds * 1000; ;) {
    const found = await what();
    if (found) return found;
    assert.ok(Date.now() < end, `did not happen within ${seconds} s: ${what}`);
    await new Promise((go) => setTimeout(go, 50));
  }
}

// The uppermost ticket, and what should be on it.
export const first = "ol.slips > li:first-child > a";
export const worst = (await ask("/v1/fleet")).body.worst;
// What is awaited, or a fault that says what did not end: what runs inside a page has no limit of its own.
async function bounded(what, seconds, awaited) {
  let timer;
  const over = new Promise((_, fail) => {
    timer = setTimeout(() => fail(new Error(`${what} did not end within ${seconds} s`)), seconds * 1000);
  });
  return Promise.race([awaited, over]).finally(() => clearTimeout(timer));
}

// What an accessibility checker finds on the page as it stands, a line for each.
export async function checked(page) {
  await page.evaluate(axeSource);
  const run = page.evaluate(() => globalThis.axe.run(document, {resultTypes: ["violations"]}));
  const {violations} = await bounded(`the checker at ${page.url()}`, 30, run);
  const nodes = (each) => each.nodes.slice(0, 3).map((node) => node.html);
  return violations.map((each) => `${each.impact} ${each.id}: ${nodes(each).join(" | ")}`);
}

// How far the page is wider than its window.
export const tooWide = (page) =>
  page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);

// Nodes that only markup from a text could have made.
export async function grown(page) {
  const marked = "[onload], [onerror], [onmouseover], a[href^='javascript']";
  return page.evaluate(
    (wanted) =>
      [...document.querySelectorAll("body *, head *")]
        .filter(
          (each) =>
            each.matches(wanted) ||
            (["SCRIPT", "IMG", "IFRAME", "STYLE", "B"].includes(each.tagName) &&
              /weed|alert|onmouse/.test(each.outerHTML) &&
              each.children.length === 0 &&
              !each.textContent)
        )
        .map((each) => each.outerHTML),
    marked
  );
}

// Tab until the hand is on what has these words; from there a key does what a click would.
export async function tabTo(page, words) {
  const focused = () => page.evaluate(() => {
      const {ariaLabel, textContent, id} = document.activeElement;
      return ariaLabel ?? (textContent || id);
    });
  for (let step = 0; step < 120; step++) {
    await page.keyboard.press("Tab");
    if (words.test(await focused())) return;
  }
  assert.fail(`Tab does not come to ${words}`);
}

// A view is there when its title is and nothing in it is being read any more.
export async function settled(page) {
  await page.locator("#view-title, #sheet-title").filter({visible: true}).first().waitFor();
  await page.waitForFunction(() => !/Reading \u2026/.test(document.getElementById("main").textContent));
}
