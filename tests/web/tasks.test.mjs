// What a technician does with the page, done by a browser. Started by page_test.py.
import assert from "node:assert/strict";
import test from "node:test";
import {all, ask, control, first, settled, token, url, within, worst} from "./browser.mjs";

test("the worst incident, its remedy and where it is are found by clicking", () =>
  within({}, async (page) => {
    await page.locator("#link", {hasText: "live"}).waitFor();
    assert.equal(worst.severity, "critical");
    const {location} = (await ask(`/v1/devices/${worst.device}`)).body;
    await page.locator(first, {hasText: worst.summary}).click();
    const sheet = page.locator("article.sheet");
    assert.equal(await sheet.locator("h2").textContent(), worst.summary);
    assert.ok((await sheet.locator(".label").textContent()).includes(location));
    assert.match(await sheet.locator("header").textContent(), /\u25A0 critical/);
    const texts = await sheet.locator(".cautions li, .steps li").allTextContents();
    assert.deepEqual(texts, [...worst.remedy.cautions, ...worst.remedy.steps]);
  }));

test("the parts to carry for one incident and for all are in sight", () =>
  within({}, async (page) => {
    await page.locator("ol.slips > li > a", {hasText: "TW-21K is low"}).click();
    assert.deepEqual(await page.locator("article.sheet section.kit li").allTextContents(), ["Tarnwick TW-21K black"]);
    await page.locator(".tickets > details.kit > summary").click();
    assert.ok((await page.locator(".tickets > details.kit li").allTextContents()).includes("Tarnwick TW-21K black"));
  }));

test("the same is found by keyboard alone", () =>
  within({}, async (page) => {
    await page.locator(first).waitFor();
    const focused = () => page.evaluate(() => document.activeElement.textContent);
    await page.keyboard.press("Tab");
    assert.equal(await focused(), "Skip to the list");
    await page.keyboard.press("Enter");
    await page.keyboard.press("Tab");
    assert.match(await focused(), /^Carry for all of this/);
    await page.keyboard.press("Tab");
    assert.ok((await focused()).includes(worst.summary));
    await page.keyboard.press("ArrowDown");
    assert.notEqual(await focused(), await page.locator(first).textContent());
    await page.keyboard.press("ArrowUp");
    await page.keyboard.press("Enter");
    await page.waitForFunction(
      (title) => document.activeElement.id === "sheet-title" && document.activeElement.textContent === title,
      worst.summary
    );
    await page.keyboard.press("Tab"); // past the link to the device
    await page.keyboard.press("Tab");
    assert.equal(await focused(), "Acknowledge \u2026");
    await page.goBack();
    await page.waitForFunction((words) => document.activeElement.textContent.includes(words), worst.summary);
  }));

test("an acknowledgement needs a dialog and a token, and says what it will do", () =>
  within({}, async (page, faults) => {
    const posts = [];
    page.on("request", (request) => request.method() === "POST" && posts.push(request.url()));
    await page.locator(first).click();
    const state = async () => (await ask(`/v1/incidents/${worst.id}`)).body.operator;
    await page.getByRole("button", {name: "Acknowledge"}).click();
    const dialog = page.getByRole("dialog");
    assert.match(await dialog.textContent(), /Everybody sees that you have seen it.*It stays raised until the device/);
    await page.keyboard.press("Escape");
    assert.deepEqual(posts, []);
    await page.getByRole("button", {name: "Acknowledge"}).click();
    await dialog.getByLabel("Your name").fill("robin");
    await dialog.getByLabel("A note").fill("<script>alert(9)</script>");
    await dialog.getByRole("button", {name: "Acknowledge"}).click();
    await dialog.getByRole("alert").filter({hasText: "It was not done"}).waitFor();
    await dialog.getByLabel("Token").fill("x".repeat(43));
    await dialog.getByRole("button", {name: "Acknowledge"}).click();
    await page.waitForFunction(() => document.activeElement.id === "ask-token");
    assert.equal(await state(), "none");
    await dialog.getByLabel("Token").fill(token);
    await page.keyboard.press("Enter");
    await dialog.waitFor({state: "hidden"});
    assert.equal(await state(), "ack");
    await page.locator(first, {hasText: "acknowledged"}).waitFor();
    await page.getByText("What happened so far").click();
    assert.match(await page.locator(".story").textContent(), /acknowledged by robin: <script>alert\(9\)<\/script>/);
    await page.getByRole("button", {name: "Take back"}).click(); // the token is remembered in this tab
    await dialog.getByRole("button", {name: "Take back"}).click();
    await dialog.waitFor({state: "hidden"});
    assert.equal(await state(), "none");
    assert.equal(posts.length, 4);
    assert.deepEqual(faults, []);
  }));

