// The chart of the page follows the drive while it is shown, is the program's without the fewest belts, and is made by workers of the
// page where they can be had. Last line: `N passed, N failed`.
import {readFileSync, writeFileSync} from "node:fs";
import {join} from "node:path";
import {browse, check, command, folder, kit, killServer, same, serve, sum, tidyUp} from "./bench.mjs";
import {asker, charted, judged as atRest, openFile, watched} from "./pages.mjs";

const server = await serve(0), {address} = server;
const browser = await browse();

// ---- a chart asked for its builds only is the same without the fewest belts -------------------------------------------------

const ask = asker(server), text = readFileSync(kit, "utf8");
const whole = await charted(ask, "sedgemere.yaml", text, {}), only = await charted(ask, "sedgemere.yaml", text, {builds_only: true});
const {fewest_belts: fewest, ...rest} = whole;
check("the fewest belts are found", fewest?.belts.length > 0, fewest);
same("and left out", "fewest_belts" in only, false);
same("all else is the same", JSON.stringify(only), JSON.stringify(rest));

// ---- parts of it are the server's, byte for byte ----------------------------------------------------------------------------

const here = () => document.body.dataset.core === "here" && document.body.dataset.rest === "true";
/** @param {(page: import("playwright-core").Page) => Promise<any>} [before]  is done before the page is loaded */
async function opened(before) {
  const page = await watched(browser, {}, 30000);
  /** @type {any} */ (page).asked = 0;
  page.on("request", (request) => { if (request.method() === "POST" && request.url().endsWith("/api/chart")) /** @type {any} */ (page).asked++; });
  if (before) await before(page);
  await page.goto(address);
  await page.waitForSelector(".handle[data-pulley='5']");
  // a chart is old, and can be stopped, for a moment only: what was so is kept, for a test that looks late
  await page.evaluate(() => {
    const seen = /** @type {any} */ (window).seen = {old: 0, stop: 0}, signs = {old: ".chart.old .cell", stop: '[data-key="stop"]'}, was = {old: false, stop: false};
    new MutationObserver(() => {
      for (const sign of /** @type {("old" | "stop")[]} */ (["old", "stop"])) {
        const now = document.querySelector(signs[sign]) !== null;
        if (now && !was[sign]) seen[sign]++;
        was[sign] = now;
      }
    }).observe(document.querySelector("#panel-chart"), {subtree: true, childList: true, attributes: true});
  });
  await atRest(page);
  return page;
}
/** What is done makes the chart old, or one that can be stopped, if only for a moment.
 * @param {"old" | "stop"} sign  @param {() => Promise<unknown>} act */
async function makes(of, sign, act) {
  const had = await of.evaluate((sign) => /** @type {any} */ (window).seen[sign], sign);
  await act();
  await of.waitForFunction(([sign, had]) => /** @type {any} */ (window).seen[sign] > had, /** @type {[string, number]} */ ([sign, had]), {polling: 25});
}
/** A hand that stops it as soon as it can. */
const startedAndStopped = (of) => of.evaluate(() => new Promise((ok) => {
  const stop = () => { const button = /** @type {HTMLElement | null} */ (document.querySelector('[data-key="stop"]')); if (button) { watching.disconnect(); button.click(); ok(null); } };
  const watching = new MutationObserver(stop);
  watching.observe(document.querySelector("#panel-chart"), {subtree: true, childList: true, attributes: true});
  /** @type {HTMLElement} */ (document.querySelector('[data-key="start"]')).click();
  stop();
}));
const page = await opened(), settled = () => atRest(page);
/** The chart of what the page shows now: before the page has answered the last key, the chart of the state before is not old yet. */
const followed = async (of) => { await atRest(of); await of.waitForSelector(".chart:not(.old) .cell"); };
await page.waitForFunction(here);
const {snapshot} = await ask("POST", "/api/snapshot", {file: "sedgemere.yaml", text, changes: []});
const parts = await page.evaluate(async ({snapshot, text}) => {
  const module = await WebAssembly.compile(await (await fetch("/charts.wasm")).arrayBuffer());
  return Promise.all([0, 1, 2].map((part) => new Promise((ok) => {
    const worker = new Worker("/chart-worker.js"), seen = [];
    worker.onmessage = ({data}) => { if ("answer" in data) { worker.terminate(); ok({...data.answer, seen}); } else seen.push(data); };
    worker.postMessage({module, snapshot, body: {file: "sedgemere.yaml", text, changes: [], builds_only: true, part: [part, 3]}});
  })));
}, {snapshot, text});
same("all builds are in one of three parts", parts.map((one) => one.body.builds.length).join(), "10,9,9");
for (const [i, build] of only.builds.entries()) same(`build ${i + 1} is the server's`, JSON.stringify(parts[i % 3].body.builds[Math.floor(i / 3)]), JSON.stringify(build));
same("and so are the columns", JSON.stringify(parts[1].body.columns), JSON.stringify(only.columns));
check("each says how far it is", parts.every((one) => one.seen.length === one.body.builds.length && one.seen.every((s, i) => s.done === i + 1 && s.of === one.body.builds.length)), parts.map((one) => one.seen));
const wrong = await charted(ask, "sedgemere.yaml", text, {part: [3, 3]});
same("a part that there is not is refused", [wrong.status, wrong.errors[0].key].join(), "400,part");

