// What people complain of, told to the page and followed to its cause. Started by page_test.py.
import assert from "node:assert/strict";
import test from "node:test";
import {all, checked, grown, settled, tabTo, token, tooWide, url, within} from "./browser.mjs";

const complaintsOf = (device) => all(`/v1/complaints?device=${device}`);

// The diagnosis that the page was answered while `work` was done.
async function answered(page, work) {
  const response = page.waitForResponse(/\/v1\/devices\/[^/]+\/complaints$/);
  await work();
  return (await response).json();
}

// What the daemon is told by a script.
async function tell(device, body) {
  const headers = {"Content-Type": "application/json", Authorization: `Bearer ${token}`};
  const answer = await fetch(`${url}/v1/devices/${encodeURIComponent(device)}/complaints`, {
    method: "POST",
    headers,
    body: JSON.stringify(body),
  });
  assert.equal(answer.status, 200);
  return answer.json();
}

// The sheet shows this diagnosis: every cause in its order, with each thing that speaks for or against it, and its remedy.
async function shows(page, diagnosis) {
  const causes = page.locator(".causes > li");
  assert.ok(diagnosis.causes.length > 1);
  await page.waitForFunction(
    (title) => document.querySelector(".causes > li strong")?.textContent === title,
    diagnosis.causes[0].title
  );
  assert.deepEqual(
    await causes.locator(".head strong").allTextContents(),
    diagnosis.causes.map((cause) => cause.title)
  );
  for (const [index, cause] of diagnosis.causes.entries()) {
    const item = causes.nth(index);
    const percent = Math.round(cause.probability * 100);
    if (percent > 0 && percent < 100)
      assert.match(await item.locator(".head").textContent(), new RegExp(`${percent} %, [a-z]`));
    const lines = await item.locator(".evidence li").allTextContents();
    assert.equal(lines.length, cause.evidence.length);
    for (const [place, each] of cause.evidence.entries()) {
      const side = each.weight > 0 ? "for it: " : "against it: ";
      assert.ok(lines[place].endsWith(`${side}${each.question} ${each.so ? "Yes" : "No"}.`), lines[place]);
    }
    const remedy = await item.locator(".cautions li, .steps li").allTextContents();
    assert.deepEqual(remedy, [...cause.cautions, ...cause.steps]);
    assert.equal(await item.locator(".steps").isVisible(), index === 0);
  }
  const checks = await page.locator("section[aria-label='Look at this next'] .checks li p:first-child").allTextContents();
  assert.equal(checks.length, diagnosis.checks.length);
  for (const [index, check] of diagnosis.checks.entries()) assert.ok(checks[index].startsWith(check.question));
}

