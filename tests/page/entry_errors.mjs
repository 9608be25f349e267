// What the reader refuses stands at its entry, with what it needs: keys of every kind. Last line: `N passed, N failed`.
import {check, same, sum, tidyUp} from "./bench.mjs";
import {browser, find, openFile, shoot} from "./acts.mjs";
import {axe, settled} from "./pages.mjs";

/** @type {[string, string, RegExp][]} path, what is typed, what stands at the entry */
const wrong = [
  ["belt.worn", "0.9", /too large.*0 to 0\.1/], ["belt.ribs", "70", /too large|need .*\d/], ["belt.length", "3", /too small.*\d+ to \d+ mm/], ["belt.stiffness", "9; 8", /need|rise|low/], ["belt.stock.step", "0.1", /too small.*0\.5 to 5000/],
  ["engine.idle", "20", /too small.*50 to 10000/], ["engine.redline", "500", /need|above|idle/], ["engine.displacement", "900 L", /too large.*\d/], ["air.temperature", "400", /too large.*\d/], ["air.temperature", "3 kg", /unit|degC|temperature/],
  ["limits.clearance", "-4", /negative.*\d/], ["blower.diameter", "2", /too small.*\d+ to \d+ mm/], ["blower.max_speed", "abc", /number/], ["tensioner.arm.travel", "0", /zero|too small/], ["tensioner.arm.loads", "up", /cw|ccw/],
  ["wrap idler.slot.setting", "900", /\d/], ["wrap idler.standoff.bore", "40", /less than the outside diameter/], ["wrap idler.standoff.bolt.torque", "9000", /too large.*0\.1 to 5000/], ["wrap idler.bearing.count", "9", /too large|need|1/],
  ["mounts.0.bolts.0.hole", "3", /too small.*\d/], ["mounts.0.bolts.0.class", "99.9", /property class/], ["alternator.load", "2400, 7\n2400, 8", /rise|twice|increas|order|need/],
];
const page = await openFile("sedgemere.yaml");
await page.check("#entries-all");
for (const [path, typed, want] of wrong) {
  await find(page, path.replaceAll(".", " ").replace(/\b\d+\b/g, ""));
  // a size may be a map with its value in it
  const row = page.locator(`[data-entry="${path}"], [data-entry="${path}.value"]`), field = page.locator(`[data-key="e-${path}"]`);
  same(`${path}: it is listed`, await field.count(), 1);
  if (await field.count() !== 1) continue;
  if (await field.evaluate((one) => one.tagName) === "SELECT") continue; // it offers nothing that is wrong
  await field.fill(typed);
  await field.blur();
  await page.waitForTimeout(250);
  await settled(page);
  const said = (await row.locator(".wrong").allTextContents()).join("");
  check(`${path} ${typed}: said at its entry, with what it needs`, want.test(said) && said.length > 8, said);
  same(`${path}: marked`, await row.locator("[aria-invalid='true']").count(), 1);
  for (let i = 0; i < 3 && await page.locator("#undo").getAttribute("aria-disabled") === "false"; i++) await page.click("#undo");
  await page.waitForTimeout(100);
  await settled(page);
  await page.click("#tab-drive");
  await page.click("#tab-entries"); // a draft that was no value goes with its row
}
await find(page, "belt worn");
await page.locator('[data-key="e-belt.worn"]').fill("0.9");
await page.locator('[data-key="e-belt.worn"]').blur();
await page.waitForTimeout(250);
await axe(page, "an error at its entry");
await shoot(page, "entry-error");

await browser.close();
await tidyUp();
process.exit(sum());
