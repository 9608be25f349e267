// Every entry of the drive file on the page: found, read, set, undone, refused. Last line: `N passed, N failed`.
import {readFileSync} from "node:fs";
import {check, command, kit, same, save, sum, tidyUp} from "./bench.mjs";
import {browser, find, openFile, shoot, words} from "./acts.mjs";
import {axe, settled} from "./pages.mjs";

const rowOf = (page, path) => page.locator(`[data-entry="${path}"]`);
const fieldOf = (page, path) => page.locator(`[data-key="e-${path}"]`);
/** Type into an entry, as a person does, and wait for the answer. */
async function type(page, path, text) {
  await fieldOf(page, path).fill(text);
  await fieldOf(page, path).press("Enter");
  await fieldOf(page, path).blur();
  await page.waitForTimeout(150);
  await settled(page);
}
const known = command("keys", "--json").keys;
try {

// ---- every key is there -----------------------------------------------------------------------------------------------

const page = await openFile("sedgemere.yaml");
await axe(page, "entries");
await shoot(page, "light");
await page.check("#entries-all");
const shown = await page.evaluate(() => {
  for (const one of document.querySelectorAll("details.section")) /** @type {HTMLDetailsElement} */ (one).open = true;
  return new Promise((ok) => setTimeout(() => ok([...document.querySelectorAll("[data-entry]")].map((one) => /** @type {HTMLElement} */ (one).dataset.entry)), 300));
});
check("entries by the hundred", shown.length > 500, shown.length);
const items = {"pulleys.*": "blower"};
const missing = known.filter((one) => one.kind !== "map" && !one.key.slice(1).includes(".*.stack") && (!one.key.includes("*") || one.key.startsWith("pulleys.*.") && one.key.split("*").length === 2))
  .map((one) => one.key.replace("pulleys.*", items["pulleys.*"])).filter((path) => !shown.includes(path));
check("every key of `snub keys` has its entry", missing.length === 0, missing);
same("the file's value stands there", await fieldOf(page, "engine.redline").inputValue(), "5700 rpm");
const unsaid = await page.evaluate(() => [...document.querySelectorAll("[data-entry]")].filter((one) => (one.querySelector(".means")?.textContent ?? "").length < 20).map((one) => /** @type {HTMLElement} */ (one).dataset.entry));
check("each says what it means", unsaid.length === 0, unsaid);
same("in the words of `snub keys`", await rowOf(page, "engine.redline").locator(".means").textContent(), known.find((one) => one.key === "engine.redline").means);
same("in its language", await rowOf(page, "engine.redline").locator(".means").getAttribute("lang"), "en");
check("a screen reader hears it", (await fieldOf(page, "engine.redline").getAttribute("aria-describedby"))?.includes("-means"));
check("a map says what it is above its entries", (await page.locator("[data-section='pulley:tensioner'] .group").allTextContents()).some((one) => one.includes(known.find((each) => each.key === "pulleys.*.arm").means)), await page.locator("[data-section='pulley:tensioner'] .group").allTextContents());
same("a default in grey", await fieldOf(page, "limits.clearance").getAttribute("placeholder"), "6");
check("with its source and bounds", /0 to 200 mm.*default 6 mm \(rule of thumb, no published source\)/.test(await rowOf(page, "limits.clearance").textContent()), await rowOf(page, "limits.clearance").textContent());
check("words out of a list", (await fieldOf(page, "belt.section").locator("option").allTextContents()).join().includes("PK (default),PK,PH,PJ,PL,PM") || (await fieldOf(page, "belt.section").inputValue()) === "PK", await fieldOf(page, "belt.section").locator("option").allTextContents());
await axe(page, "all entries", "no colours"); // those are the colours of the entries above
await page.uncheck("#entries-all");

// ---- find, set, undo --------------------------------------------------------------------------------------------------

await find(page, "limits clear");
same("the filter finds one", await page.locator("[data-entry]").count(), 1);
await type(page, "limits.clearance", "3/8 in");
{ const now = await words(page); check("a fraction is a decimal with its unit", /clearance: 0\.375 in/.test(now), now.slice(-300)); }
await find(page, "limits clear");
same("read back", await fieldOf(page, "limits.clearance").inputValue(), "0.375 in");
await page.click("#undo");
await settled(page);
same("undone", await fieldOf(page, "limits.clearance").inputValue(), "");
await type(page, "limits.clearance", "7,5");
same("a decimal comma", await fieldOf(page, "limits.clearance").inputValue(), "7.5");
await fieldOf(page, "limits.clearance").fill("1,500");
await fieldOf(page, "limits.clearance").press("Enter");
check("a comma that may be either is no number", /1\.500 or 1500/.test(await rowOf(page, "limits.clearance").locator(".wrong").textContent()), await rowOf(page, "limits.clearance").textContent());
await fieldOf(page, "limits.clearance").press("Escape");
same("Escape puts it back", await fieldOf(page, "limits.clearance").inputValue(), "7.5");
await find(page, "no such thing");
check("nothing found is said", /No entry/.test(await page.locator(".entries [role=status]").allTextContents().then((all) => all.join())));

// ---- errors stand at their entry ---------------------------------------------------------------------------------------

await find(page, "belt.worn");
await type(page, "belt.worn", "0.9");
check("the reader's error, with its bounds, at the entry", /too large.*0 to 0\.1/.test(await rowOf(page, "belt.worn").locator(".wrong").textContent()), await rowOf(page, "belt.worn").textContent());
same("marked for screen readers", await fieldOf(page, "belt.worn").getAttribute("aria-invalid"), "true");
check("and in the tab", /✕ 1/.test(await page.locator("#tab-entries").textContent()), await page.locator("#tab-entries").textContent());
await axe(page, "an error");
await find(page, "engine");
await page.locator(".entries .errors button").first().click();
await page.waitForTimeout(150);
same("the list of errors leads there", await page.evaluate(() => document.activeElement?.getAttribute("data-key")), "e-belt.worn");
await shoot(page, "error");
await type(page, "belt.worn", "0.004");
same("mended", await page.locator(".entries .errors").count(), 0);

// ---- each kind ----------------------------------------------------------------------------------------------------------

/** @type {[string, string, RegExp][]} */
const kinds = [["blower.at", "47,5; 382", /at: \[47\.5, 382\]/], ["alternator.load", "2400, 7\n12000, 4.5", /load: \[\[2400, 7\], \[12000, 4\.5\]\]/],
  ["belt.stiffness", "[20000, 30000]", /stiffness: \[20000, 30000\]/], ["title", "Another kit: it's", /title: "Another kit: it's"/],
  ["air.temperature", "25 degC +- 5", /temperature: "25 degC \+- 5"/]];
for (const [path, typed, want] of kinds) {
  await find(page, path.replace(".", " "));
  await fieldOf(page, path).fill(typed);
  await fieldOf(page, path).blur();
  await page.waitForTimeout(200);
  { const now = await words(page); check(`${path} is written`, want.test(now), now.slice(0, 2500)); }
}
// A map in one field, and its entries below it, from one list of keys.
await find(page, "belt stock");
same("a map is in a field as the file writes it", await fieldOf(page, "belt.stock").inputValue(), "{from: 1860, to: 1980, step: 6}");
same("nothing is left to the text", await page.locator(".entries button", {hasText: "in the text"}).count(), 0);
same("with each of its entries below", [await fieldOf(page, "belt.stock.from").inputValue(), await fieldOf(page, "belt.stock.to").inputValue(), await fieldOf(page, "belt.stock.step").inputValue()].join(), "1860,1980,6");
await type(page, "belt.stock.to", "1990,5");
{ const now = await words(page); check("one of them is set", /stock: \{from: 1860, to: 1990\.5, step: 6\}/.test(now), now.match(/stock:.*/)?.[0]); }
await find(page, "belt stock");
same("and stands in the map's field", await fieldOf(page, "belt.stock").inputValue(), "{from: 1860, to: 1990.5, step: 6}");
await type(page, "belt.stock", "{from: 1900, to: 1960, step: 10");
check("braces that are not closed are pointed at", /Column 32: a comma or \} is missing/.test(await rowOf(page, "belt.stock").locator(".wrong").textContent()), await rowOf(page, "belt.stock").textContent());
await type(page, "belt.stock", "{from: 1900, to: 1960, step: 10}");
same("set as a whole", await fieldOf(page, "belt.stock.step").inputValue(), "10");
await type(page, "belt.stock", "1911; 1926; 1941");
{ const now = await words(page); check("a list of lengths in its place", /stock: \[1911, 1926, 1941\]/.test(now), now.match(/stock:.*/)?.[0]); }
await find(page, "belt stock");
same("its entries are gone with it", await rowOf(page, "belt.stock.from").locator("input").evaluateAll((all) => all.map((one) => one.value)).then((all) => all.join()), "");
await type(page, "belt.stock", "{from: 1860, to: 1980}");
check("what the map needs is asked for at its entry", /missing/.test(await rowOf(page, "belt.stock.step").locator(".wrong").textContent().catch(() => rowOf(page, "belt.stock").locator(".wrong").textContent())), await rowOf(page, "belt.stock").textContent());
await type(page, "belt.stock", "{from: 1860, to: 1980, step: 6}");
{ const now = await words(page); check("as it was", /stock: \{from: 1860, to: 1980, step: 6\}/.test(now), now.match(/stock:.*/)?.[0]); }
await find(page, "kit_number");
await type(page, "kit_number", "SK-100");
check("a key of the whole file goes into the text", /kit_number: SK-100|kit_number: "SK-100"/.test(await words(page)));
check("what was changed before is there still", /stiffness: \[20000, 30000\]/.test(await words(page)));
await find(page, "belt section");
await page.selectOption("[data-key='e-belt.section']", "PJ");
await page.waitForTimeout(200);
await settled(page);
check("a word; and what the section needs now", /must be given/.test(await page.locator(".entries").textContent()), (await page.locator(".entries").textContent()).slice(0, 400));
await page.click("#undo");
await page.waitForTimeout(200);
await save(page);
await page.waitForFunction(() => document.querySelector("#save").textContent === "Saved");
const saved = readFileSync(kit, "utf8");
check("saved, with its comments", /kit_number: /.test(saved) && /#/.test(saved) && /load: \[\[2400, 7\]/.test(saved), saved.slice(0, 600));
same("the terminal reads it", command("check", kit, "--json").title, "Another kit: it's");

// ---- by keyboard alone ---------------------------------------------------------------------------------------------------

await page.focus("#tab-entries");
await page.keyboard.press("Tab");
await page.keyboard.press("Tab");
same("Tab goes to the filter", await page.evaluate(() => document.activeElement?.id), "entries-filter");
await page.keyboard.press("Control+A");
await page.keyboard.type("engine idle");
await page.waitForTimeout(80);
for (let i = 0; i < 8 && (await page.evaluate(() => document.activeElement?.getAttribute("data-key"))) !== "e-engine.idle"; i++) await page.keyboard.press("Tab");
await page.keyboard.press("Control+A");
await page.keyboard.type("655 rpm");
await page.keyboard.press("Enter");
await page.waitForTimeout(200);
check("set by the keyboard", /idle: 655 rpm/.test(await words(page)));

// ---- inches, a locked drive, a small screen, dark ------------------------------------------------------------------------

const inches = await openFile("ironbrook-v8.yaml", {colorScheme: "dark"});
await find(inches, "wrap idler diameter");
await type(inches, "wrap idler.diameter", "3 1/4");
{ const now = await words(inches); check("a bare number in a file for inches has its unit", /diameter: 3\.25 in/.test(now), now.slice(0, 200)); }
await find(inches, "air temperature");
await type(inches, "air.temperature", "68");
check("a temperature too", /temperature: 68 degF/.test(await words(inches)));
await find(inches, "engine cylinders");
await type(inches, "engine.cylinders", "6");
check("a number without a unit has none", /cylinders: 6$/m.test(await words(inches)));
await find(inches, "air altitude");
await fieldOf(inches, "air.altitude").fill("300 m");
await fieldOf(inches, "air.altitude").blur();
await inches.waitForTimeout(200);
check("two that exclude each other", /together with a pressure/.test(await inches.locator(".entries").textContent()));
await shoot(inches, "inches-dark");
await axe(inches, "inches, dark, an error");

const locked = await openFile("sedgemere-locked.yaml", {viewport: {width: 390, height: 844}});
await find(locked, "fixed_tension");
check("the locked pulley's tension", (await locked.locator("[data-entry$='.fixed_tension'] input").evaluateAll((all) => all.map((one) => /** @type {HTMLInputElement} */ (one).value).join())).length > 2);
await shoot(locked, "small");
await axe(locked, "a small screen");
check("the page does not scroll sideways", await locked.evaluate(() => document.documentElement.scrollWidth <= innerWidth));

// ---- pulleys on the belt --------------------------------------------------------------------------------------------------

const names = async (one) => { await one.click("#tab-drive"); await one.waitForTimeout(150); return one.locator("[data-key^='row-']").allTextContents(); };
const tool = async (one, pulley, key) => {
  await one.click("#tab-drive");
  await one.click(`[data-key="row-${pulley}"]`);
  await one.waitForTimeout(80);
  await one.click(`[data-key="tool-${key}"]`);
  await one.waitForTimeout(300);
  await settled(one);
};
const told = (one) => one.locator(".belt-order .wrong").textContent();
const belt = await openFile("sedgemere.yaml");
const before = await names(belt), text0 = await words(belt);
await tool(belt, "steering", "add");
check("an idler behind the one chosen", (await names(belt)).join().includes("steering,✕idler 1") || /steering,[^,]*idler 1/.test((await names(belt)).join()), [await names(belt), await told(belt)]);
check("it touches the belt", Number((await belt.locator(`[data-key="row-idler 1"]`).locator("xpath=ancestor::tr").locator("td[data-of='wrap'] > span").textContent())) > 3);
{ const now = await words(belt); check("one line more, every other as it was", now.split("\n").filter((line) => !text0.split("\n").includes(line)).length === 1, now.split("\n").filter((line) => !text0.split("\n").includes(line))); }
await tool(belt, "idler 1", "slot");
{ const now = await words(belt); check("in a slot", /idler 1.*slot: \{from: \[.*setting: 20\}/.test(now) && !/name: idler 1[^\n]*at:/.test(now), now.match(/.*idler 1.*/)?.[0]); }
await tool(belt, "idler 1", "fix");
{ const now = await words(belt); check("fixed again", /name: idler 1[^\n]*at: \[/.test(now) && !/name: idler 1[^\n]*slot/.test(now), now.match(/.*idler 1.*/)?.[0]); }
await tool(belt, "idler 1", "later");
check("later on the belt", /compressor,[^,]*idler 1/.test((await names(belt)).join()), await names(belt));
await tool(belt, "idler 1", "earlier");
await tool(belt, "idler 1", "side");
{ const now = await words(belt); check("on the ribs", /name: idler 1[^\n]*side: rib/.test(now), now.match(/.*idler 1.*/)?.[0]); }
await belt.click("#tab-drive");
await axe(belt, "tools of a pulley");
await shoot(belt, "belt-order");
await tool(belt, "idler 1", "remove");
same("removed", (await names(belt)).join(), before.join());
await belt.click("#tab-entries");
same("the file is as it was, to the byte", await words(belt), text0);
await tool(belt, "crank", "remove");
check("the crank stays", /crank pulley.*cannot be removed/.test(await told(belt)), await told(belt));
await tool(belt, "exit idler", "remove");
check("one that a package speaks of stays", /packages\.street\.changes\.exit idler/.test(await told(belt)), await told(belt));
same("and the file with it", await words(belt), text0);
await tool(belt, "wrap idler", "remove");
await belt.click("#undo");
await settled(belt);
same("undone", await words(belt), text0);

// ---- the belt ----------------------------------------------------------------------------------------------------------------

const STEP = Number(/stock: \{from: 1860, to: 1980, step: (\d+)\}/.exec(readFileSync(kit, "utf8"))?.[1]);
await belt.click("#tab-drive");
await belt.waitForTimeout(200);
const stock = await belt.locator("[data-key^='stock-7PK']").allTextContents();
const given = /** @type {string} */ (await belt.locator("#designation").textContent()), own = command("check", kit, "--json").build;
same("five belts of the stock, itself in their middle", stock.join(), [-2, -1, 0, 1, 2].map((i) => `7PK${own.belt_length_mm + i * STEP}`).join());
same("itself is pressed", await belt.locator(".belt-choice [aria-pressed='true']").textContent(), given);
await belt.click(`[data-key="stock-7PK${own.belt_length_mm + STEP}"]`);
await belt.waitForTimeout(200);
await settled(belt);
same("the longer one is on the drive", await belt.locator("#designation").textContent(), `7PK${own.belt_length_mm + STEP}`);
check("and in the file", (await words(belt)).includes(`length: ${own.belt_length_mm + STEP}`));
await belt.click("#tab-drive");
await belt.click("[data-key='ribs-1']");
await belt.waitForTimeout(200);
await settled(belt);
check("one rib more", /^8PK/.test(/** @type {string} */ (await belt.locator("#designation").textContent())), await belt.locator("#designation").textContent());
await belt.click("[data-key='stock-open']");
await belt.waitForTimeout(300);
await settled(belt);
same("left open, it is the terminal's choice", await belt.locator("#designation").textContent(), command("check", kit, "--set", "belt.length=null", "--set", "belt.ribs=8", "--json").build.designation);

await inches.close();
const again = await openFile("ironbrook-v8.yaml");
await tool(again, "steering", "add");
{ const now = await words(again); check("new lengths in a file for inches have their unit", /name: idler 1, side: back, diameter: 2\.755906 in, at: \[[-\d.]+ in, [-\d.]+ in\]/.test(now), now.match(/.*idler 1.*/)?.[0]); }
await again.click("#tab-drive");
await again.click(`[data-key="row-exit idler"]`);
await again.fill("[data-key='x']", "5 1/2");
await again.press("[data-key='x']", "Enter");
await again.waitForTimeout(200);
await again.click("#tab-entries");
await find(again, "exit idler width");
await type(again, "exit idler.width", "1.5 +- 0.01");
{ const now = await words(again); check("a number with a tolerance, too", /width: "1\.5 in \+- 0\.01"/.test(now), now.match(/.*exit idler[\s\S]{0,200}/)?.[0]); }
{ const now = await words(again); check("so has one that is typed beside the drawing", /at: \[5\.5 in, [-\d.]+ in\]/.test(now), now.match(/.*exit idler[\s\S]{0,120}/)?.[0]); }

} catch (error) {
  check("no step fails", false, String(error));
} finally {
  await browser.close();
  await tidyUp();
}
process.exit(sum());
