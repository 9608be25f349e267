// Slots, the tensioner's arm and obstacles drawn by hand: by clicks, a drag and typed values; their grips; in the file, in
// one step. Last line: `N passed, N failed`.
import {readFileSync, writeFileSync} from "node:fs";
import {join} from "node:path";
import {check, command, folder, kit, same, save, sum, tidyUp} from "./bench.mjs";
import {browser, openFile, shoot, words} from "./acts.mjs";
import {axe, settled} from "./pages.mjs";

/** Client place of a point of the drive. */
const place = (page, [x, y]) => page.evaluate(([wx, wy]) => {
  const m = /matrix\(([^)]+)\)/.exec(/** @type {Element} */ (document.querySelector("#world")).getAttribute("transform") ?? "")?.[1].split(" ").map(Number) ?? [];
  const box = /** @type {Element} */ (document.querySelector("#drawing")).getBoundingClientRect();
  return [box.left + m[4] + wx * m[0], box.top + m[5] + wy * m[3]];
}, [x, y]);
async function click(page, at) { const [x, y] = await place(page, at); await page.mouse.click(x, y); await page.waitForTimeout(60); }
async function drag(page, from, to) {
  const a = await place(page, from), b = await place(page, to);
  await page.mouse.move(a[0], a[1]); await page.mouse.down(); await page.mouse.move((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, {steps: 3}); await page.mouse.move(b[0], b[1], {steps: 3}); await page.mouse.up();
  await page.waitForTimeout(250); await settled(page);
}
async function draw(page, what, pulley) {
  if (await page.locator("#draw-panel").isHidden()) await page.click("#draw");
  await page.selectOption("#draw-what", what);
  if (pulley) await page.selectOption("#draw-of", pulley);
}
async function done(page) { await page.waitForTimeout(350); await settled(page); }
async function typed(page, ...values) { for (let i = 0; i < values.length; i++) await page.fill(`#draw-typed-${i}`, values[i]); await page.click("#draw-set"); await page.waitForTimeout(60); }
const told = (page) => page.locator("#draw-panel .wrong").textContent();
const file = (page) => words(page, "drive");
const entry = (text, name) => text.match(new RegExp(`.*name: ${name}[\\s\\S]*?(?=\\n  - |\\n\\n)`))?.[0] ?? "";
async function undo(page) { await page.click("#undo"); await page.waitForTimeout(200); await settled(page); }

try {
const page = await openFile("sedgemere.yaml", {}, "drive");
const text0 = await file(page);

// ---- slots ---------------------------------------------------------------------------------------------------------------

await draw(page, "slot", "exit idler");
check("it says what to do", /end that settings count from/.test(await page.locator("#draw-prompt").textContent()));
await axe(page, "the panel");
const over = (of) => of.evaluate(() => { const panel = document.querySelector("#draw-panel").getBoundingClientRect(); return [...document.querySelectorAll("#bench .corner button, #bench .corner select")].filter((one) => { const b = one.getBoundingClientRect(); return b.left < panel.right && panel.left < b.right && b.top < panel.bottom && panel.top < b.bottom; }).map((one) => one.id); });
same("it lies on no button", JSON.stringify(await over(page)), "[]");
await drag(page, [120.3, 280.2], [150.4, 320.4]);
await done(page);
const slotted = entry(await file(page), "exit idler");
check("a straight slot by one drag, on the snap", /slot: \{from: \[1(19|20|21), 2(79|80|81)\], to: \[1(49|50|51), 3(19|20|21)\]\}/.test(slotted), [slotted, await told(page)]);
check("in the place of the fixed centre", !/\bat:/.test(slotted), slotted);
await undo(page);
same("one undo for all of it, to the byte", await file(page), text0);
await draw(page, "slot", "exit idler");
await click(page, [120, 280]);
await page.keyboard.press("Escape");
check("Escape closes it", await page.locator("#draw-panel").isHidden());
same("and leaves nothing", await file(page), text0);
await draw(page, "curved", "wrap idler");
await typed(page, "-40", "250");
await typed(page, "90 mm", "120");
await shoot(page, "draw-light");
await typed(page, "80");
await done(page);
const curved = entry(await file(page), "wrap idler");
check("a curved slot by typed values, in the place of the straight one", /slot: \{centre: \[-40, 250\], radius: 90, from: 120, to: 80\}/.test(curved), [curved, await told(page)]);
check("drawn as the program lays it", await page.locator("path.slot").first().getAttribute("d").then((d) => (d ?? "").split("L").length > 10));
await page.click("#draw-cancel");

// ---- grips -----------------------------------------------------------------------------------------------------------------

const tip = [-40 + 90 * Math.cos(80 * Math.PI / 180), 250 + 90 * Math.sin(80 * Math.PI / 180)], end = [-40 + 90 * Math.cos(70 * Math.PI / 180), 250 + 90 * Math.sin(70 * Math.PI / 180)];
await drag(page, tip, end);
check("the end of a curved slot is dragged: its angle", /from: 120, to: (69|70)(\.\d)?\}/.test(entry(await file(page), "wrap idler")), entry(await file(page), "wrap idler"));
await page.focus("[data-key='grip-wrap idler.slot.centre']");
await page.keyboard.press("ArrowUp");
await page.waitForTimeout(250); await settled(page);
check("its centre by the arrow keys", /centre: \[-40, 251\]/.test(entry(await file(page), "wrap idler")), entry(await file(page), "wrap idler"));
await page.focus("[data-key='grip-wrap idler.slot.radius']");
await page.keyboard.press("ArrowUp");
await page.waitForTimeout(250); await settled(page);
check("its radius by the arrow keys", /centre: \[-40, 251\], radius: 9(0\.9\d*|1),/.test(entry(await file(page), "wrap idler")), entry(await file(page), "wrap idler"));
const middle = await page.locator("[data-key='grip-wrap idler.slot.radius'] rect").boundingBox(), radius = async () => Number(/radius: ([\d.]+)/.exec(entry(await file(page), "wrap idler"))[1]);
const was = await radius();
await page.mouse.move(middle.x + 4, middle.y + 4); await page.mouse.down(); await page.mouse.move(middle.x + 4, middle.y + 14, {steps: 4}); await page.mouse.up();
await page.waitForTimeout(250); await settled(page);
check("and under a hand, by the snap step, its centre as it was", await radius() < was && Number.isInteger(await radius()) && /centre: \[-40, 251\]/.test(entry(await file(page), "wrap idler")), [was, await radius()]);
for (let i = 0; i < 9 && await page.locator("#undo").isEnabled(); i++) await undo(page);
same("all undone", await file(page), text0);
await page.click("[data-key='row-wrap idler']");
await page.waitForTimeout(100);
const from = await page.locator("[data-key='grip-wrap idler.slot.from']").getAttribute("aria-label");
check("grips say where they are", /slot of wrap idler, end “from”, at/.test(from ?? ""), from);

// ---- the arm ------------------------------------------------------------------------------------------------------------------

await draw(page, "arm", "tensioner");
await typed(page, "-112", "210");
await typed(page, "100", "-40");
await typed(page, "-100");
await done(page);
const arm = entry(await file(page), "tensioner");
check("the arm anew: pivot, length, free, sense and travel, its spring as it was", /pivot: \[-112, 210\]/.test(arm) && /length: 100\b/.test(arm) && /free: -40\b/.test(arm) && /loads: cw/.test(arm) && /travel: 60\b/.test(arm) && /preload|readings|part/.test(arm), [arm, await told(page)]);
await undo(page);
same("in one step", await file(page), text0);
await draw(page, "arm", "exit idler");
await typed(page, "160", "340");
await typed(page, "60", "200");
await typed(page, "240");
await done(page);
check("a new arm wants its spring", /preload/.test(await told(page)), await told(page));
await page.fill("#draw-preload", "20"); await page.fill("#draw-rate", "0.4");
await page.click("#draw-done"); await done(page);
check("two arms are refused with the reader's words", /arm/.test(await told(page)) && (await told(page)).length > 20, await told(page));
same("and nothing is written", await file(page), text0);

// ---- obstacles ------------------------------------------------------------------------------------------------------------------

await draw(page, "polygon");
for (const at of [[-20, 100], [20, 100], [20, 140]]) await click(page, at);
await click(page, [-20, 140]);
await click(page, [-20, 100]);
await done(page);
check("where it is along the crank's axis must be said", /along the crank/.test(await told(page)), await told(page));
await shoot(page, "draw-polygon");
await page.fill("#draw-z0", "-30"); await page.fill("#draw-z1", "30");
await page.fill("#draw-name", "lug");
await page.click("#draw-done"); await done(page);
check("an obstacle by its corners", /- \{name: lug, polygon: \[\[-20, 100\], \[20, 100\], \[20, 140\], \[-20, 140\]\], z: \[-30, 30\]\}/.test(await file(page)), [(await file(page)).match(/.*lug, p.*/)?.[0], await told(page)]);
await draw(page, "circle");
await page.fill("#draw-z0", "-3/4 in"); await page.fill("#draw-z1", "10"); await page.fill("#draw-name", "hose");
await typed(page, "-250", "100");
await typed(page, "15", "0");
await done(page);
check("a round one", /- \{name: hose, circle: \{at: \[-250, 100\], diameter: 30\}, z: \["?-0\.75 in"?, 10 mm\]\}/.test(await file(page)), [(await file(page)).match(/.*hose, c.*/)?.[0], await told(page)]);
await drag(page, [20, 140], [30, 150]);
check("a corner is dragged", /lug, polygon: \[\[-20, 100\], \[20, 100\], \[(29|30|31), 1(49|50|51)\], \[-20, 140\]\]/.test(await file(page)), [(await file(page)).match(/.*lug, p.*/)?.[0], await page.locator("#bars").textContent()]);
await drag(page, [-250, 100], [-240, 90]);
check("a circle too", /hose, circle: \{at: \[-2(39|40|41), (89|90|91)\], diameter: 30/.test(await file(page)), (await file(page)).match(/.*hose, c.*/)?.[0]);
await axe(page, "grips");
await save(page);
check("the terminal reads what was drawn", command("check", kit, "--json").verdict !== undefined);

// ---- inches, a locked drive, dark and small -------------------------------------------------------------------------------------

const inches = await openFile("ironbrook-v8.yaml", {colorScheme: "dark", viewport: {width: 390, height: 844}}, "drive");
await draw(inches, "circle");
await inches.fill("#draw-z0", "-1"); await inches.fill("#draw-z1", "1/2"); await inches.fill("#draw-name", "fitting");
await shoot(inches, "draw-small-dark");
await axe(inches, "dark, small");
check("the page does not scroll sideways", await inches.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
await typed(inches, "14", "1 1/2");
await typed(inches, "1/2", "90");
await done(inches);
check("in inches, with its unit", /name: fitting, circle: \{at: \[14 in, 1\.5 in\], diameter: 1 in\}, z: \["?-1 in"?, 0\.5 in\]/.test(await file(inches)), [(await file(inches)).match(/.*fitting, c.*/)?.[0], await told(inches)]);
await inches.setViewportSize({width: 1280, height: 720});
await inches.waitForTimeout(200);
const who = await inches.evaluate(() => [...document.querySelectorAll("#draw-of option")].map((one) => /** @type {HTMLOptionElement} */ (one).value).find((one) => /idler/.test(one)));
await draw(inches, "curved", who);
await typed(inches, "3", "9"); await typed(inches, "3 1/4", "100"); await typed(inches, "60");
await done(inches);
check("angles stay degrees", /slot: \{centre: \[3 in, 9 in\], radius: 3\.25 in, from: 100, to: 60\}/.test(await file(inches)), [(await file(inches)).match(/.*centre: .*/)?.[0], await told(inches)]);

const locked = await openFile("sedgemere-locked.yaml", {}, "drive");
const lock = await locked.evaluate(() => /** @type {HTMLElement | null} */ (document.querySelector("[data-what='slot']"))?.getAttribute("aria-label")?.split(",")[0]);
await locked.click(`[data-key='row-${lock}']`);
await locked.waitForTimeout(100);
await locked.focus(`[data-key='grip-${lock}.slot.to']`);
await locked.keyboard.press("Shift+ArrowUp");
await locked.waitForTimeout(300); await settled(locked);
check("the slot of a locked pulley is changed too", await locked.locator("#undo").isEnabled());
await shoot(locked, "draw-locked");

// ---- the width of an oblong ------------------------------------------------------------------------------------------------------

writeFileSync(join(folder, "oblong.yaml"), readFileSync(kit, "utf8").replace(/^obstacles:.*\n/m, (line) => `${line}  - {name: bar, slot: {from: [-300, 60], to: [-220, 60], width: 20}, z: [-10, 10]}\n`));
const oblong = await openFile("oblong.yaml", {}, "drive");
const bar = async () => /slot: \{from: \[-300, 60\], to: \[-220, 60\], width: ([\d.]+)\}/.exec(entry(await file(oblong), "bar"))?.[1] ?? entry(await file(oblong), "bar");
await oblong.click("#draw");
same("the square of an oblong's width says where it is", (await oblong.locator("[data-key='grip-obstacles.bar.width']").getAttribute("aria-label"))?.split(",").slice(0, 2).join(), "bar, width");
await drag(oblong, [-260, 70], [-258, 75]);
same("its width by a hand: twice the way off its middle line, along which the hand may go; its ends as they were", await bar(), "30");
await drag(oblong, [-260, 75], [-260, 48]);
same("beyond the middle line it counts as before it", await bar(), "24");
await oblong.focus("[data-key='grip-obstacles.bar.width']");
await oblong.keyboard.press("ArrowUp");
await done(oblong);
same("and by the arrow keys", await bar(), "26");
for (let i = 0; i < 3; i++) await undo(oblong);
same("each in one step", await bar(), "20");

// a file that cannot be read is not a server that does not answer
const broken = await openFile("sedgemere.yaml", {}, "text");
await broken.waitForFunction(() => /** @type {HTMLTextAreaElement} */ (document.querySelector("#panel-text textarea")).value.length > 50);
await broken.evaluate(() => { const area = /** @type {HTMLTextAreaElement} */ (document.querySelector("#panel-text textarea")); area.value += "\nbelt: ["; area.dispatchEvent(new Event("input", {bubbles: true})); });
await broken.waitForSelector("#bar-errors");
await draw(broken, "slot", "exit idler");
await typed(broken, "120", "280"); await typed(broken, "150", "320");
await broken.waitForFunction(() => document.querySelector("#draw-panel .wrong").textContent !== "");
check("that the file cannot be read is said", !/server/.test(await told(broken)) && (await told(broken)).length > 10, await told(broken));

} catch (error) {
  check("no step fails", false, String(error));
} finally {
  await browser.close();
  await tidyUp();
}
process.exit(sum());