test("a service that was done is written down after a dialog, and no longer the most pressing", () =>
  within({at: "#/service"}, async (page) => {
    const posts = [];
    page.on("request", (request) => request.method() === "POST" && posts.push(request.postDataJSON()));
    const button = page.getByRole("button", {name: "It is done"}).first(); // the most pressing comes first
    const id = await button.getAttribute("data-id");
    const asked = async () => (await all("/v1/upkeep")).find((each) => each.id === id);
    const before = await asked();
    assert.ok(["overdue", "due"].includes(before.state), before.state);
    const row = page.locator(".ledger tbody tr").first();
    assert.ok((await row.textContent()).includes(before.device));
    assert.ok((await row.textContent()).includes(before.why));
    await button.click();
    await page.getByText("The next time is reckoned from today").waitFor();
    await page.getByLabel("Your name").fill("sedge");
    assert.deepEqual(posts, []);
    await page.getByLabel("Token").fill(token);
    await page.getByRole("button", {name: "Write it down"}).click();
    await page.getByRole("dialog").waitFor({state: "hidden"});
    assert.deepEqual(posts, [{by: "sedge"}]);
    assert.equal((await asked()).last_done.by, "sedge");
    assert.ok(!["overdue", "due"].includes((await asked()).state));
    await page.locator("tr", {has: page.locator(`[data-id="${id}"]`), hasText: "by sedge"}).waitFor();
    assert.notEqual(await page.getByRole("button", {name: "It is done"}).first().getAttribute("data-id"), id);
  }));

test("a service on the round is ticked off where it stands, and is then no reason to walk", () =>
  within({at: "#/round"}, async (page) => {
    const button = page.getByRole("button", {name: "It is done"}).first();
    const id = await button.getAttribute("data-id");
    const before = (await all("/v1/upkeep")).find((each) => each.id === id);
    assert.ok(before, id);
    const job = page.locator("li.task", {has: page.locator(`[data-id="${id}"]`)});
    assert.ok((await job.textContent()).includes(before.title));
    await button.click();
    assert.ok((await page.getByRole("dialog").textContent()).includes(before.device));
    await page.getByLabel("Your name").fill("sedge");
    await page.getByLabel("Token").fill(token);
    await page.getByRole("button", {name: "Write it down"}).click();
    await page.getByRole("dialog").waitFor({state: "hidden"});
    assert.equal((await all("/v1/upkeep")).find((each) => each.id === id).last_done.by, "sedge");
    await page.waitForFunction((gone) => !document.querySelector(`[data-id="${gone}"]`), id);
  }));

test("what is to be ordered stands there with its reason, and nothing that is not", () =>
  within({at: "#/order"}, async (page) => {
    await settled(page);
    const wanted = (await all("/v1/order")).filter((each) => each.count > 0);
    assert.ok(wanted.length > 0);
    const rows = await page.locator(".ledger tbody tr").allTextContents();
    assert.equal(rows.length, wanted.length);
    for (const item of wanted) {
      const row = rows.find((each) => each.includes(item.part) && each.includes(item.why));
      assert.ok(row, item.part);
      for (const device of item.for_devices.slice(0, 6)) assert.ok(row.includes(device), `${device} in ${row}`);
    }
  }));

