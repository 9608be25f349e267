// Answers that come late: what a hand made meanwhile stays, and can be undone. Last line: `N passed, N failed`.
import {copyFileSync, readFileSync, writeFileSync} from "node:fs";
import {join} from "node:path";
import {browse, check, folder, kit, killServer, same, serve, sum, tidyUp} from "./bench.mjs";
import {judged, watched} from "./pages.mjs";

const {address} = await serve(0);
const browser = await browse();
const undo = (page) => page.locator("#undo").getAttribute("aria-disabled");
async function drag(page) {
  const box = await page.locator(".handle[data-pulley='5'] .hit").boundingBox(), x = box.x + box.width / 2, y = box.y + box.height / 2;
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x - 12, y + 9, {steps: 4});
  await page.mouse.up();
}

// ---- the page begins slowly: its first answer is in when the second beat comes ---------------------------------------------

{
  const page = await watched(browser, {}, 20000), late = [];
  let asked = 0;
  await page.route("**/api/drive**", async (route) => { if (asked++ === 0) await new Promise((go) => late.push(go)); await route.continue(); });
  await page.goto(address);
  await page.waitForFunction(() => document.querySelectorAll("#file option").length > 0);
  await page.waitForTimeout(3800); // a beat of a page that has no file yet
  const before = asked;
  if (before > 1) { await page.waitForSelector(".handle[data-pulley='5']"); await judged(page); await drag(page); }
  late[0]();
  await page.waitForSelector(".handle[data-pulley='5']");
  await judged(page);
  await page.waitForTimeout(300);
  same("the file is opened once", before, 1);
  if (before === 1) await drag(page);
  same("a drag can be undone, whenever the file came", await undo(page), "false");
  await page.context().close();
}

// ---- the file changed on disk, and a hand moves something while the page reads it again --------------------------------------

{
  const page = await watched(browser, {}, 20000), late = [];
  await page.goto(address);
  await page.waitForSelector(".handle[data-pulley='5']");
  await judged(page);
  let changed = 0;
  await page.route("**/api/drive**", async (route) => { if (!route.request().headers()["if-none-match"] && changed++ === 0) await new Promise((go) => late.push(go)); await route.continue(); });
  writeFileSync(kit, `${readFileSync(kit, "utf8")}# another hand\n`);
  for (let i = 0; i < 250 && !late.length; i++) await page.waitForTimeout(20);
  same("the page reads the file again", late.length, 1);
  await drag(page);
  same("the drag can be undone", await undo(page), "false");
  late[0]();
  await page.waitForSelector("#bar-disk");
  same("also after the file has come in", await undo(page), "false");
  check("and the page says that the file has changed", /has changed the file on disk/.test(await page.locator("#bar-disk").textContent()));
  await page.click("#undo");
  same("undone", await undo(page), "true");
  await page.context().close();
}

// ---- two files are asked for, and the first answer comes last -----------------------------------------------------------------

{
  for (const name of ["second.yaml", "third.yaml"]) copyFileSync(kit, join(folder, name));
  const page = await watched(browser, {}, 20000), late = [];
  await page.route("**/api/drive?*", async (route) => { if (route.request().url().includes("second") && !late.length) await new Promise((go) => late.push(go)); await route.continue(); });
  await page.goto(address);
  await page.waitForSelector(".handle[data-pulley='5']");
  await judged(page);
  await page.selectOption("#file", "second.yaml");
  for (let i = 0; i < 250 && !late.length; i++) await page.waitForTimeout(20);
  await page.selectOption("#file", "third.yaml");
  await page.waitForFunction(() => location.hash === "#third.yaml");
  await Promise.all([page.waitForResponse((answer) => answer.url().includes("second")), late[0]()]);
  await page.waitForTimeout(300);
  same("what was chosen last is open", await page.evaluate(() => [location.hash, /** @type {HTMLSelectElement} */ (document.querySelector("#file")).value].join()), "#third.yaml,third.yaml");
  await page.context().close();
}

await browser.close();
await killServer("SIGTERM");
await tidyUp();
process.exit(sum());
