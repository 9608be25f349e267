// What the page is sent when it opens, and the parts that come when they are first wanted: also where the server is lost just then.
// Last line: `N passed, N failed`.
import {existsSync} from "node:fs";
import {browse, check, killServer, same, serve, sum, tidyUp} from "./bench.mjs";
import {axe, judged, shooter, watched} from "./pages.mjs";

const packers = ["zopfli", "wasm-opt"].every((name) => existsSync(`/usr/bin/${name}`)); // they can be missing where the page is built
const MOST = packers ? 250000 : 290000; // bytes, before the page answers by itself
const first = await serve(0);
const browser = await browse(), shoot = shooter(process.env.SNUB_PARTS_PICTURES);
const page = await watched(browser, {}, 20000);
const sent = new Map();
page.on("requestfinished", (request) => void request.sizes().then((size) => { const path = new URL(request.url()).pathname; if (!path.startsWith("/api/")) sent.set(path, size.responseBodySize); }, () => undefined)); // a browser that is closed has no answer
const names = () => [...sent.keys()].map((path) => path.replace(/-[A-Z0-9]{8}\./, "."));
await page.goto(first.address);
await page.waitForSelector(".handle[data-pulley='2']");
await page.waitForFunction(() => document.body.dataset.core === "here");
await judged(page);
await page.waitForTimeout(300);
const bytes = [...sent.values()].reduce((a, b) => a + b, 0);
check("what is sent when the page opens", bytes > 100000 && bytes < MOST, Object.fromEntries(sent), MOST);
same("and what that is", names().sort().join(" "), "/ /chunk.js /core.wasm /mark.svg /page.js /style.css");
console.log(`sent when the page opens: ${(bytes / 1000).toFixed(1)} kB`);

// ---- each part comes once, when it is wanted -------------------------------------------------------------------------------

for (const [tab, part, there] of [["entries", "/entries.js", "[data-section]"], ["hardware", "/hardware.js", "table.hardware"], ["search", "/study.js", "#search-what"], ["papers", "/files.js", "[data-key^='paper-']"], ["chart", "/chart.js", ".cell"], ["curves", "/curves.js", "canvas"]]) {
  check(`${tab}: not sent before`, !names().includes(part), names());
  await page.click(`#tab-${tab}`);
  if (tab === "chart") await page.click("#panel-chart [data-key='start']");
  await page.waitForSelector(`#panel-${tab} ${there}`);
  same(`${tab}: sent`, names().filter((name) => name === part).length, 1);
}
check("chart and curves bring their core", names().includes("/charts.wasm"), names());
await page.click("#view-side");
await page.waitForSelector("body[data-view='side'] #side .handle");
await page.click("#measure");
await page.waitForSelector("#ruler select");
await page.click("#measure");
await page.click("#view-side");
await page.click("#legend-open");
await page.waitForSelector("#legend li");
await page.click("#legend-open");
check("view from the side, distance and legend are parts as well", ["/side-view.js", "/distance.js", "/legend.js"].every((name) => names().includes(name)), names());

// ---- the server is lost before a part was wanted ----------------------------------------------------------------------------

await killServer();
await page.waitForFunction(() => document.querySelector("#server").className === "lost");
const photo = () => page.locator("#panel-photo").textContent();
await page.click("#tab-photo");
await page.waitForFunction(() => /does not answer/.test(document.querySelector("#panel-photo").textContent));
check("it says why the panel is empty", /^Photo is sent when it is first opened, and snub’s server does not answer\. It opens as soon as the server is back\.$/.test(await photo()), await photo());
await axe(page, "a part that is not there");
await shoot(page, "part-lost");
await page.click("#tab-hardware");
await page.waitForSelector("#panel-hardware table.hardware");
check("what was opened before works on", true);
await page.click("#tab-photo");
await page.waitForTimeout(100);
check("and the empty one still says why", /does not answer/.test(await photo()), await photo());
const again = await serve(first.port);
await page.evaluate((key) => { location.hash = `#key=${key}`; }, /key=([^&]+)/.exec(again.address)[1]);
await page.waitForSelector("#panel-photo input[type='file']");
check("it opens by itself when the server is back", !/does not answer/.test(await photo()), await photo());
same("once", await page.locator("#panel-photo input[type='file']").count(), 1);

await browser.close();
await killServer("SIGTERM");
await tidyUp();
process.exit(sum());