test("each supply of a device has its forecast, or the reason why there is none, over what it was", () =>
  within({at: "#/device/herbarium-copier"}, async (page) => {
    await settled(page);
    const {supplies} = (await ask("/v1/devices/herbarium-copier")).body;
    assert.ok(supplies.some((supply) => supply.days_left?.p50 > 0));
    const items = page.locator("li.supply");
    assert.equal(await items.count(), supplies.length);
    for (const [index, supply] of supplies.entries()) {
      const text = await items.nth(index).textContent();
      if (supply.days_left?.p50) assert.match(text, /likely (empty|full) in/);
      else if (!supply.days_left) assert.ok(text.includes(supply.days_left_why), text);
      if (supply.percent !== null && supply.days_left) {
        const least = supply.percent < 95 ? 10 : 3; // days that were, and three dates to come
        await items.nth(index).locator("table tr").nth(least).waitFor({state: "attached"});
      }
    }
  }));

test("the round shows the stops of the daemon's plan in its order, with all there is to carry", () =>
  within({at: "#/round"}, async (page) => {
    await page.locator("#site").selectOption("brackenholt");
    await settled(page);
    const plan = (await ask("/v1/round?site=brackenholt&days=7")).body;
    assert.ok(plan.stops.length > 1 && plan.carry.length > 0);
    await page.locator("#main").getByText(`${plan.stops.length} stops`).waitFor();
    assert.deepEqual(
      await page.locator(".stop .stands a bdi").allTextContents(),
      plan.stops.map((stop) => stop.device)
    );
    const carried = await page.locator("section.kit .tick span").allTextContents();
    assert.equal(carried.length, plan.carry.length);
    for (const item of plan.carry)
      assert.ok(
        carried.some((each) => each.includes(item.part)),
        item.part
      );
  }));

test("what happens in the garden shows by itself, is announced, and leaves the reader where they are", () =>
  within({}, async (page) => {
    await page.locator("#link", {hasText: "live"}).waitFor();
    await page.locator(first).focus();
    control("seed-bank-labels jam 1");
    const ticket = page.locator("ol.slips > li > a", {hasText: "seed-bank-labels"});
    await ticket.filter({hasText: "critical"}).waitFor();
    await page.locator("#news", {hasText: "raised: "}).waitFor({state: "attached"});
    assert.match(await page.evaluate(() => document.activeElement.textContent), new RegExp(worst.device));
    await page.locator(".tabs a", {hasText: "Devices"}).click();
    await page.locator(".register a", {hasText: "seed-bank-labels"}).filter({hasText: "stopped"}).waitFor();
    control("seed-bank-labels unjam");
    await page
      .locator(".register a", {hasText: "seed-bank-labels"})
      .filter({hasText: /ready|printing/})
      .waitFor();
  }));

test("a daemon that lets nobody read without a token is asked again once one is given, and not before", () => {
  let refused = 0;
  const before = (page) =>
    page.route("**/v1/**", (route) => {
      if (route.request().headers().authorization === `Bearer ${token}`) return route.continue();
      refused++;
      return route.fulfill({
        status: 401,
        contentType: "application/problem+json",
        body: '{"detail":"this needs a token with the right read"}',
      });
    });
  return within({before}, async (page) => {
    await page.getByText("this needs a token with the right read").waitFor();
    assert.ok(refused <= 2, `${refused}`);
    await page.getByLabel("Token").fill(token);
    await page.getByRole("button", {name: "Read with it"}).click();
    await page.locator(first).waitFor();
    await page.locator("#link", {hasText: "live"}).waitFor();
    assert.ok(refused <= 2, `${refused}`);
  });
});

test("what this daemon does not know yet is said to be so", () => {
  const before = (page) =>
    page.route(/\/v1\/(order|round|upkeep|complaints)|history/, (route) =>
      route.fulfill({
        status: 404,
        contentType: "application/problem+json",
        body: '{"detail":"nothing is served under this path"}',
      })
    );
  return within({before}, async (page) => {
    for (const at of ["#/round", "#/order", "#/service", "#/complaints", "#/device/herbarium-copier"]) {
      await page.goto(`${url}/${at}`);
      await page.getByText(/This daemon does not .* yet\./).waitFor();
    }
  });
});