// ---- it follows ------------------------------------------------------------------------------------------------------------

/** What stands in the panel. */
const cells = async (of) => [...await of.locator(".chart .cell").allTextContents(), await of.locator(".chart .sum").textContent(), await of.locator(".chart details").first().textContent()].join("\n");
await page.click("#tab-chart");
await page.click('[data-key="start"]');
await page.waitForSelector(".chart:not(.old) .cell");
same("no server was asked for it", /** @type {any} */ (page).asked, 0);
const first = await cells(page);
same("what its verdicts leave out", (await page.locator("#panel-chart .not-judged li").allTextContents()).join("\n"), command("chart", kit, "--json").not_judged.map((one) => one.text).join("\n"));
// a move while one runs: it starts anew, and the cells that stand are not taken for the new ones
await page.focus(".handle[data-pulley='5']");
await makes(page, "old", () => makes(page, "stop", () => page.keyboard.press("ArrowRight")));
await page.keyboard.press("ArrowRight");
await followed(page);
same("nothing is left running", await page.locator('[data-key="stop"]').count(), 0);
same("nor said to be old", await page.locator("#panel-chart .stale-note").count(), 0);
const moved = await cells(page);
check("it is another chart", moved !== first);
await startedAndStopped(page);
same("a hand can stop it", await page.locator(".chart .failure").textContent(), "Stopped.");
await page.click('[data-key="start"]');
await followed(page);
await page.waitForFunction(() => document.querySelector(".chart").getAttribute("aria-busy") === "false");
same("and have it anew", await cells(page), moved);
// the cell that was chosen stays chosen in the chart that follows, also after an edit of the text, which gives each build another code
const picked = page.locator('.chart .cell[aria-pressed="true"]'), where = () => picked.evaluate((one) => { const cell = one.closest("td"), row = cell.parentElement; return `${row.querySelector("th").textContent} / ${row.closest("table").querySelectorAll("thead th")[cell.cellIndex - 1].textContent}`; });
await page.locator(".chart .cell").nth(4).click();
const chosen = await where();
await page.focus(".handle[data-pulley='5']");
await makes(page, "old", () => page.keyboard.press("ArrowRight"));
await followed(page);
same("after a move the chosen build is chosen still", await picked.count() ? await where() : "none", chosen);
same("and its numbers are shown", await page.locator(".chart .detail").count(), 1);
await makes(page, "old", () => page.keyboard.press("Control+z"));
await followed(page);
await page.click("#tab-text");
await page.waitForFunction(() => /** @type {HTMLTextAreaElement} */ (document.querySelector("#panel-text textarea")).value.length > 100);
await page.evaluate(() => { const area = /** @type {HTMLTextAreaElement} */ (document.querySelector("#panel-text textarea")); area.value = area.value.replace("redline: 5700 rpm", "redline: 5650 rpm"); area.dispatchEvent(new Event("input", {bubbles: true})); });
await settled();
await page.click("#tab-chart");
await followed(page);
same("and after another text", await picked.count() ? await where() : "none", chosen);
await page.click("#undo");
await settled();
await followed(page);
const last = await cells(page);
await page.click("#tab-drive");
await page.focus(".handle[data-pulley='5']");
await page.keyboard.press("ArrowLeft");
await settled();
await page.waitForTimeout(300);
await makes(page, "old", () => page.click("#tab-chart")); // nothing was calculated that nobody saw
await followed(page);
same("as many workers as processors, and those that were ended are gone", page.workers().length, Math.min(8, await page.evaluate(() => navigator.hardwareConcurrency)));
same("still without the server", /** @type {any} */ (page).asked, 0);

// ---- where there are no workers, or no core, the server makes it -----------------------------------------------------------------

