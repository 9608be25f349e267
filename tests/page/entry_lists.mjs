// Lists of the drive file and maps by names or paths on the page: read, set, added, removed, moved, refused, undone.
// Last line: `N passed, N failed`.
import {check, same, sum, tidyUp} from "./bench.mjs";
import {browser, find, openFile, shoot, words} from "./acts.mjs";
import {axe, settled} from "./pages.mjs";

const rowOf = (page, path) => page.locator(`[data-entry="${path}"]`);
const at = (page, key) => page.locator(`[data-key="${key}"]`);
async function press(page, key) { await at(page, key).click(); await page.waitForTimeout(250); await settled(page); }
async function set(page, key, text) { await at(page, key).fill(text); await at(page, key).blur(); await page.waitForTimeout(250); await settled(page); }
const wrong = async (page, path) => (await rowOf(page, path).locator(".items .wrong").allTextContents()).join("");
/** The lines that one text has and the other has not. */
const lines = (a, b) => a.split("\n").filter((line) => !b.split("\n").includes(line));
async function undo(page) { await page.click("#undo"); await page.waitForTimeout(200); await settled(page); }

try {
// ---- options -----------------------------------------------------------------------------------------------------------

const page = await openFile("sedgemere.yaml");
const text0 = await words(page);
await find(page, "options");
same("values one a line", await at(page, "e-options-0").inputValue(), "97\n92\n88\n84\n79\n73");
await set(page, "e-options-0", "97\n92,5\n84");
check("a value that packages exclude must stay", /not offered by options/.test(await wrong(page, "options")), await wrong(page, "options"));
await set(page, "e-options-0", "97\n92\n88,5\n79\n73\n3 1/4 in");
{ const now = await words(page); check("set in the line, comment and all", /blower\.diameter: \[97, 92, 88\.5, 79, 73, 3\.25 in\] +# over tips/.test(now), lines(now, text0)); }
same("one line is another", lines(await words(page), text0).length, 1);
await find(page, "options");
await at(page, "e-options-key").fill("belt.ribs");
await at(page, "e-options-value").fill("7\n8");
await press(page, "e-options-add");
check("a path that packages set is refused, with the reader's words", /is a path of options already/.test(await wrong(page, "options")), await wrong(page, "options"));
same("and what was typed stays", await at(page, "e-options-key").inputValue(), "belt.ribs");
await at(page, "e-options-key").fill("exit idler.at");
await at(page, "e-options-value").fill("[132, 296]\n136; 300");
await press(page, "e-options-add");
{ const now = await words(page); check("an option of places is added", /'exit idler\.at': \[\[132, 296\], \[136, 300\]\]/.test(now), lines(now, text0)); }
await find(page, "options");
same("the fields are empty again", await at(page, "e-options-key").inputValue(), "");
await press(page, "e-options-1-up");
{ const now = await words(page); check("moved up", /options:[^\n]*\n {2}'exit idler\.at'[^\n]*\n {2}blower\.diameter/.test(now), now.match(/options:[\s\S]{0,200}/)?.[0]); }
await find(page, "options");
await set(page, "e-options-1", "");
check("an option without values is none", /one a line/.test(await wrong(page, "options")));
await press(page, "e-options-0-out");
check("removed", !/exit idler\.at/.test((await words(page)).match(/options:[\s\S]{0,200}/)?.[0] ?? ""));
await find(page, "options");
await press(page, "e-options-0-out");
check("one that packages exclude values of is not removed", /is not a path of options/.test(await wrong(page, "options")), await wrong(page, "options"));
await axe(page, "options");

// ---- variants and packages ----------------------------------------------------------------------------------------------

await find(page, "variants");
await at(page, "e-variants-key").fill("tall steering");
await at(page, "e-variants-value").fill("steering: {at: [233, 244]}, belt.tolerance: 7");
await press(page, "e-variants-add");
{ const now = await words(page); check("a variant is added", /tall steering: \{steering: \{at: \[233, 244\]\}, belt\.tolerance: 7\}/.test(now), lines(now, text0)); }
await find(page, "variants");
await set(page, "e-variants-1-1", "6.5");
check("a value in it set", /belt\.tolerance: 6\.5\}/.test(await words(page)));
await find(page, "variants");
await at(page, "e-variants-1-key").fill("compressor.no_such_key");
await at(page, "e-variants-1-value").fill("1");
await press(page, "e-variants-1-add");
check("a path that there is not is refused", /compressor\.no_such_key/.test(await wrong(page, "variants")), await wrong(page, "variants"));
await press(page, "e-variants-1-up");
{ const now = await words(page); check("moved before the other", /variants:[^\n]*\n {2}tall steering[^\n]*\n {2}low compressor/.test(now), now.match(/variants:[\s\S]{0,200}/)?.[0]); }
await find(page, "variants");
await press(page, "e-variants-0-out");
await find(page, "packages");
check("packages with their changes", (await rowOf(page, "packages").locator("input.name").evaluateAll((all) => all.map((one) => one.value))).includes("exit idler.bearing"), await rowOf(page, "packages").textContent());
await set(page, "e-packages-1-c-0", "8");
check("a value of a package", /touring:[\s\S]{0,80}belt\.ribs: 8/.test(await words(page)));
await find(page, "packages");
await at(page, "e-packages-1-c-key").fill("wrap idler.supply");
await at(page, "e-packages-1-c-value").fill("kept");
await press(page, "e-packages-1-c-add");
{ const now = await words(page); check("a path more", /touring:[\s\S]{0,80}belt\.ribs: 8, 'wrap idler\.supply': kept/.test(now), now.match(/touring:[\s\S]{0,160}/)?.[0]); }
await find(page, "packages");
await at(page, "e-packages-1-x-value").fill("blower.diameter: 97, reason: Too little boost to sell.");
await press(page, "e-packages-1-x-add");
{ const now = await words(page); check("an exclusion", /touring:[\s\S]{0,160}excludes: \[\{blower\.diameter: 97, reason: "Too little boost to sell\."\}\]|touring:[\s\S]{0,200}'?blower\.diameter'?: 97, reason/.test(now), now.match(/touring:[\s\S]{0,260}/)?.[0]); }
await find(page, "packages");
await at(page, "e-packages-1-x-value").fill("blower.diameter: 12, reason: none");
await press(page, "e-packages-1-x-add");
check("of a value that is not offered it is refused", /not offered by options/.test(await wrong(page, "packages")), await wrong(page, "packages"));
await at(page, "e-packages-key").fill("bare");
await at(page, "e-packages-value").fill("");
await press(page, "e-packages-add");
{ const now = await words(page); check("a package", /bare: \{\}/.test(now), lines(now, text0)); }
await find(page, "packages");
await rowOf(page, "packages").scrollIntoViewIfNeeded(); await shoot(page, "lists-light");
await axe(page, "packages");
await find(page, "steps");
await page.check("#entries-all");
await at(page, "e-steps-key").fill("run at idle");
await at(page, "e-steps-value").fill("Let it idle for ten minutes.");
await press(page, "e-steps-add");
{ const now = await words(page); check("steps are made where the file has none", /steps: \{"?run at idle"?: \{say: "?Let it idle for ten minutes\."?\}\}/.test(now), lines(now, text0)); }
await find(page, "steps");
await press(page, "e-steps-0-out");
check("and go with their last", !/^steps:/m.test(await words(page)));

// ---- names ---------------------------------------------------------------------------------------------------------------

for (let i = 0; i < 60 && await page.locator("#undo").isEnabled(); i++) await page.click("#undo");
await settled(page);
/** What the file says from a word on. */
const part = async (from, size = 1600) => { const text = await words(page); return text.slice(text.search(new RegExp(`^${from}:`, "m"))).slice(0, size); };
await find(page, "options");
same("a name stands in a field", await at(page, "e-options-0-name").inputValue(), "blower.diameter");
const excluded = (await part("packages")).match(/blower\.diameter: /g)?.length ?? 0;
check("packages exclude by it", excluded > 0, await part("packages"));
await set(page, "e-options-0-name", "steering.diameter");
check("an option goes by another path", /options:[^\n]*\n {2}steering\.diameter: \[97, 92, 88, 84, 79, 73\] +# over tips/.test(await part("options")), await part("options", 200));
same("what packages exclude follows", [(await part("packages")).match(/steering\.diameter: /g)?.length ?? 0, (await part("packages")).match(/blower\.diameter: /g)?.length ?? 0].join(), `${excluded},0`);
await undo(page);
await find(page, "options");
await set(page, "e-options-0-name", "belt.no_such_key");
check("a path that there is not is refused", /there is no 'no_such_key'/.test(await wrong(page, "options")), await wrong(page, "options"));
await set(page, "e-options-0-name", "belt.ribs");
check("one that packages set is refused, and it says which", /packages\.[a-z ]+\.changes\.belt\.ribs: is a path of options already/.test(await wrong(page, "options")), await wrong(page, "options"));
await set(page, "e-options-0-name", "");
check("an empty name is none", /cannot be empty/.test(await wrong(page, "options")), await wrong(page, "options"));
await at(page, "e-options-0-name").focus();
await page.keyboard.press("Escape");
same("Esc brings it back", [await at(page, "e-options-0-name").inputValue(), await wrong(page, "options")].join(), "blower.diameter,");
await find(page, "packages");
await at(page, "e-packages-0-x-value").fill("variant: low compressor, reason: It would touch.");
await press(page, "e-packages-0-x-add");
await find(page, "variants");
await at(page, "e-variants-0-name").fill("short front: 2");
await page.keyboard.press("Enter");
await page.waitForTimeout(250);
await settled(page);
check("a variant, by Enter", /variants:[^\n]*\n {2}'short front: 2':/.test(await part("variants")), await part("variants", 200));
check("and what a package says of it", /variant: 'short front: 2'/.test(await part("packages")), await part("packages"));
await undo(page);
await find(page, "packages");
const names = await rowOf(page, "packages").locator(".named > input.name").evaluateAll((all) => all.map((one) => one.value));
await set(page, "e-packages-0-name", names[1]);
check("a name that there is already is refused", /is there already/.test(await wrong(page, "packages")), await wrong(page, "packages"));
await set(page, "e-packages-0-name", "low compressor");
check("so is that of a variant", /is the name of a variant already/.test(await wrong(page, "packages")), await wrong(page, "packages"));
await set(page, "e-packages-0-name", "boulevard");
check("a package", new RegExp("packages:[^\\n]*\\n(?: *#[^\\n]*\\n)* {2}boulevard:").test(await part("packages")), await part("packages", 300));
{ const now = await words(page); check("its comments stay", lines(text0, now).length <= 2, lines(text0, now)); }
for (let i = 0; i < 60 && await page.locator("#undo").isEnabled(); i++) await page.click("#undo");
await settled(page);
same("all undone, to the byte, names and all", await words(page), text0);
await page.click("#tab-entries");

// ---- lists of items ------------------------------------------------------------------------------------------------------

await find(page, "contents");
same("three rows", (await rowOf(page, "contents").locator("li .pick").allTextContents()).join(), "intake pipe,hose clip,upper belt cover");
await press(page, "e-contents-2-up");
await press(page, "e-contents-1-up");
same("moved to the top", (await rowOf(page, "contents").locator("li .pick").allTextContents()).join(), "upper belt cover,intake pipe,hose clip");
await press(page, "e-contents-0-down");
await press(page, "e-contents-1-out");
{ const now = await words(page); check("removed, the others' lines as they were", /contents:[^\n]*\n {2}- \{name: intake pipe, number: SG-4410\}\n {2}- \{name: hose clip, count: 2/.test(now), now.match(/contents:[\s\S]{0,260}/)?.[0]); }
await find(page, "contents");
await press(page, "e-contents");
check("added", (await rowOf(page, "contents").locator("li .pick").allTextContents()).includes("new 3"));
await page.uncheck("#entries-all");
await find(page, "bolts");
const bolts = rowOf(page, "mounts.0.bolts");
const first = await bolts.locator("li .pick").allTextContents();
await press(page, "e-mounts.0.bolts-1-up");
same("bolts change places", (await bolts.locator("li .pick").allTextContents()).slice(0, 2).join(), [first[1], first[0]].join());
await press(page, "e-mounts.0.bolts-0-go");
check("a name leads to its entries", /^e-mounts\.0\.bolts\.0\./.test(await page.evaluate(() => document.activeElement?.getAttribute("data-key")) ?? ""), await page.evaluate(() => document.activeElement?.getAttribute("data-key")));
await find(page, "bearings");
await press(page, "e-bearings-1-out");
check("a bearing that a package needs stays", /is not a bearing of this file/.test(await wrong(page, "bearings")), await wrong(page, "bearings"));
await find(page, "stack");
await press(page, "e-mounts.0.stack-0-down");
{ const now = await words(page); check("parts of a stack", /stack:[^\n]*\n {6}- \{name: bridge[^\n]*\n {6}- \{name: head face/.test(now), now.match(/stack:[\s\S]{0,260}/)?.[0]); }
await undo(page);
await find(page, "obstacles");
await press(page, "e-obstacles-1-out");
await press(page, "e-obstacles-0-out");
check("an obstacle that packages relieve stays", /block lug/.test(await wrong(page, "obstacles")), await wrong(page, "obstacles"));
await find(page, "contents");
for (const _ of [0, 1, 2]) await press(page, "e-contents-0-out");
{ const now = await words(page); check("the last row takes the list with it", !/^contents:/m.test(now), now.match(/contents:[\s\S]{0,160}/)?.[0]); }
await undo(page);
check("undone", /^contents:/m.test(await words(page)));
for (let i = 0; i < 60 && await page.locator("#undo").isEnabled(); i++) await page.click("#undo");
await settled(page);
same("all undone, to the byte", await words(page), text0);

// ---- inches, dark, a small screen ------------------------------------------------------------------------------------------

const inches = await openFile("ironbrook-v8.yaml", {colorScheme: "dark", viewport: {width: 390, height: 844}});
await find(inches, "options");
await inches.check("#entries-all");
const offered = await at(inches, "e-options-0").inputValue().catch(() => "");
await at(inches, "e-options-key").fill("wrap idler.diameter");
await at(inches, "e-options-value").fill("3 1/4\n2.75 in");
await press(inches, "e-options-add");
{ const now = await words(inches); check("bare numbers of an inch file's options have their unit", /'?wrap idler\.diameter'?: \[3\.25 in, 2\.75 in\]/.test(now), [offered, now.match(/options:[\s\S]{0,260}/)?.[0], await wrong(inches, "options")]); }
await find(inches, "options");
await rowOf(inches, "options").scrollIntoViewIfNeeded(); await shoot(inches, "lists-small-dark");
await axe(inches, "options in inches, dark, small");
check("the page does not scroll sideways", await inches.evaluate(() => document.documentElement.scrollWidth <= innerWidth));

} catch (error) {
  check("no step fails", false, String(error));
} finally {
  await browser.close();
  await tidyUp();
}
process.exit(sum());
