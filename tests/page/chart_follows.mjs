// The chart of the page follows the drive while it is shown, and is the program's without the fewest belts. Last line:
// `N passed, N failed`.
import {readFileSync} from "node:fs";
import {browse, check, kit, same, serve, sum, tidyUp} from "./bench.mjs";
import {asker, charted, judged as atRest, watched} from "./pages.mjs";

const server = await serve(0), {address} = server;
const browser = await browse();

// ---- a chart asked for its builds only is the same without the fewest belts -------------------------------------------------

const ask = asker(server), text = readFileSync(kit, "utf8");
const whole = await charted(ask, "sedgemere.yaml", text, {}), only = await charted(ask, "sedgemere.yaml", text, {builds_only: true});
const {fewest_belts: fewest, ...rest} = whole;
check("the fewest belts are found", fewest?.belts.length > 0, fewest);
same("and left out", "fewest_belts" in only, false);
same("all else is the same", JSON.stringify(only), JSON.stringify(rest));

// ---- it follows ------------------------------------------------------------------------------------------------------------

const page = await watched(browser, {}, 30000), settled = () => atRest(page);
await page.goto(address);
await page.waitForSelector(".handle[data-pulley='5']");
await settled();
await page.click("#tab-chart");
await page.click('[data-key="start"]');
await page.waitForSelector(".chart:not(.old) .cell");
// a move while one runs: it starts anew, and the cells that stand are not taken for the new ones
await page.focus(".handle[data-pulley='5']");
await page.keyboard.press("ArrowRight");
await page.waitForSelector(".chart.old .cell");
await page.keyboard.press("ArrowRight");
await page.waitForSelector(".chart:not(.old) .cell");
same("nothing is left running", await page.locator('[data-key="stop"]').count(), 0);
same("nor said to be old", await page.locator("#panel-chart .stale-note").count(), 0);
const asked = [];
page.on("request", (request) => { if (request.method() === "POST" && request.url().endsWith("/api/chart")) asked.push(1); });
await page.click("#tab-drive");
await page.focus(".handle[data-pulley='5']");
await page.keyboard.press("ArrowLeft");
await settled();
await page.waitForTimeout(300);
same("no chart is calculated that nobody sees", asked.length, 0);
await Promise.all([page.waitForRequest((request) => request.url().endsWith("/api/chart")), page.click("#tab-chart")]);
await page.waitForSelector(".chart:not(.old) .cell");
same("but when it is shown again", asked.length, 1);

await browser.close();
await tidyUp();
process.exitCode = sum();