for (const [what, before] of /** @type {[string, any][]} */ ([["workers", (page) => page.addInitScript(() => { delete /** @type {any} */ (window).Worker; })], ["script for them", (page) => page.route("**/chart-worker.js", (route) => route.abort())], ["core", (page) => page.route("**/core.wasm", (route) => route.abort())]])) {
  const other = await opened(before);
  await other.click("#tab-chart");
  await other.click('[data-key="start"]');
  await other.waitForSelector(".chart:not(.old) .cell");
  same(`without ${what} the server is asked`, /** @type {any} */ (other).asked, 1);
  same(`without ${what} it is the same chart`, await cells(other), first);
  await other.focus(".handle[data-pulley='5']");
  await makes(other, "old", () => other.keyboard.press("ArrowRight"));
  await other.keyboard.press("ArrowRight");
  await followed(other);
  same(`without ${what} it follows`, await cells(other), moved);
  if (what === "script for them") { // those that get ready after a chart was dropped can not either, and nobody hears of it
    const before_ = /** @type {any} */ (other).asked;
    await startedAndStopped(other);
    await other.waitForTimeout(400);
    await other.click('[data-key="start"]');
    await other.waitForSelector('.chart[aria-busy="false"]');
    check("a chart after one that was stopped ends too", /** @type {any} */ (other).asked > before_, /** @type {any} */ (other).asked);
    same("and is the same", await cells(other), moved);
  }
  if (what === "workers") {
    // a server that is busy, as with a chart that was dropped and still ends, is asked again; a hand may stop that, and a move begins anew
    const busy = {status: 503, contentType: "application/problem+json", body: JSON.stringify({type: "busy", title: "Busy", status: 503, detail: "Two charts are made.", errors: [], more: 0, hints: []})};
    let refused = 0, least = 2;
    await other.route("**/api/chart", (route) => (refused < least ? (refused++, route.fulfill(busy)) : route.continue()));
    await makes(other, "stop", () => other.click('[data-key="start"]'));
    await other.waitForSelector('[data-key="start"]');
    same("a busy server is asked until it takes the chart", `${refused} ${await other.locator(".chart .failure").count()}`, "2 0");
    same("which is the same", await cells(other), moved);
    least = Infinity;
    await makes(other, "stop", () => other.click('[data-key="start"]'));
    for (const had = refused; refused === had;) await other.waitForTimeout(5); // the next one would be a quarter of a second later
    await other.evaluate(() => /** @type {HTMLElement} */ (document.querySelector('[data-key="stop"]')).click());
    const so = refused;
    same("a hand can stop it", await other.locator(".chart .failure").textContent(), "Stopped.");
    await other.waitForTimeout(600);
    same("and then no more is asked", refused, so);
    await other.unroute("**/api/chart");
    await other.click("#tab-drive");
    const before_ = /** @type {any} */ (other).asked;
    await other.focus(".handle[data-pulley='5']");
    await other.keyboard.press("ArrowLeft");
    await atRest(other);
    await other.waitForTimeout(300);
    same("no chart is asked for that nobody sees", /** @type {any} */ (other).asked, before_);
  }
  await other.close();
}

// ---- a map beside the file may be another by now ------------------------------------------------------------------------------------

{
  const other = await opened(), blown = "sedgemere-centrifugal.yaml", map = join(folder, "maps/sedgemere-centrifugal.csv");
  await openFile(other, blown);
  await other.click("#tab-chart");
  /** Grips of the cells, which are of the first variant, and of the server’s chart now. */
  const both = async () => {
    await makes(other, "stop", () => other.click('[data-key="start"]'));
    await other.waitForSelector('.chart[aria-busy="false"] .cell');
    const {builds} = await charted(ask, blown, readFileSync(join(folder, blown), "utf8"), {builds_only: true});
    return [(await other.locator(".chart .cell .numbers").allTextContents()).map((words) => /grip (.*)/.exec(words)?.[1]).filter(Boolean).sort().join(), builds.filter((build) => build.designation && build.variant === builds[0].variant).map((build) => build.grip_used.toFixed(2)).sort().join()];
  };
  const [ours, theirs] = await both();
  same("a chart with a map is the server's", ours, theirs);
  writeFileSync(map, readFileSync(map, "utf8").replace(/,(0\.\d+)$/gm, (_, efficiency) => `,${(Number(efficiency) - 0.05).toFixed(3)}`));
  const [ours_, theirs_] = await both();
  check("another map gives another chart", theirs_ !== theirs);
  same("and the page's is that one, with nothing else changed", ours_, theirs_);
  same("made in the page", /** @type {any} */ (other).asked, 0);
  await other.close();
}

// ---- with no server at all --------------------------------------------------------------------------------------------------------

await killServer();
await page.waitForFunction(() => document.getElementById("server").className === "lost", null, {timeout: 15000});
await page.focus(".handle[data-pulley='5']");
await makes(page, "old", () => page.keyboard.press("ArrowRight"));
await followed(page);
same("it follows when the server is gone", await cells(page), last);

await browser.close();
await tidyUp();
process.exitCode = sum();
