// How the page stands hostile devices, checkers, phones, paper and ten thousand devices. Started by page_test.py.
import assert from "node:assert/strict";
import {execFileSync} from "node:child_process";
import {join} from "node:path";
import test from "node:test";
import {ask, checked, first, grown, scratch, settled, tooWide, until, url, within, worst} from "./browser.mjs";
import {serveMany} from "./many.mjs";

const views = [
  "",
  "#/round",
  "#/devices",
  "#/order",
  "#/service",
  "#/complaints",
  "#/queues",
  "#/load",
  "#/device/herbarium-copier",
];

test("whatever a device calls itself, it stays text", () =>
  within({}, async (page) => {
    for (const at of [
      "",
      "#/devices",
      "#/device/weeds",
      ...(await ask("/v1/incidents?device=weeds&limit=9")).body.items.map((each) => `#/mend/${each.id}`),
    ]) {
      await page.goto(`${url}/${at}`);
      await settled(page);
      await until(async () => /<(script|img|svg)|weeds/.test(await page.locator("main").textContent()));
      await page.evaluate(() => document.querySelectorAll("main details").forEach((each) => (each.open = true)));
      assert.deepEqual(await grown(page), []);
    }
    const device = (await ask("/v1/devices/weeds")).body;
    await page.goto(`${url}/#/device/weeds`);
    await page.locator(".panel").waitFor();
    const shown = await page.locator("main").textContent();
    for (const text of [
      device.model,
      device.serial,
      device.location,
      device.covers[0].name,
      device.inputs[0].name,
      device.supplies[0].description,
      device.console[0],
      device.alerts[0].description,
    ]) {
      assert.match(text, /[<{]|javascript/);
      assert.ok(shown.includes(text), text);
    }
  }));

test("an accessibility checker finds nothing serious, in light and in dark", async () => {
  for (const scheme of ["light", "dark"]) {
    await within({scheme}, async (page) => {
      for (const at of [...views, `#/mend/${worst.id}`]) {
        await page.goto(`${url}/${at}`);
        await settled(page);
        if (at.startsWith("#/mend/")) await page.getByRole("button", {name: "Shelve"}).click();
        assert.deepEqual(await checked(page), [], `${scheme} ${at}`);
        await page.keyboard.press("Escape");
      }
    });
  }
});

test("on a phone every view fits without scrolling sideways, and a ticket opens alone", () =>
  within({width: 390, height: 844}, async (page) => {
    for (const at of [...views, `#/mend/${worst.id}`, "#/device/weeds"]) {
      await page.goto(`${url}/${at}`);
      await settled(page);
      assert.ok((await tooWide(page)) <= 0, `${at} is too wide`);
    }
    await page.goto(`${url}/`);
    assert.equal(await page.locator("article.sheet").isVisible(), false);
    await page.locator(first).click();
    await page.locator("#sheet-title").waitFor();
    assert.equal(await page.locator("ol.slips").first().isVisible(), false);
    await page.getByText("all that is to be mended").click();
    await page.locator(first).waitFor();
  }));

test("the round on paper has every stop in walking order, what to carry and each step", () =>
  within({at: "#/round"}, async (page) => {
    await page.locator("#site").selectOption("brackenholt");
    await settled(page);
    const stops = await page.locator(".stop h3 bdi").allTextContents();
    const steps = await page.locator(".stop .steps bdi").allTextContents();
    assert.ok(stops.length > 1 && steps.length > 1);
    const file = join(scratch, "round.pdf");
    await page.pdf({path: file, format: "A4", preferCSSPageSize: true});
    const text = execFileSync("pdftotext", ["-layout", file, "-"], {encoding: "utf8"}).replace(/\s+/g, " ");
    let place = 0;
    for (const stop of stops) {
      const found = text.indexOf(stop, place);
      assert.ok(found > 0, `${stop} in ${text}`);
      place = found;
    }
    for (const words of [
      ...steps,
      ...(await page.locator("section.kit .tick span").allTextContents()),
      "The round at brackenholt",
    ])
      assert.ok(text.includes(words), words);
    for (const words of ["Queues", "Find", "Print it", "live"]) assert.ok(!text.includes(words), words);
  }));

test("ten thousand devices stay fluid while they are read, filtered and scrolled", async () => {
  const many = await serveMany(url, 10000);
  try {
    const slowest = [];
    for (let attempt = 0; attempt < 3 && !slowest.some((each) => each < 200); attempt++) {
      await within({at: "#/devices", base: many.url, traced: (task) => slowest.push(task)}, (page) => work(page, many));
    }
    console.log(`# longest tasks at 10,000 devices: ${slowest.map((each) => Math.round(each)).join(", ")} ms`);
    assert.ok(Math.min(...slowest) < 200, `${slowest}`);
  } finally {
    many.close();
  }
});

async function work(page, many) {
  await page.locator(".count", {hasText: /^10,000 devices$/}).waitFor({timeout: 60000});
  many.stir();
  for (let turn = 0; turn < 8; turn++) await page.mouse.wheel(0, 900);
  await page.locator("#find").pressSequentially("bed 4", {delay: 30});
  await page.locator(".count", {hasText: /^[1-9],?\d* devices$/}).waitFor();
  await page.locator("#find").fill("");
  await page.locator("#order").selectOption("place");
  await page.getByRole("button", {name: "the next hundred"}).click();
  await page.getByText("101 to 200 of 10000").waitFor();
  assert.ok((await page.locator(".register > li").count()) <= 100);
}
