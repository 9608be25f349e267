// A data log on the page: dropped or chosen, the numbers of `snub log --json`, curves, slips that can be clicked, the speed of the drawing.
// Last line: `N passed, N failed`.
import {readdirSync, readFileSync, writeFileSync} from "node:fs";
import {join} from "node:path";
import {gzipSync} from "node:zlib";
import {browse, check, command, folder, kit, same as equal, serve, sum, tidyUp} from "./bench.mjs";
import {asker, axe, judged, openFile, settled, shooter, watched} from "./pages.mjs";

const same = (name, got, want) => equal(name, JSON.stringify(got), JSON.stringify(want));
const original = readFileSync(kit, "utf8"), pull = join(folder, "logs", "sedgemere-pull.csv"), rows = readFileSync(pull, "utf8");
const small = join(folder, "small.yaml");
writeFileSync(small, original.replace("diameter: {value: 88, over: outside}", "diameter: {value: 70, over: outside}"));
const server = await serve(0), ask = asker(server), browser = await browse();
const shoot = shooter(process.env.SNUB_LOG_PICTURES), before = readdirSync(folder).sort();
const base64 = (text) => Buffer.from(text).toString("base64");
const log = (data, more = {}) => ({name: "sedgemere-pull.csv", data: base64(data), ...more});

// ---- the server answers as the command does ---------------------------------------------------------------------------------

const put = (file, text, changes, of) => ask("POST", "/api/log", {file, text, changes, log: of});
const own = command("log", pull, small, "--json");
same("the command's own numbers", (await put("small.yaml", readFileSync(small, "utf8"), [], log(rows))).log, own);
const set = await put("sedgemere.yaml", original, [{path: "blower.diameter", value: 70}], log(gzipSync(rows)));
same("of a change that is not saved, packed", set.log.slips, command("log", pull, kit, "--set", "blower.diameter=70", "--json").slips);
same("by boost", (await put("small.yaml", readFileSync(small, "utf8"), [], log(rows, {by: "boost"}))).log, command("log", pull, small, "--by", "boost", "--json"));
same("columns, units and a rate", (await put("small.yaml", readFileSync(small, "utf8"), [], log(rows.replace("time [s],engine speed [rpm]", "x,y"), {rate: 50, column: {engine: "Y"}, unit: {engine: "rpm"}}))).log.slips.length, 3);
const curves = set.curves;
same("as many values as times", [...new Set(curves.series.flatMap((one) => [one.low.length, one.high.length]))], [curves.time_s.length]);
same("what is drawn", curves.series.map((one) => `${one.kind}: ${one.name}`), ["speed: engine", "speed: blower", "speed: blower without slip", "slip: belt slip", "boost: boost", "boost: boost without slip, throttle open"]);
const spread = curves.series.flatMap((one) => one.low.map((low, i) => (low === null ? 0 : one.high[i] - low)));
check("low is under high", Math.min(...spread) === 0 && Math.max(...spread) > 5, [Math.min(...spread), Math.max(...spread)]);
check("the greatest engine speed of the log", Math.abs(Math.max(...curves.series[0].high) - Math.max(...rows.split("\n").slice(2).map((line) => Number(line.split(",")[1]) || 0))) < 30, Math.max(...curves.series[0].high));
for (const [what, status, of] of [["no base64", 400, {name: "x", data: "a?b="}], ["half a group", 400, {name: "x", data: "abc"}], ["no data", 400, {name: "x"}], ["an unknown word", 400, log(rows, {column: {rpm: "1"}})], ["an unknown source", 400, log(rows, {by: "ear"})], ["pulses without ripple", 400, log(rows, {pulses: 4})], ["ripple without pulses", 400, log(rows, {by: "ripple"})], ["too slow for ripple", 422, log(rows, {by: "ripple", pulses: 4})], ["a rate of 0", 400, log(rows, {rate: 0})],
  ["no log", 422, log("nothing\nhere\n")], ["an empty one", 422, log("")], ["too short", 422, log(rows.slice(0, 600))], ["no gzip", 422, log(Buffer.from([31, 139, 8, 0, 0]))]]) {
  const answer = await put("small.yaml", readFileSync(small, "utf8"), [], of);
  same(`${what} is refused`, answer.status, status);
}
const long = `time,rpm,blower\n${"1,1000,2000\n".repeat(5000100)}`, refused = await put("small.yaml", readFileSync(small, "utf8"), [], log(gzipSync(long)));
same("too many lines", [refused.status, /command line/.test(refused.errors[0].message)], [413, true]);
same("a drive without a blower", (await put("three.yaml", readFileSync(join(folder, "three-pulleys.yaml"), "utf8"), [], log(rows))).status, 422);
same("nothing is kept in the folder", readdirSync(folder).sort(), before);

