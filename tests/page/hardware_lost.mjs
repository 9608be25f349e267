// Hardware where the server dies right after a file was opened, before the page could calculate by itself. Last line: `N passed, N failed`.
import {browse, check, killServer, same, serve, sum, tidyUp} from "./bench.mjs";
import {axe, judged, openFile, shooter, watched} from "./pages.mjs";

const first = await serve(0);
const browser = await browse();
const page = await watched(browser, {}, 20000), said = () => page.locator("#panel-hardware").textContent();
const shoot = shooter(process.env.SNUB_HARDWARE_PICTURES);
await page.route("**/api/snapshot", (route) => new Promise((done) => setTimeout(done, 60000)).then(() => route.abort()).catch(() => undefined)); // it does not come in time
await page.goto(first.address);
await page.waitForSelector(".handle[data-pulley='2']");
await judged(page);
await openFile(page, "ironbrook-v8.yaml");
await killServer();
await page.click("#tab-hardware");
await page.waitForFunction(() => document.querySelector("#server").className === "lost");
await page.waitForFunction(() => !/Checking/.test(document.querySelector("#panel-hardware").textContent)).catch(() => undefined);
check("it says why there is no answer", /server does not answer.* as soon as the server is back/.test(await said()), await said());
await page.click("#tab-drive");
await page.click("#tab-hardware");
await page.waitForTimeout(300);
check("also when it is opened after that", /server does not answer/.test(await said()), await said());
await axe(page, "lost");
await shoot(page, "lost");
await page.unroute("**/api/snapshot");
const again = await serve(first.port);
await page.evaluate((key) => { location.hash = `#key=${key}`; }, /key=([^&]+)/.exec(again.address)[1]);
await page.waitForFunction(() => document.querySelector("#server").className === "there");
await page.waitForSelector("#panel-hardware table.hardware").catch(() => undefined);
same("answered when it is back", await page.locator("#panel-hardware table.hardware").count() > 0, true);
same("of the file that is open", await page.locator("#panel-hardware caption").first().textContent(), "Bolts of idler plate");
// a file with errors
await page.click("#tab-text");
await page.waitForFunction(() => /** @type {HTMLTextAreaElement} */ (document.querySelector("#panel-text textarea")).value.length > 100);
const type = (was, is) => page.evaluate(([a, b]) => { const area = /** @type {HTMLTextAreaElement} */ (document.querySelector("#panel-text textarea")); area.value = area.value.replace(a, b); area.dispatchEvent(new Event("input", {bubbles: true})); }, [was, is]);
await type("ribs: 8", "ribs: eight");
await page.waitForSelector("#bar-errors");
const opened = await page.evaluate(() => { /** @type {HTMLElement} */ (document.querySelector("#tab-hardware")).click(); return document.querySelector("#panel-hardware").textContent; });
check("with errors in the file that is the reason, from the click on", /^The file has errors/.test(opened), opened);
// the errors come in after it was opened
await page.click("#tab-text");
await type("ribs: eight", "ribs: 8");
await page.waitForSelector("#bar-errors", {state: "detached"});
await judged(page);
const held = [];
await page.route("**/api/lay", (route) => { held.push(route); });
await type("ribs: 8", "ribs: nine");
while (!held.length) await page.waitForTimeout(20);
await page.click("#tab-hardware");
check("while nothing is known it is being checked", /^Checking/.test(await said()), await said());
for (let route; (route = held.shift());) await route.continue();
await page.unroute("**/api/lay");
await page.waitForSelector("#bar-errors");
await page.waitForFunction(() => !/Checking/.test(document.querySelector("#panel-hardware").textContent)).catch(() => undefined);
check("errors that come in later are the reason as well", /^The file has errors/.test(await said()), await said());

await browser.close();
await killServer("SIGTERM");
await tidyUp();
process.exit(sum());
