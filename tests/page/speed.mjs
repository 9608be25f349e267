// How fast the page is, for `make bench`: what is sent, first paint, a chart of 28 builds, pointer to painted frame; each beside its
// goal. The machine decides the times, so that only what it cannot spoil is judged. Last line: `N passed, N failed`.
import {readFileSync} from "node:fs";
import {browse, check, kit, same, serve, sum, tidyUp} from "./bench.mjs";
import {asker, charted, judged as atRest, watched} from "./pages.mjs";

const server = await serve(0), {address, port} = server;
const browser = await browse();
const middle = (list) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];
const share = (list, part) => [...list].sort((a, b) => a - b)[Math.floor(list.length * part)];
const line = (what, got, goal) => console.log(`page: ${what.padEnd(58)} ${got} (goal: ${goal})`);

// ---- what is sent ----------------------------------------------------------------------------------------------------------

const sizes = {};
const inPage = [...(await (await fetch(`http://127.0.0.1:${port}/page.js`)).text()).matchAll(/\.(\/[\w-]+-[A-Z0-9]{8}\.js)"/g)].map((found) => found[1]), shared = inPage.find((name) => name.startsWith("/chunk-")) ?? "/chunk.js";
const first = ["/", "/page.js", shared, "/style.css", "/mark.svg", "/core.wasm"], later = [...new Set(inPage.filter((name) => name !== shared)), "/later.css", "/plot.js", "/chart-worker.js", "/charts.wasm"];
for (const path of [...first, ...later]) {
  const answer = await fetch(`http://127.0.0.1:${port}${path}`, {headers: {"Accept-Encoding": "gzip"}});
  await answer.arrayBuffer();
  same(`${path} is there`, answer.status, 200);
  same(`${path} is sent packed`, answer.headers.get("content-encoding"), "gzip");
  sizes[path] = Number(answer.headers.get("content-length"));
  const again = await fetch(`http://127.0.0.1:${port}${path}`, {headers: {"If-None-Match": answer.headers.get("etag") ?? "none"}});
  same(`${path} is not sent twice`, again.status, 304);
}
const kB = (bytes) => (bytes / 1000).toFixed(0);
const all = (paths) => kB(paths.reduce((sum_, path) => sum_ + sizes[path], 0));
line("sent: page and core, gzipped", `${all(first)} kB, ${all(later)} more with all that comes later: core ${kB(sizes["/core.wasm"])}, script ${kB(sizes["/page.js"] + sizes[shared])}, the rest ${kB(sizes["/"] + sizes["/style.css"] + sizes["/mark.svg"])}`, "250 kB");

// ---- first paint -----------------------------------------------------------------------------------------------------------

const paints = [], drawn = [];
for (let i = 0; i < 11; i++) {
  const context = await browser.newContext({viewport: {width: 1280, height: 720}}), page = await context.newPage();
  await page.addInitScript(() => {
    new MutationObserver((_, all) => { if (document.querySelector(".handle")) { performance.mark("drawing"); all.disconnect(); } }).observe(document, {childList: true, subtree: true});
  });
  await page.goto(address);
  await page.waitForSelector(".handle");
  const [paint, drawing] = await page.evaluate(() => [performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? NaN, performance.getEntriesByName("drawing")[0].startTime]);
  if (i > 0) { paints.push(paint); drawn.push(drawing); } // the first one warms up
  await context.close();
}
check("every page was painted", paints.every((ms) => ms > 0), paints);
line("first paint after navigation, median of 10", `${middle(paints).toFixed(0)} ms; drive drawn after ${middle(drawn).toFixed(0)} ms`, "300 ms");

// ---- the server's chart, for its builds only and with the fewest belts -----------------------------------------------------

const ask = asker(server), text = readFileSync(kit, "utf8");
async function timed(more) { const began = performance.now(), result = await charted(ask, "sedgemere.yaml", text, more); return {ms: performance.now() - began, result}; }
const whole = [], only = [];
for (let i = 0; i < 3; i++) {
  whole.push(await timed({}));
  only.push(await timed({builds_only: true}));
}
line("the server's chart: its builds only, and with the fewest belts", `${middle(only.map((one) => one.ms)).toFixed(0)} ms, ${middle(whole.map((one) => one.ms)).toFixed(0)} ms`, "less than with them");

// ---- a chart ---------------------------------------------------------------------------------------------------------------

const page = await watched(browser, {}, 30000), settled = () => atRest(page);
await page.goto(address);
await page.waitForSelector(".handle[data-pulley='5']");
await settled();
await page.click("#tab-chart");
await page.waitForSelector('[data-key="start"]');
const times = [];
let builds = 0;
for (let i = 0; i < 6; i++) {
  await page.evaluate(() => performance.clearMeasures("snub-chart"));
  await page.click('[data-key="start"]');
  await page.waitForFunction(() => performance.getEntriesByName("snub-chart").length === 1);
  const [ms, count] = await page.evaluate(() => [performance.getEntriesByName("snub-chart")[0].duration, Number(/^[0-9]+/.exec(document.querySelector("#panel-chart .sum")?.textContent ?? "")?.[0])]);
  if (i > 0) times.push(ms);
  builds = count;
}
same("the example's builds", builds, 28);
line(`chart of ${builds} builds, made in the page, click to cells, median of 5`, `${middle(times).toFixed(0)} ms; of 36 builds ${(middle(times) * 36 / builds).toFixed(0)} ms`, "36 builds in 300 ms");

await page.click("#tab-drive");
await settled();

// ---- pointer to painted frame ----------------------------------------------------------------------------------------------

/** 95th of the moves of a hand: until the frame that shows it is committed, and until that frame began. */
async function dragged(of, x, y) {
  await of.evaluate(() => {
    const kept = /** @type {any} */ (window).kept = {all: [], waits: []};
    addEventListener("pointermove", (event) => {
      const waited = performance.now() - event.timeStamp;
      requestAnimationFrame(() => {
        const after = new MessageChannel(); // its message comes once the frame is committed
        after.port1.onmessage = () => { kept.all.push(performance.now() - event.timeStamp); kept.waits.push(waited); };
        after.port2.postMessage(0);
      });
    }, {capture: true, signal: (/** @type {any} */ (window).ending = new AbortController()).signal});
  });
  await of.mouse.move(x, y);
  await of.mouse.down();
  for (let i = 0; i < 90; i++) { await of.mouse.move(x + Math.sin(i / 9) * 14, y + Math.cos(i / 7) * 10); await of.waitForTimeout(14); }
  await of.mouse.up();
  const {all: spans, waits} = await of.evaluate(() => { /** @type {any} */ (window).ending.abort(); return /** @type {any} */ (window).kept; });
  return {all: share(spans, 0.95), waits: share(waits, 0.95), own: share(spans.map((ms, i) => ms - waits[i]), 0.5)};
}
// Beside it what this browser needs for the least that a page can do: one box that follows the pointer.
const bare = await browser.newPage({viewport: {width: 1280, height: 720}});
await bare.setContent('<div style="position: absolute; width: 40px; height: 40px; background: red"></div>');
await bare.evaluate(() => { const box = document.querySelector("div"); addEventListener("pointermove", (event) => { box.style.left = `${event.clientX}px`; box.style.top = `${event.clientY}px`; }); });
const moves = [], floor = [];
for (let run = 0; run < 5; run++) {
  await bare.bringToFront();
  floor.push(await dragged(bare, 300, 300));
  await page.bringToFront();
  const box = await page.locator(".handle[data-pulley='5'] .hit").boundingBox();
  moves.push(await dragged(page, box.x + box.width / 2, box.y + box.height / 2));
  await page.click("#undo");
  await settled();
}
const of = (list, what) => middle(list.map((one) => one[what])).toFixed(1);
line("pointer to committed frame, 95th of 90 moves, median of 5 runs", `${of(moves, "all")} ms, of which ${of(moves, "waits")} until the frame begins; in it ${of(moves, "own")}, median of moves`, "16 ms, or 1 ms over an empty page");
line("the same of an empty page with one box, in turn with it", `${of(floor, "all")} ms, of which ${of(floor, "waits")} until the frame begins; in it ${of(floor, "own")}`, "none: 60 frames a second let a move wait up to 16.7 ms");

await browser.close();
await tidyUp();
process.exitCode = sum();
