// Tabs of one file: each keeps its own unsaved work, whatever the other does. Last line: `N passed, N failed`.
import {readFileSync, writeFileSync} from "node:fs";
import {browse, check, killServer, kit, same, save, serve, sum, tidyUp} from "./bench.mjs";

const original = readFileSync(kit, "utf8");
const {address, port} = await serve(0);
const browser = await browse();

async function newContext() {
  const made = await browser.newContext({viewport: {width: 1400, height: 900}});
  made.setDefaultTimeout(15000);
  return made;
}
async function openTab(context, from = address) {
  const page = await context.newPage();
  page.on("pageerror", (error) => check("no error in the page", false, error.stack));
  await page.goto(from);
  await page.waitForSelector(".handle[data-pulley='4']");
  return page;
}
/** Change a number of the file by typing into its text. */
async function type(page, from, to) {
  await page.bringToFront(); // a tab behind another is drawn seldom, and a click waits until it is
  await page.evaluate(() => /** @type {HTMLElement} */ (document.querySelector("#tab-text")).click());
  await page.waitForFunction(() => document.querySelector("textarea").value.length > 100);
  await page.evaluate(([a, b]) => {
    const area = document.querySelector("textarea");
    if (!area.value.includes(a)) throw new Error(`no ${a}`);
    area.value = area.value.replace(a, b);
    area.dispatchEvent(new Event("input", {bubbles: true}));
  }, [from, to]);
  await page.waitForFunction(() => document.querySelector("#save").getAttribute("aria-disabled") === "false");
}
const words = async (page) => { await page.evaluate(() => /** @type {HTMLElement} */ (document.querySelector("#tab-text")).click()); await page.waitForFunction(() => document.querySelector("textarea").value.length > 100); return page.evaluate(() => document.querySelector("textarea").value); };
const idOf = (page) => page.evaluate(() => sessionStorage.getItem("snub:tab"));
const kept = (page) => page.evaluate(() => Object.keys(localStorage).filter((key) => key.startsWith("snub:work:")));
const saved = (page) => page.waitForFunction(() => document.querySelector("#save").textContent === "Saved");
const left = (page) => page.locator("[id^=bar-left-]");
async function again(page) { await page.reload(); await page.waitForSelector(".handle[data-pulley='4']"); }

// ---- unsaved in both, saved in one, the other loaded anew -----------------------------------------------------------

const context = await newContext();
const one = await openTab(context), two = await openTab(context);
check("two tabs have two names", (await idOf(one)) !== (await idOf(two)) && (await idOf(one)).length === 16);
await type(one, "ribs: 7", "ribs: 8 # by one");
await type(two, "redline: 5700 rpm", "redline: 5800 rpm");
same("each keeps its own", (await kept(one)).length, 2);
await save(one);
await saved(one);
check("only the first is saved", readFileSync(kit, "utf8").includes("by one") && readFileSync(kit, "utf8").includes("redline: 5700"));
check("the second's work is there still", (await kept(one)).length === 1 && (await kept(one))[0].includes(await idOf(two)), await kept(one));
await two.waitForSelector("#bar-disk", {timeout: 9000});
check("the second is told, and its work is not touched", (await words(two)).includes("redline: 5800") && !(await words(two)).includes("by one"));
const name = await idOf(two);
await again(two);
same("loaded anew it is the same tab", await idOf(two), name);
await two.waitForSelector("#bar-kept");
check("with its work", (await words(two)).includes("redline: 5800"));
same("and nothing of another to take", await left(two).count(), 0);
await save(two);
await saved(two);
check("both are in the file", readFileSync(kit, "utf8") === original.replace("ribs: 7", "ribs: 8 # by one").replace("redline: 5700", "redline: 5800"), readFileSync(kit, "utf8"));
check("what came from the other is named", /belt\.ribs/.test(await two.locator("#bar-taken").textContent()), await two.locator("#bar-taken").textContent());
same("nothing is kept any more", (await kept(one)).length, 0);
await one.waitForFunction(() => document.querySelector("#server").className === "there");
await one.waitForFunction(() => document.querySelector("textarea").value.includes("redline: 5800"), null, {timeout: 9000});
check("a tab without work reads the other's save", true);

// ---- back to before a save that brought another's words in ----------------------------------------------------------

await type(two, "redline: 5800", "redline: 5900");
writeFileSync(kit, readFileSync(kit, "utf8").replace("idle: 640", "idle: 645"));
await save(two);
await saved(two);
check("both are written", readFileSync(kit, "utf8").includes("redline: 5900") && readFileSync(kit, "utf8").includes("idle: 645"));
await two.click("#undo");
await save(two);
await saved(two);
check("going back takes one's own change out, and not the other's", readFileSync(kit, "utf8").includes("redline: 5800") && readFileSync(kit, "utf8").includes("idle: 645"), readFileSync(kit, "utf8"));

