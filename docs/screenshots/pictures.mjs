// The pictures themselves; started by make.
import {join} from "node:path";
import {browser, open} from "../../tests/web/browser.mjs";

const folder = process.env.FRISKET_PICTURES;

async function picture(name, options, work = async () => {}) {
  const {page, close} = await open(options);
  await page.locator("#link", {hasText: "live"}).waitFor();
  await page.waitForFunction(
    () =>
      /^\d+$/.test(document.querySelector("#tabs [href='#/devices'] .number")?.textContent.trim() ?? "") &&
      !/Reading \u2026/.test(document.getElementById("main").textContent)
  );
  await work(page);
  await page.screenshot({path: join(folder, `${name}.png`)});
  await close();
}

const phone = {width: 390, height: 844};

await picture("mend", {});
await picture("mend-dark", {scheme: "dark"});
await picture("parts", {}, (page) => page.locator("ol.slips > li > a", {hasText: "TW-21K is low"}).click());
await picture("dialog", {}, (page) => page.getByRole("button", {name: "Acknowledge"}).click());
await picture("devices", {at: "#/devices"});
await picture("device", {at: "#/device/herbarium-copier", height: 1180}, (page) =>
  page.locator("li.supply table tr").nth(12).waitFor({state: "attached"})  // the course, behind the forecast
);
await picture("order", {at: "#/order", height: 640});
await picture("service", {at: "#/service", height: 560});
await picture("round", {at: "#/round"}, async (page) => {
  await page.pdf({path: join(folder, "round.pdf"), preferCSSPageSize: true, format: "A4"});
});
await picture("phone-mend", phone);
await picture("phone-sheet", phone, (page) => page.locator("ol.slips > li > a").first().click());
await picture("phone-round", {...phone, at: "#/round", scheme: "dark"});
await browser.close();