// ---- the page -----------------------------------------------------------------------------------------------------------------

const page = await watched(browser), asked = [];
page.on("request", (request) => asked.push(new URL(request.url()).pathname));
await page.goto(server.address);
await page.waitForSelector(".handle[data-pulley='2']");
await judged(page);
await openFile(page, "small.yaml");
check("the part for logs is not loaded before it is used", !asked.includes("/log.js"));
await page.click("#tab-log");
await page.setInputFiles("#panel-log input[type=file]", pull);
const buttons = page.locator("#panel-log table button[data-key^=slip]");
await buttons.first().waitFor();
check("it is loaded now", asked.includes("/log.js"));
const cells = () => page.evaluate(() => [...document.querySelectorAll("#panel-log .scroll[aria-label='Slips in the log'] tbody tr")].map((row) => [...row.children].map((cell) => cell.textContent)));
const row = (s) => [`${s.start_s.toFixed(2)}–${s.end_s.toFixed(2)}`, `${s.start_rpm.toFixed(0)}–${s.end_rpm.toFixed(0)}`, `${s.mean_pct.toFixed(1)} ± ${s.mean_error_pct.toFixed(1)}`, s.worst_pct.toFixed(1), s.heat_J.toFixed(0), s.likely_pulley];
same("the numbers of the command", (await cells()).map((one) => one.slice(0, 6)), own.slips.map(row));
same("its sentences", await page.locator(".log-words .hint").allTextContents(), own.words);
same("its verdict", await page.locator(".log-verdict").textContent(), "Log: fail. Slips: 3.");
same("three plots", await page.locator("#panel-log .uplot").count(), 3);
await axe(page, "a log");
await shoot(page, "log");

// a slip: its words, the speed of the drawing, and only its time in the plots
await buttons.nth(1).click();
await settled(page);
same("the speed of its worst", await page.inputValue("#rpm"), own.slips[1].worst_rpm.toFixed(0));
same("its words", await page.locator(".log-detail").textContent(), own.slips[1].text);
same("it is pressed", await buttons.nth(1).getAttribute("aria-pressed"), "true");
await shoot(page, "log-slip");
await axe(page, "a slip");
const over = await page.locator("#panel-log .u-over").first().boundingBox();
await page.locator("#panel-log .u-over").first().scrollIntoViewIfNeeded();
const place = await page.locator("#panel-log .u-over").first().boundingBox();
await page.mouse.move(place.x + place.width / 2, place.y + place.height / 2);
await page.waitForFunction(() => document.querySelector(".log-cursor").textContent !== "");
const under = await page.locator(".log-cursor").textContent(), at = Number(/^[\d.]+/.exec(under)[0]);
check("the middle of the plot is the middle of the slip", Math.abs(at - (own.slips[1].plot_s[0] + own.slips[1].plot_s[1]) / 2) < 0.1, at, over);
await settled(page);
same("the drawing turns at the speed under the cursor", await page.inputValue("#rpm"), /engine (\d+)/.exec(under)[1]);
check("it says slip and both speeds", /blower \d+ rpm/.test(under) && /belt slip [\d.]+ %/.test(under) && /boost [\d.]+ kPa/.test(under), under);
await page.getByRole("button", {name: "Show the whole log"}).click();
same("nothing is chosen", await page.locator("#panel-log button[aria-pressed=true]").count(), 0);