test("what somebody complains of is told at the device, narrowed down by what is seen, and ends with what it was", () =>
  within({at: "#/device/herbarium-copier"}, async (page) => {
    const dialog = page.getByRole("dialog");
    await page.getByRole("button", {name: "Somebody complains"}).click();
    assert.match(await dialog.textContent(), /It is written down.*Nothing is sent to the device/);
    assert.deepEqual(
      await dialog.getByLabel("What is wrong").locator("option").allTextContents(),
      (await all("/v1/symptoms")).map((each) => each.title)
    );
    await page.keyboard.press("Escape");
    assert.deepEqual(await complaintsOf("herbarium-copier"), []);

    await page.getByRole("button", {name: "Somebody complains"}).click();
    await dialog.getByLabel("What is wrong").selectOption("streaks");
    await dialog.getByLabel("Your name").fill("robin");
    await dialog.getByLabel("A note").fill("on thick paper only");
    await dialog.getByLabel("Token").fill("x".repeat(43));
    await dialog.getByRole("button", {name: "Write it down"}).click();
    await dialog.getByRole("alert").filter({hasText: "It was not done"}).waitFor();
    assert.deepEqual(await complaintsOf("herbarium-copier"), []);
    await dialog.getByLabel("Token").fill(token);
    const first = await answered(page, () => dialog.getByRole("button", {name: "Write it down"}).click());
    await page.waitForFunction(() => document.activeElement.textContent === "Lines or streaks along the page");
    assert.equal(new URL(page.url()).hash, `#/complaints/${first.id}`);
    assert.deepEqual([first.by, first.note, first.known.repeats], ["robin", "on thick paper only", undefined]);
    await shows(page, first);
    assert.deepEqual(await checked(page), []);

    const repeats = first.checks.find((each) => each.observation === "repeats");
    await page.getByRole("button", {name: `Yes: ${repeats.question}`}).click();
    assert.match(await dialog.textContent(), /somebody looked.*weighed with all that is known now/);
    const second = await answered(page, () => dialog.getByRole("button", {name: "Yes, write it down"}).click());
    await dialog.waitFor({state: "hidden"});
    assert.deepEqual([second.id, second.note, second.known.repeats], [first.id, "on thick paper only", true]);
    assert.notEqual(second.causes[0].probability, first.causes[0].probability);
    await shows(page, second);

    const fresh = second.known["supply-new"];
    const counted = page.locator("section[aria-label='What was counted'] li", {hasText: "Was a cartridge replaced"});
    assert.match(await counted.textContent(), fresh ? /Yes\./ : /No\./);
    await counted.getByRole("button", {name: "It is otherwise"}).click();
    const third = await answered(page, () => dialog.getByRole("button", {name: "write it down"}).click());
    await dialog.waitFor({state: "hidden"});
    assert.equal(third.known["supply-new"], !fresh);
    await shows(page, third);

    const cause = third.causes[1];
    await page.getByRole("button", {name: `It was this: ${cause.title}`}).click();
    assert.match(await dialog.textContent(), /the complaint is over.*cannot be taken back/);
    assert.equal((await complaintsOf("herbarium-copier"))[0].cause, null);
    await dialog.getByRole("button", {name: "It was this"}).click();
    await dialog.waitFor({state: "hidden"});
    assert.equal((await complaintsOf("herbarium-copier"))[0].cause, cause.cause);
    await page.locator(".label", {hasText: cause.cause}).waitFor();
    assert.equal(await page.getByRole("button", {name: "It was this"}).count(), 0);
  }));

test("the same is done by keyboard alone, on a phone in the dark", () =>
  within({at: "#/device/library-stacks", width: 390, height: 844, scheme: "dark"}, async (page) => {
    await settled(page);
    await page.getByRole("button", {name: "Somebody complains"}).waitFor();
    await tabTo(page, /^Somebody complains/);
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.activeElement.id === "ask-symptom");
    assert.deepEqual(await checked(page), []);
    await page.keyboard.type("Unusual");
    await tabTo(page, /^ask-by$/);
    await page.keyboard.type("sedge");
    await tabTo(page, /^ask-token$/);
    await page.keyboard.type(token);
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.activeElement.textContent === "Unusual noise");
    assert.ok((await tooWide(page)) <= 0);
    assert.deepEqual(await checked(page), []);

    await tabTo(page, /^No: /);
    await page.keyboard.press("Enter");
    await tabTo(page, /^No, write it down$/);
    const diagnosis = await answered(page, () => page.keyboard.press("Enter"));
    await page.getByRole("dialog").waitFor({state: "hidden"});
    assert.ok(Object.values(diagnosis.known).includes(false));
    await page.locator("#news", {hasText: `Likeliest: ${diagnosis.causes[0].title}`}).waitFor({state: "attached"});
    await shows(page, diagnosis);

    await tabTo(page, /^It was this/);
    await page.keyboard.press("Enter");
    await tabTo(page, /^It was this$/);
    await page.keyboard.press("Enter");
    await page.getByRole("dialog").waitFor({state: "hidden"});
    const [complaint] = await complaintsOf("library-stacks");
    assert.deepEqual([complaint.symptom, complaint.by, complaint.cause], ["noise", "sedge", diagnosis.causes[0].cause]);
  }));

