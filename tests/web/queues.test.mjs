// What is done to queues, on queues that are made up here: the garden has no print service. Started by page_test.py.
import assert from "node:assert/strict";
import test from "node:test";
import {checked, grown, tabTo, tooWide, within} from "./browser.mjs";

const weed = "<img src=/weed onerror=alert(10)>";

function queueOf(name, more = {}) {
  return {
    name,
    device: null,
    location: "Herbarium",
    site: "brackenholt",
    spooler: "office",
    uri: `ipp://print.example.org/printers/${name}`,
    state: "processing",
    accepting: true,
    read_only: false,
    reasons: [],
    message: "",
    detail: "",
    info: "",
    last_reading_at: new Date().toISOString(),
    jobs: {known: true, queued: 1, waiting: 1, held: 0, oldest_waiting_seconds: 60, head: null},
    ...more,
  };
}

const queues = [
  queueOf("herbarium"),
  queueOf("library", {state: "idle", location: "Library"}),
  queueOf(`moss ${weed}`, {location: weed, spooler: null}), // of the same print service, by its address
  queueOf("full", {accepting: false}),
  queueOf("elsewhere", {spooler: "gate", uri: "ipp://gate.example.org/printers/elsewhere"}),
];

const job = {id: 412, state: "pending", reasons: [], age_seconds: 60, impressions_completed: null, name: null, owner: null};

// A page with these queues; `bodies`: what is sent for the act.
function withQueues(act, bodies, options, work) {
  const words = act === "cancel" ? "cancelled" : `moved to ${weed}`;
  const before = async (page) => {
    await page.route("**/v1/queues", (route) => route.fulfill({json: {items: queues, next: null}}));
    await page.route("**/v1/queues/herbarium/jobs", (route) =>
      route.fulfill({json: {items: [job], next: null, known: true}})
    );
    await page.route(`**/v1/queues/herbarium/${act}`, (route) => {
      bodies.push(route.request().postDataJSON());
      const said = `1 job ${bodies.length === 1 ? "would be" : "was"} ${words}.`;
      return route.fulfill({json: {said, jobs: [job], afterwards: ""}});
    });
  };
  return within({at: "#/queues", before, ...options}, work);
}

async function openQueue(page) {
  await page.locator(".queues .line > a", {hasText: /^herbarium/}).click();
  await page.getByText("job 412: pending").waitFor();
}

test("an act on a queue is asked as a dry run first, and only the second dialog does it", () => {
  const bodies = [];
  return withQueues("cancel", bodies, {}, async (page) => {
    await openQueue(page);
    await page.getByRole("button", {name: "Cancel all that wait"}).click();
    const dialog = page.getByRole("dialog");
    await dialog.getByRole("button", {name: "See what would happen"}).click();
    await dialog.getByText("1 job would be cancelled.").waitFor();
    assert.match(await dialog.textContent(), /job 412, pending/);
    assert.deepEqual(bodies, [{waiting: true, dry_run: true}]);
    await dialog.getByRole("button", {name: "Cancel all that wait"}).click();
    await dialog.waitFor({state: "hidden"});
    assert.deepEqual(bodies.slice(1), [{waiting: true}]);
    await page.locator("#news", {hasText: "1 job was cancelled."}).waitFor({state: "attached"});
  });
});

test("what waits is moved to a queue of the same print service, shown first and named as it names itself", () => {
  const bodies = [];
  return withQueues("move", bodies, {}, async (page) => {
    await openQueue(page);
    await page.getByRole("button", {name: "Move all that wait"}).click();
    const dialog = page.getByRole("dialog");
    const targets = dialog.getByLabel("To the queue");
    assert.deepEqual(await targets.locator("option").allTextContents(), [
      `moss ${weed} (printing, ${weed})`,
      "library (idle, Library)",
    ]);
    await targets.selectOption("library");
    await dialog.getByRole("button", {name: "Leave it"}).click();
    assert.deepEqual(bodies, []);
    await page.getByRole("button", {name: "Move all that wait"}).click();
    await targets.selectOption(`moss ${weed}`);
    await dialog.getByRole("button", {name: "See what would happen"}).click();
    await dialog.getByText(`1 job would be moved to ${weed}.`).waitFor();
    assert.match(await dialog.textContent(), /job 412, pending/);
    assert.deepEqual(await grown(page), []);
    await dialog.getByRole("button", {name: "Move them"}).click();
    await dialog.waitFor({state: "hidden"});
    const to = `moss ${weed}`;
    assert.deepEqual(bodies, [{to, dry_run: true}, {to}]);
    await page.locator("#news", {hasText: "1 job was moved"}).waitFor({state: "attached"});
  });
});

test("the same is done by keyboard alone, on a phone in the dark, and a checker finds nothing in its dialog", () => {
  const bodies = [];
  return withQueues("move", bodies, {width: 390, height: 844, scheme: "dark"}, async (page) => {
    await openQueue(page);
    assert.ok((await tooWide(page)) <= 0);
    await tabTo(page, /^Move all that wait/);
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.activeElement.id === "ask-to");
    assert.deepEqual(await checked(page), []);
    await page.keyboard.type("lib");
    await tabTo(page, /^See what would happen/);
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.activeElement.id === "ask-title");
    assert.match(await page.locator("#ask-what").textContent(), /1 job would be moved/);
    await tabTo(page, /^Move them/);
    await page.keyboard.press("Enter");
    await page.getByRole("dialog").waitFor({state: "hidden"});
    assert.deepEqual(bodies, [{to: "library", dry_run: true}, {to: "library"}]);
  });
});

test("a queue that has no other beside it offers no move", () =>
  withQueues("move", [], {}, async (page) => {
    await page.locator(".queues .line > a", {hasText: /^elsewhere/}).click();
    await page.getByRole("button", {name: "Pause"}).waitFor();
    assert.equal(await page.getByRole("button", {name: "Move all that wait"}).count(), 0);
  }));

test("who leaves while it is asked what would happen is told nothing and asked nothing more", () => {
  const bodies = [];
  return withQueues("cancel", bodies, {}, async (page) => {
    let answer = () => {};
    const left = new Promise((go) => (answer = go));
    await page.route("**/v1/queues/herbarium/cancel", async (route) => {
      await left;
      return route.fallback();
    });
    await openQueue(page);
    await page.getByRole("button", {name: "Cancel the first job"}).click();
    await page.getByRole("button", {name: "See what would happen"}).click();
    await page.keyboard.press("Escape");
    const answered = page.waitForResponse(/cancel$/);
    answer();
    await (await answered).finished();
    await page.evaluate(() => new Promise((go) => setTimeout(go)));
    assert.equal(await page.locator("#news").textContent(), "");
    assert.equal(await page.getByRole("dialog").isVisible(), false);
    assert.deepEqual(bodies, [{head: true, dry_run: true}]);
  });
});