// another build is compared anew
await openFile(page, "sedgemere.yaml");
await page.waitForFunction(() => /Slip is counted from the log's own ratio/.test(document.querySelector(".log-words")?.textContent ?? ""));
same("of the other file", (await cells()).map((one) => one.slice(0, 6)), command("log", pull, kit, "--json").slips.map(row));
await openFile(page, "small.yaml");
await page.waitForFunction(() => !/own ratio/.test(document.querySelector(".log-words")?.textContent ?? ""));

// by boost, in inches
await page.locator("#panel-log select").selectOption("boost");
await page.waitForFunction(() => /taken from boost/.test(document.querySelector(".log-words")?.textContent ?? ""));
same("by boost", (await cells()).map((one) => one.slice(0, 6)), command("log", pull, small, "--by", "boost", "--json").slips.map(row));
check("it says that a leak is possible", (await cells()).every((one) => / leak/.test(one[6])), await cells());
await page.click("#units");
await buttons.first().click();
await page.waitForFunction(() => / psi/.test(document.querySelector(".log-detail")?.textContent ?? ""));
await page.click("#units");
// by ripple: it asks for the pulses, and says which rate is needed
await page.locator("#panel-log select").selectOption("ripple");
await page.waitForFunction(() => /pulses/.test(document.querySelector("#panel-log p[role=status]")?.textContent ?? ""));
await page.locator("#panel-log summary", {hasText: "Columns and units"}).click();
await page.getByLabel("Pulses per turn").fill("four");
await page.getByLabel("Pulses per turn").press("Enter");
await page.waitForFunction(() => document.querySelector("#panel-log p[role=status]")?.textContent === "Pulses per turn needs a number above 0.");
await page.getByLabel("Pulses per turn").fill("4");
await page.getByLabel("Pulses per turn").press("Enter");
await page.waitForFunction(() => /rows a second; 4 pulses a turn of the blower need \d+ up to redline/.test(document.querySelector("#panel-log p[role=status]")?.textContent ?? ""));
await page.locator("#panel-log summary", {hasText: "Columns and units"}).click();
await page.locator("#panel-log select").selectOption("any");

// what is wrong is said, and the way out is there
const named = join(folder, "named.csv");
writeFileSync(named, rows.replace("engine speed [rpm]", "n1"));
await page.setInputFiles("#panel-log input[type=file]", named);
await page.waitForFunction(() => /--column engine=NAME/.test(document.querySelector("#panel-log")?.textContent ?? ""));
same("no plots of a log that is not read", await page.locator("#panel-log .uplot").count(), 0);
await page.locator("#panel-log summary", {hasText: "Columns and units"}).click();
await page.getByLabel("Column of engine").fill("n1");
await page.getByLabel("Column of engine").press("Enter");
await page.getByLabel("Unit of engine").fill("rpm");
await page.getByLabel("Unit of engine").press("Enter");
await buttons.first().waitFor();
same("read by the column that is named", await buttons.count(), 3);
await page.getByLabel("Column of engine").fill("");
await page.getByLabel("Column of engine").press("Enter");

// dropped on the bench; a picture goes to the photo
const drop = (name, type, text) => page.evaluate(([n, t, x]) => { const data = new DataTransfer(); data.items.add(new File([x], n, {type: t})); document.getElementById("bench").dispatchEvent(new DragEvent("drop", {dataTransfer: data, bubbles: true, cancelable: true})); }, [name, type, text]);
await page.click("#tab-drive");
await drop("dropped.csv", "text/csv", rows);
await page.waitForFunction(() => document.body.dataset.tab === "log" && /dropped\.csv/.test(document.querySelector("#panel-log").textContent));
for (let k = 0; k < 200 && await buttons.count() !== 3; k++) await page.waitForTimeout(50); // those of the log before may still stand, or be gone
same("a dropped log", await buttons.count(), 3);
await drop("front.png", "image/png", "no picture");
await page.waitForFunction(() => document.body.dataset.tab === "photo");
await page.click("#tab-log");
await page.waitForTimeout(100);
same("it is still there", await buttons.count(), 3);
const stood = readdirSync(folder).sort();
same("nothing is kept", stood, [...before, "named.csv"].sort());

// dark, and on a phone
await page.emulateMedia({colorScheme: "dark"});
await buttons.first().click();
await settled(page);
await axe(page, "dark");
await shoot(page, "log-dark");
await page.setViewportSize({width: 390, height: 844});
await settled(page);
await page.locator("#panel-log table button").first().scrollIntoViewIfNeeded();
check("nothing is wider than a phone", await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), await page.evaluate(() => document.documentElement.scrollWidth));
await axe(page, "on a phone");
await shoot(page, "log-phone");
await page.locator("#panel-log .uplot").first().scrollIntoViewIfNeeded();
await shoot(page, "log-phone-plots");
check("the plots are as wide as there is room", await page.evaluate(() => [...document.querySelectorAll("#panel-log .uplot")].every((one) => one.getBoundingClientRect().right <= innerWidth)));

await browser.close();
await tidyUp();
process.exit(sum());
