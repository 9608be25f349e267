// The chart of the page follows the drive while it is shown, and is the program's without the fewest belts. Last line:
// `N passed, N failed`.
import {readFileSync} from "node:fs";
import {browse, check, kit, same, serve, sum, tidyUp} from "./bench.mjs";

const {address, port} = await serve(0);
const browser = await browse();

// ---- a chart asked for its builds only is the same without the fewest belts -------------------------------------------------

const key = /key=([^&]+)/.exec(address)?.[1], text = readFileSync(kit, "utf8");
/** @returns {Promise<any>} */
async function api(method, path, body) {
  const answer = await fetch(`http://127.0.0.1:${port}${path}`, {method, headers: {Authorization: `Bearer ${key}`, "Content-Type": "application/json"}, body: body && JSON.stringify(body)});
  return answer.json();
}
async function charted(more) {
  const {job} = await api("POST", "/api/chart", {file: "sedgemere.yaml", text, changes: [], ...more});
  for (;;) {
    const look = await api("GET", `/api/job?id=${job}`);
    if (look.state !== "running") return look.result;
    await new Promise((done) => setTimeout(done, 5));
  }
}
const whole = await charted({}), only = await charted({builds_only: true});
const {fewest_belts: fewest, ...rest} = whole;
check("the fewest belts are found", fewest?.belts.length > 0, fewest);
same("and left out", "fewest_belts" in only, false);
same("all else is the same", JSON.stringify(only), JSON.stringify(rest));

// ---- it follows ------------------------------------------------------------------------------------------------------------

const page = await (await browser.newContext({viewport: {width: 1280, height: 720}})).newPage();
page.setDefaultTimeout(30000);
page.on("pageerror", (error) => check("no error in the page", false, error.stack));
const settled = () => page.waitForFunction(() => document.body.dataset.rest === "true", null, {timeout: 20000});
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
