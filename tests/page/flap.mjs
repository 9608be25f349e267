// A span that flaps into what stands beside it: the core that is sent with the page has no answer for such a drive, and never one
// without the rule. The server answers until the core with charts is there, then that one does, also with the server lost.
// Last line: `N passed, N failed`.
import {writeFileSync} from "node:fs";
import {join} from "node:path";
import {browse, check, command, folder, killServer, same, serve, sum, tidyUp} from "./bench.mjs";
import {judged, openFile, watched} from "./pages.mjs";

const drive = (away) => `snub: 1
engine: {displacement: 2.0 L, cylinders: 4, idle: 2600, redline: 3000, irregularity: {speed: [400, 9000], order: [2], angle: [[0.3], [0.3]]}}
belt: {ribs: 6, length: 1016, tolerance: 0.1, flap_damping: 0.05}
pulleys:
  - {name: crank, role: crank, at: [0, 0], diameter: 150}
  - {name: tensioner, side: back, diameter: 95, inertia: 0.0002, arm: {pivot: [-120, 75], length: 110, free: 40, loads: ccw,
     travel: 32, preload: 20, rate: 0.4, damping: 0.02, work: [1, 31], inertia: 0.0015}}
  - {name: pump, at: [-20, 320], diameter: 70, load: [[500, 2], [20000, 2]], inertia: 0.001}
obstacles:
  - {name: post, circle: {at: [${-27.25525433806933 + away}, ${81.62843088080157 + away / 2}], diameter: 20}, z: [-40, 40]}
`;
writeFileSync(join(folder, "flaps.yaml"), drive(0));
writeFileSync(join(folder, "free.yaml"), drive(60)); // nothing within reach
const flapping = command("check", join(folder, "flaps.yaml"), "--json").findings.find((f) => f.rule === "flap_gap");
check("the program finds it", flapping?.level === "fail", flapping);
check("and none where the post is far", command("check", join(folder, "free.yaml"), "--json").findings.every((f) => f.rule !== "flap_gap"));

const server = await serve(0);
const browser = await browse(), page = await watched(browser, {}, 20000);
/** @type {string[]} */
const asked = [];
page.on("request", (request) => asked.push(new URL(request.url()).pathname));
const count = (path) => asked.filter((one) => one === path).length;
const shown = async (text) => (await page.locator("body").textContent()).includes(text);
await page.goto(server.address);
await page.waitForFunction(() => document.body.dataset.core === "here");
await judged(page);
await openFile(page, "free.yaml");
await page.waitForTimeout(400);
await page.click("#tab-checks").catch(() => undefined);
same("a drive without anything in reach needs no other core", count("/charts.wasm"), 0);
await openFile(page, "flaps.yaml");
check("with the rule from the beginning", await shown(flapping.text), flapping.text);
const box = await page.locator(".handle[data-pulley='2'] .hit").boundingBox(), [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
const frames = (n) => page.evaluate((left) => new Promise((ok) => { const next = (k) => (k ? requestAnimationFrame(() => next(k - 1)) : ok(null)); next(left); }), n);
await page.mouse.move(x, y);
await page.mouse.down();
await page.mouse.move(x + 8, y + 8, {steps: 4}); // a hand that drags
await page.mouse.move(x + 1, y);
const sentence = "The span crank to tensioner flaps by";
await judged(page); // perhaps of a place on the way
await page.waitForFunction((text) => document.body.textContent.includes(text), sentence, {timeout: 20000}).catch(() => undefined);
check("under a hand, by the server", await shown(sentence));
await page.waitForTimeout(600);
same("the core with charts comes, once", count("/charts.wasm"), 1);
const before = count("/api/lay");
await killServer();
for (let k = 1; k < 6; k++) {
  await page.mouse.move(x + (k % 2), y, {steps: 2});
  await frames(2);
  check(`frame ${k}: with the rule`, await shown(sentence));
  same(`frame ${k}: of now`, await page.locator("#glance").getAttribute("data-of"), "now");
}
same("no server was asked", count("/api/lay"), before);
await page.keyboard.press("Escape");
await page.mouse.up();

await browser.close();
await tidyUp();
process.exit(sum());