// ---- typing goes on while a save brings another's words in ----------------------------------------------------------

await type(two, "accel_rate: 1350", "accel_rate: 1360");
writeFileSync(kit, readFileSync(kit, "utf8").replace("idle: 645", "idle: 650"));
await two.route("**/api/save", async (route) => { await new Promise((ok) => setTimeout(ok, 400)); await route.continue().catch(() => undefined); }); // one that waits while the route is taken away goes on by itself
await save(two);
await type(two, "decel_rate: 7600", "decel_rate: 7700");
await two.waitForSelector("#bar-taken >> text=engine.idle");
await two.unroute("**/api/save");
check("what was typed meanwhile is there", (await words(two)).includes("decel_rate: 7700"));
await two.waitForTimeout(500);
await save(two);
await saved(two);
const all = readFileSync(kit, "utf8");
check("and nothing of the three is lost", all.includes("accel_rate: 1360") && all.includes("decel_rate: 7700") && all.includes("idle: 650"), all.slice(700, 1300));

// ---- crash, close, duplicate ----------------------------------------------------------------------------------------

await type(one, "cylinders: 6", "cylinders: 8");
await type(two, "compression: 9.6", "compression: 9.9");
const crashed = await idOf(two);
void (await context.newCDPSession(two)).send("Page.crash").catch(() => undefined); // nobody is there to answer
await new Promise((ok) => setTimeout(ok, 500));
void two.close().catch(() => undefined);
const three = await openTab(context);
await left(three).first().waitFor();
check("a crashed tab's work is offered, a living one's is not", (await left(three).count()) === 1 && (await idOf(three)) !== crashed);
check("but not taken by itself", !(await words(three)).includes("compression: 9.9"));
await left(three).locator("text=Take it").click();
check("taken, it is there", (await words(three)).includes("compression: 9.9"));
same("and nothing is left to offer", await left(three).count(), 0);
const third = await idOf(three);
check("it is this tab's now", (await kept(three)).length === 2 && (await kept(three)).some((key) => key.includes(third)), await kept(three));
await again(three);
check("and outlives a reload", (await words(three)).includes("compression: 9.9"));
await three.close();
const four = await openTab(context);
await left(four).first().waitFor();
await left(four).locator("text=Drop it").click();
await again(four);
same("dropped, it is gone", await left(four).count(), 0);
check("the living tab's work is still its own", (await words(one)).includes("cylinders: 8") && (await kept(one)).length === 1, await kept(one));
const copy = await context.newPage();
await copy.goto(`http://127.0.0.1:${port}/mark.svg`);
await copy.evaluate((id) => sessionStorage.setItem("snub:tab", id), await idOf(one)); // as a duplicated tab begins
await copy.goto(address);
await copy.waitForSelector(".handle[data-pulley='4']");
check("a duplicated tab gets a name of its own", (await idOf(copy)) !== (await idOf(one)));
check("and does not take the other's work", !(await words(copy)).includes("cylinders: 8") && (await left(copy).count()) === 0);
await type(copy, "pressure_drop: 5 kPa", "pressure_drop: 6 kPa");
same("each of them keeps its own", (await kept(one)).length, 2);
await context.close();

// ---- where the browser has no locks (another machine's page) --------------------------------------------------------

writeFileSync(kit, original);
const plain = await newContext();
await plain.addInitScript(() => Object.defineProperty(navigator, "locks", {value: undefined}));
const five = await openTab(plain), six = await openTab(plain);
await type(five, "ribs: 7", "ribs: 9");
await type(six, "cylinders: 6", "cylinders: 4");
const fifth = await idOf(five);
await again(five);
check("no locks: the same tab with its work", (await idOf(five)) === fifth && (await words(five)).includes("ribs: 9"));
same("no locks: a living tab's work is not offered", await left(five).count(), 0);
const twin = await plain.newPage();
await twin.goto(`http://127.0.0.1:${port}/mark.svg`);
await twin.evaluate((id) => sessionStorage.setItem("snub:tab", id), fifth);
await twin.goto(address);
await twin.waitForSelector(".handle[data-pulley='4']");
check("no locks: a duplicated tab gets a name of its own", (await idOf(twin)) !== fifth);
await six.close({runBeforeUnload: false});
await twin.evaluate(() => { for (const key of Object.keys(localStorage)) if (key.startsWith("snub:tab:") && !key.includes(sessionStorage.getItem("snub:tab"))) { const beat = JSON.parse(localStorage.getItem(key)); localStorage.setItem(key, JSON.stringify({...beat, at: beat.at - 100000})); } });
await again(twin);
await left(twin).first().waitFor();
check("no locks: a tab that has not been heard of is gone", (await left(twin).allTextContents()).length >= 1);
await plain.close();

await browser.close();
await killServer("SIGTERM");
await tidyUp();
process.exit(sum());