test("open complaints are listed apart from those that are over, and one told elsewhere is weighed with its note kept", () =>
  within({}, async (page) => {
    const told = await tell("seed-bank-labels", {symptom: "faded", by: "tansy", note: "the lower half"});
    await page.goto(`${url}/#/complaints`);
    await settled(page);
    const open = (await all("/v1/complaints")).filter((each) => each.cause === null);
    const rows = page.locator("article > .ledger tbody tr");
    assert.equal(await rows.count(), open.length);
    assert.match(await rows.first().textContent(), /Print is faded, open.*seed-bank-labels.*tansy.*the lower half/);
    await page.locator("details > summary", {hasText: /^Over: the last/}).click();
    assert.equal(await page.locator("details .ledger tr", {hasText: "seed-bank-labels"}).count(), 0);

    await rows.first().getByText("Print is faded").click();
    await page.getByText("was not asked in this tab yet").waitFor();
    await page.getByRole("button", {name: "Ask what it may be"}).click();
    const dialog = page.getByRole("dialog");
    assert.equal(await dialog.getByLabel("A note").inputValue(), "the lower half");
    await dialog.getByLabel("Token").fill(token);
    const diagnosis = await answered(page, () => dialog.getByRole("button", {name: "Ask", exact: true}).click());
    assert.deepEqual([diagnosis.id, diagnosis.note, diagnosis.by], [told.id, "the lower half", "tansy"]);
    await shows(page, diagnosis);
    await page.getByText("all complaints").click();
    await page.waitForFunction(() => document.activeElement.textContent === "Print is faded");
    await page.goto(`${url}/#/device/seed-bank-labels`);
    await page.locator("section[aria-label='Complaints'] li", {hasText: "Print is faded: open"}).waitFor();
  }));

test("what is typed for one thing does not stand in the dialog of the next", () =>
  within({at: "#/device/herbarium-copier"}, async (page) => {
    const note = page.getByRole("dialog").getByLabel("A note");
    await page.getByRole("button", {name: "Somebody complains"}).click();
    await note.fill("smells of burning");
    await page.keyboard.press("Escape");
    await page.getByRole("button", {name: "Somebody complains"}).click();
    assert.equal(await note.inputValue(), "");
  }));

test("whatever is said of a complaint stays text", () => {
  const weeds = [
    "<script>alert(1)</script>",
    "<img src=/weed onerror=alert(2)>",
    "<b onmouseover=alert(3)></b>",
    "javascript:alert(4)",
  ];
  const [one, two, three, four] = weeds;
  const before = (page) =>
    page.route("**/v1/devices/weeds/complaints", async (route) => {
      const answer = await route.fetch();
      const weed = {cause: "x", title: one, probability: 0.6, prior: 0.5, cautions: [two], steps: [three, four]};
      const evidence = [{observation: "y", question: two, so: true, weight: 1}];
      const checks = [{observation: "z", question: three, minutes: 2, bits: 1}];
      return route.fulfill({response: answer, json: {...(await answer.json()), causes: [{...weed, evidence}], checks}});
    });
  return within({at: "#/device/weeds", before}, async (page) => {
    await page.getByRole("button", {name: "Somebody complains"}).click();
    await page.getByLabel("Your name").fill(one);
    await page.getByLabel("A note").fill(two);
    await page.getByLabel("Token").fill(token);
    await page.getByRole("button", {name: "Write it down"}).click();
    await page.getByText("What it may be").waitFor();
    const shown = await page.locator("main").textContent();
    for (const weed of weeds) assert.ok(shown.includes(weed), weed);
    assert.deepEqual(await grown(page), []);
    for (const name of ["Yes: ", "It is otherwise", "It was this"]) {
      await page.getByRole("button", {name}).click();
      assert.match(await page.getByRole("dialog").textContent(), /<(script|img|b)\b/);
      assert.deepEqual(await grown(page), []);
      await page.keyboard.press("Escape");
    }
    for (const at of ["#/device/weeds", "#/complaints"]) {
      await page.goto(`${url}/${at}`);
      await page.getByRole("link", {name: "Print is faded"}).first().waitFor();
      assert.deepEqual(await grown(page), []);
    }
    const row = await page.locator("tr", {hasText: "weeds"}).textContent();
    assert.ok(row.includes(one) && row.includes(two), row);
  });
});
