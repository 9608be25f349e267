// From an empty folder to paper, as a person does it on the page. Last line: `N passed, N failed`.
import {execFileSync, spawnSync} from "node:child_process";
import {existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync} from "node:fs";
import {tmpdir} from "node:os";
import {join} from "node:path";
import {browse, check, killServer, root, same, serve, snub, sum, tidyUp} from "./bench.mjs";
import {axe as violations, settled, shooter, watched} from "./pages.mjs";

const work = mkdtempSync(join(tmpdir(), "snub-begin-")), folders = [];
const browser = await browse();

/** A page on an empty folder of its own. */
async function empty(options = {}) {
  await killServer("SIGTERM");
  const folder = mkdtempSync(join(work, "kits-"));
  folders.push(folder);
  const {address} = await serve(0, folder), page = await watched(browser, {acceptDownloads: true, ...options}, 20000);
  await page.goto(address);
  await page.waitForSelector("#begin form");
  return {page, folder};
}
async function axe(page, name) {
  await violations(page, name);
  check(`${name}: does not scroll sideways`, await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), await page.evaluate(() => document.documentElement.scrollWidth));
}
const shoot = shooter(process.env.SNUB_SEE);
const focus = (page) => page.evaluate(() => document.activeElement?.id || document.activeElement?.getAttribute("data-key") || document.activeElement?.tagName);
const isOpen = (page, file) => page.waitForFunction((name) => /** @type {HTMLSelectElement} */ (document.querySelector("#file")).value === name && document.querySelector(".handle"), file);
const rows = (page) => page.locator(".review tbody tr").evaluateAll((all) => all.map((row) => [...row.children].map((cell) => cell.querySelector("textarea")?.value ?? cell.textContent).join("|")));
/** By the command line, on the same file with the same options. */
function made(folder, ...words) {
  const run = spawnSync(snub, [...words, "-o", join(work, "out")], {cwd: folder, encoding: "utf8"});
  return {bytes: run.status === 2 ? null : readFileSync(join(work, "out")), code: run.status, said: run.stderr};
}
async function paper(page, key) {
  await page.click("#tab-papers");
  const [download] = await Promise.all([page.waitForEvent("download", {timeout: 60000}), page.click(`[data-key="paper-${key}"]`)]);
  return {name: download.suggestedFilename(), bytes: readFileSync(await download.path())};
}
try {

// ---- from nothing, in inches, by keyboard alone ------------------------------------------------------------------------

const {page, folder} = await empty();
check("an empty folder opens on how to begin", /no drive file in this folder yet/.test(await page.locator("#begin").textContent()));
check("and on no dead bench, no error", !(await page.locator("#drawing").isVisible()) && !(await page.locator("#save").isVisible()) && (await page.locator(".bar").count()) === 0);
same("the focus is on the name", await focus(page), "begin-name");
await axe(page, "begin");
await shoot(page, "begin-light");
for (const [name, reason] of /** @type {[string, RegExp][]} */ ([["../x", /dot/], ["-x", /option/], ["a\\b", /backslash/], ["no/kit", /no such folder/], ["", /name/]])) {
  await page.fill("#begin-name", name);
  await page.keyboard.press("Enter");
  await page.waitForFunction((source) => new RegExp(source).test(document.querySelector("#begin-wrong").textContent), reason.source);
  check(`“${name}” is refused with its reason, and the focus is there`, (await focus(page)) === "begin-name" && (await page.getAttribute("#begin-name", "aria-invalid")) === "true");
}
await axe(page, "a name refused");
same("nothing was written", readdirSync(folder).length, 0);
await page.keyboard.press("Control+A");
await page.keyboard.type("my kit");
for (let i = 0; i < 12 && (await focus(page)) !== "begin-units"; i++) await page.keyboard.press("Tab");
await page.keyboard.type("us");
await page.keyboard.press("Tab");
await page.keyboard.press("Enter");
await isOpen(page, "my kit.yaml");
await settled(page);
same("it is the very text of snub new", readFileSync(join(folder, "my kit.yaml"), "utf8"), execFileSync(snub, ["new", "-", "--units", "us"], {encoding: "utf8"}));
check("the bench stands, the begin is gone", (await page.locator("#drawing").isVisible()) && !(await page.locator("#begin").isVisible()));
check("its placeholders are said", /placeholder/.test(await page.evaluate(() => { /** @type {HTMLElement} */ (document.querySelector("#tab-text")).click(); return document.querySelector("#panel-text").textContent; })), await page.locator("#panel-text").textContent());

// ---- from an example, by New ---------------------------------------------------------------------------------------------

await page.focus("#begin-new");
await page.keyboard.press("Enter");
await page.waitForSelector("dialog .begin");
await axe(page, "begin in a dialog");
await page.fill("#begin-name", "my kit.yaml");
await page.check('dialog input[value="example"]');
await page.selectOption("#begin-example", {label: "Sedgemere inline six, centrifugal kit"});
await shoot(page, "begin-example");
await page.click("dialog >> text=Write the file");
await page.waitForFunction(() => /is there already/.test(document.querySelector("#begin-wrong").textContent));
check("a name that is taken is refused, and the file stays", readFileSync(join(folder, "my kit.yaml"), "utf8").includes("units: us"));
await page.keyboard.press("Escape");
same("Esc closes it, and the focus is where it was", await focus(page), "begin-new");
await page.keyboard.press("Enter");
await page.waitForSelector("dialog .begin");
await page.fill("#begin-name", "windy.yml");
await page.check('dialog input[value="example"]');
await page.selectOption("#begin-example", {label: "Sedgemere inline six, centrifugal kit"});
await page.click("dialog >> text=Write the file");
await isOpen(page, "windy.yml");
await settled(page);
same("an example is copied", readFileSync(join(folder, "windy.yml"), "utf8"), readFileSync(join(root, "examples/sedgemere-centrifugal.yaml"), "utf8"));
check("with the map that it reads", existsSync(join(folder, "maps/sedgemere-centrifugal.csv")) && /PASS|WATCH|FAIL/.test(await page.locator("#verdict").textContent()), await page.locator("#verdict").textContent());

// ---- from a photo ---------------------------------------------------------------------------------------------------------

await page.click("#begin-new");
await page.fill("#begin-name", "pictured");
await page.check('dialog input[value="photo"]');
await page.click("dialog >> text=Write the file");
await isOpen(page, "pictured.yaml");
await page.waitForFunction(() => document.activeElement?.getAttribute("data-key") === "file");
check("the photo panel is open on it, the focus on the photo to choose", await page.locator("#panel-photo").isVisible());
same("its text is that of a new drive", readFileSync(join(folder, "pictured.yaml"), "utf8"), execFileSync(snub, ["new", "-"], {encoding: "utf8"}));

// ---- what will change is shown before it is saved --------------------------------------------------------------------------

await page.selectOption("#file", "my kit.yaml");
await isOpen(page, "my kit.yaml");
await settled(page);
const first = readFileSync(join(folder, "my kit.yaml"), "utf8");
await page.click("#tab-drive");
await page.click('[data-key="row-blower"]');
await page.fill('[data-key="x"]', "2 1/4");
await page.press('[data-key="x"]', "Enter");
await page.focus('[data-key="y"]');
await settled(page);
await page.keyboard.press("Control+s");
await page.waitForSelector(".review");
const [listed] = await rows(page);
same("path, value in the file, new value, as the file writes them", listed.replace(/15\.1\d+ in\]$/, "15.1 in]"), "blower.at|[1.81 in, 15.12 in]|[2.25 in, 15.1 in]");
same("Save has the focus", await focus(page), "dialog-save");
await axe(page, "what will change");
await shoot(page, "review-light");
await page.keyboard.press("Escape");
await page.waitForTimeout(60);
same("Esc goes back to where the focus was", await focus(page), "y");
same("and nothing is written", readFileSync(join(folder, "my kit.yaml"), "utf8"), first);
await page.keyboard.press("Control+s");
await page.waitForSelector(".review");
await page.keyboard.press("Enter");
await page.waitForFunction(() => document.querySelector("#save").textContent === "Saved");
await page.waitForTimeout(60);
const second = readFileSync(join(folder, "my kit.yaml"), "utf8");
check("Enter saves that one line", second.split("\n").filter((line, i) => line !== first.split("\n")[i]).length === 1 && /at: \[2\.25 in, 15\.12? in\]/.test(second), second.split("\n").filter((line, i) => line !== first.split("\n")[i]));
same("the focus is where it was", await focus(page), "y");
await page.click('[data-key="tool-add"]');
await page.waitForTimeout(300);
await settled(page);
await page.click("#save");
await page.waitForSelector(".review");
const added = await rows(page);
check("a pulley that is added is one row, with all of it", added.length === 1 && /^idler 1\|not in the file\|\{name: idler 1, side: back, diameter: [\d.]+ in, at: /.test(added[0]), added);
await page.click("dialog >> text=Cancel");
await page.waitForTimeout(60);
same("Cancel goes back to Save", await focus(page), "save");
await page.click("#undo");
await settled(page);
await page.click("#tab-text");
await page.waitForFunction(() => document.querySelector("textarea").value.length > 100);
await page.evaluate(() => { const area = document.querySelector("textarea"); area.value = area.value.replace("snub: 1", "snub: 1 # a remark\nbelt: ["); area.dispatchEvent(new Event("input", {bubbles: true})); });
await page.waitForTimeout(450);
await page.click("#save");
await page.waitForSelector(".review");
check("of a text that cannot be read, the lines", /comments, lines\|snub: 1\n\|snub: 1 # a remark\nbelt: \[\n/.test((await rows(page)).join()), await rows(page));
await axe(page, "lines");
await page.keyboard.press("Escape");
await page.click("#undo");

// ---- another program has written -------------------------------------------------------------------------------------------

await page.click("#tab-drive");
await page.click('[data-key="row-blower"]');
await page.fill('[data-key="x"]', "2.5");
await page.press('[data-key="x"]', "Enter");
await page.fill('[data-key="d"]', "3.4");
await page.press('[data-key="d"]', "Enter");
await settled(page);
writeFileSync(join(folder, "my kit.yaml"), second.replace("at: [2.25 in,", "at: [9 in,").replace("idle: 650", "idle: 655"));
await page.keyboard.press("Control+s");
await page.waitForSelector(".review");
const both = await rows(page);
check("one table has the values to choose from and those that simply change", both.length === 2 && /^blower\.at.*\[9 in,.*Take theirs.*\[2\.5 in,.*Take mine/.test(both[0]) && /^blower\.diameter/.test(both[1]), both);
check("no save before one is taken", await page.locator("#dialog-save").isDisabled());
await axe(page, "another's values");
await shoot(page, "review-clash");
await page.click("dialog >> text=Take theirs");
await page.click("#dialog-save");
await page.waitForSelector("#bar-taken");
const met = readFileSync(join(folder, "my kit.yaml"), "utf8");
check("theirs is kept, mine beside it, and what nobody else changed", /at: \[9 in,/.test(met) && met.includes("idle: 655") && /3\.4 in/.test(met), met.split("\n").filter((line, i) => line !== second.split("\n")[i]));

// ---- Save as ------------------------------------------------------------------------------------------------------------------

await settled(page);
await page.click("#save-as");
await page.waitForSelector("dialog[open]");
same("the name has the focus", await page.evaluate(() => document.activeElement?.getAttribute("aria-label")), "Other name");
await axe(page, "save as");
await page.keyboard.type("copy");
await page.keyboard.press("Enter");
await isOpen(page, "copy.yaml");
same("an unchanged drive is copied", readFileSync(join(folder, "copy.yaml"), "utf8"), met);
await settled(page);
await page.click('[data-key="row-blower"]');
await page.fill('[data-key="x"]', "1.75");
await page.press('[data-key="x"]', "Enter");
await settled(page);
await page.click("#save-as");
await page.waitForSelector(".review");
await page.fill('dialog input', "windy.yml");
await page.keyboard.press("Enter");
await page.waitForSelector("#bar-save");
check("a name that is taken is refused, and that file stays", /is there already/.test(await page.locator("#bar-save").textContent()) && readFileSync(join(folder, "windy.yml"), "utf8").includes("centrifugal"), await page.locator("#bar-save").textContent());
check("the work is there still", !(await page.locator("#save").isDisabled()));
await page.click("#bar-save >> text=Try again");
await page.waitForSelector("dialog[open]");
await page.fill('dialog input', "third");
await page.keyboard.press("Enter");
await isOpen(page, "third.yaml");
await settled(page);
check("unsaved changes go along", readFileSync(join(folder, "third.yaml"), "utf8").includes("at: [1.75 in,"));
same("the old file is untouched", readFileSync(join(folder, "copy.yaml"), "utf8"), met);
check("the tab works on the new one, with nothing left to save", await page.locator("#save").isDisabled());
await page.click('[data-key="row-blower"]');
await page.fill('[data-key="x"]', "1.8");
await page.press('[data-key="x"]', "Enter");
await settled(page);
await page.keyboard.press("Control+s");
await page.waitForSelector("#dialog-save");
await page.keyboard.press("Control+s");
await page.waitForFunction(() => document.querySelector("#save").textContent === "Saved");
check("and saves into it", readFileSync(join(folder, "third.yaml"), "utf8").includes("at: [1.8 in,") && readFileSync(join(folder, "copy.yaml"), "utf8") === met);

// ---- papers ---------------------------------------------------------------------------------------------------------------------

const shop = await empty({colorScheme: "dark"}), {page: desk, folder: drawer} = shop;
await shoot(desk, "begin-dark");
await axe(desk, "begin, dark");
await desk.check('#begin input[value="example"]');
await desk.selectOption("#begin-example", {label: "Sedgemere inline six, twin-screw kit"});
await desk.fill("#begin-name", "six");
await desk.keyboard.press("Enter");
await isOpen(desk, "six.yaml");
await settled(desk);
await desk.click("#tab-papers");
await desk.waitForSelector(".papers .rows");
await axe(desk, "papers, dark");
await shoot(desk, "papers-dark");
for (const [key, name, ...words] of [["sheet-fitting-pdf", "six-fitting.pdf", "sheet", "six.yaml"], ["sheet-parts-pdf", "six-parts.pdf", "sheet", "six.yaml", "--kind", "parts"], ["draw-front-dxf", "six-front.dxf", "draw", "six.yaml", "--form", "dxf"],
  ["draw-side-png", "six-side.png", "draw", "six.yaml", "--view", "side", "--form", "png"], ["chart--xlsx", "six-chart.xlsx", "chart", "six.yaml", "--format", "xlsx"], ["bill--csv", "six-bill.csv", "bill", "six.yaml", "--format", "csv"], ["share--html", "six-share.html", "share", "six.yaml"]]) {
  const got = await paper(desk, key), want = made(drawer, ...words);
  check(`${name}: the bytes that the command writes`, got.name === name && got.bytes.equals(/** @type {Buffer} */ (want.bytes)), [got.name, got.bytes.length, want.bytes?.length]);
  same(`${name}: DO NOT FIT beside it as by the exit code`, await desk.locator(".do-not-fit").count(), want.code === 1 ? 1 : 0);
}
await desk.click('[data-options="sheet"] summary');
await axe(desk, "options");
await shoot(desk, "papers-options");
await desk.selectOption("#paper-sheet-language", "de");
await desk.fill("#paper-sheet-date", "2026-11-28");
await desk.keyboard.press("Tab");
check("German, dated, as the command prints it", (await paper(desk, "sheet-fitting-pdf")).bytes.equals(/** @type {Buffer} */ (made(drawer, "sheet", "six.yaml", "--language", "de", "--date", "2026-11-28").bytes)));
await desk.fill("#paper-sheet-date", "tomorrow");
await desk.keyboard.press("Tab");
await desk.click('[data-key="paper-sheet-parts-pdf"]');
await desk.waitForSelector(".papers .failure");
check("a value that will not do: the terminal's words", (await desk.locator(".papers .failure").textContent()).includes(made(drawer, "sheet", "six.yaml", "--kind", "parts", "--language", "de", "--date", "tomorrow").said.trim()), await desk.locator(".papers .failure").textContent());
await axe(desk, "a paper refused");
await desk.fill("#paper-sheet-date", "");
await desk.selectOption("#paper-sheet-language", "");

// a build of the chart: chosen in the list, or for being on the bench
await desk.click("#tab-chart");
await desk.click('[data-key="start"]');
await desk.waitForSelector('[data-key="b2"]', {timeout: 60000});
await desk.click("#tab-papers");
await desk.selectOption("#paper-build", "3");
check("a build chosen from the chart", (await paper(desk, "sheet-fitting-pdf")).bytes.equals(/** @type {Buffer} */ (made(drawer, "sheet", "six.yaml", "--build", "3").bytes)));
const chart = JSON.parse(spawnSync(snub, ["chart", "six.yaml", "--json"], {cwd: drawer, encoding: "utf8"}).stdout);
const failing = chart.builds.findIndex((build) => build.verdict === "fail" && build.belt_length_mm !== null);
check("the kit has a build that fails", failing >= 0);
await desk.click("#tab-chart");
const variants = desk.locator('[data-key="variant"]');
if (await variants.count() && chart.builds[failing].variant) await variants.selectOption(chart.builds[failing].variant);
await desk.click(`[data-key="b${failing}"]`);
await desk.click('[data-key="take"]');
await settled(desk);
await desk.click("#tab-papers");
await desk.waitForFunction(() => /** @type {HTMLSelectElement} */ (document.querySelector("#paper-build")).value !== "3").catch(() => undefined); // a panel is drawn after its tab
same("the build on the bench is chosen", await desk.inputValue("#paper-build"), String(failing + 1));
check("and said to be what is unsaved", new RegExp(`is build ${failing + 1} of the chart, which is chosen below`).test(await desk.locator(".papers").textContent()), await desk.locator(".papers").textContent());
const sheet = await paper(desk, "sheet-fitting-pdf"), command = made(drawer, "sheet", "six.yaml", "--build", String(failing + 1));
check("its sheet is that of the command", command.code === 1 && sheet.bytes.equals(/** @type {Buffer} */ (command.bytes)));
check("the page says DO NOT FIT, as the sheet does", /DO NOT FIT/.test(await desk.locator(".do-not-fit").textContent()) && /DO NOT FIT/.test(execFileSync("pdftotext", ["-", "-"], {input: sheet.bytes, encoding: "utf8"})));
await axe(desk, "do not fit");
await shoot(desk, "papers-fail");
await desk.click("#undo");
await settled(desk);
await desk.waitForFunction(() => /** @type {HTMLSelectElement} */ (document.querySelector("#paper-build")).value === "").catch(() => undefined);
same("undone, it is the file's own again", await desk.inputValue("#paper-build"), "");

// unsaved work
await desk.click("#tab-drive");
await desk.click('[data-key="row-blower"]');
await desk.fill('[data-key="y"]', "386");
await desk.press('[data-key="y"]', "Enter");
await settled(desk);
const stands = await paper(desk, "draw-front-svg");
check("with unsaved changes the paper is of the file", stands.bytes.equals(/** @type {Buffer} */ (made(drawer, "draw", "six.yaml", "--form", "svg").bytes)));
check("and the page says so", /unsaved changes\. Papers are made of the file on disk/.test(await desk.locator(".papers").textContent()));
await desk.click('[data-key="paper-save"]');
await desk.waitForSelector(".review");
await desk.keyboard.press("Enter");
await desk.waitForFunction(() => document.querySelector("#save").textContent === "Saved");
same("the focus is not lost with the button", await focus(desk), "tab-papers");
same("saved, it says so no more", await desk.locator('[data-key="paper-save"]').count(), 0);
const after = await paper(desk, "draw-front-svg");
check("then it is of what was saved", after.bytes.equals(/** @type {Buffer} */ (made(drawer, "draw", "six.yaml", "--form", "svg").bytes)) && !after.bytes.equals(stands.bytes));
await desk.click('[data-key="paper-draw-plate-pdf"]');
await desk.waitForSelector(".papers .failure");
check("a plate without an outline: why, as on the terminal", /has no outline/.test(await desk.locator(".papers .failure").textContent()));
await desk.check("#paper-sheet-all-builds");
await desk.click('[data-key="paper-sheet-report-pdf"]');
await desk.click('[data-key="paper-stop"]');
await desk.waitForSelector(".papers .failure >> text=Stopped");
check("a long one is stopped", true);

// ---- a small screen ---------------------------------------------------------------------------------------------------------------

const {page: small, folder: pocket} = await empty({viewport: {width: 390, height: 844}});
await axe(small, "begin, small");
await shoot(small, "begin-small");
await small.fill("#begin-name", "pocket");
await small.click("text=Write the file");
await isOpen(small, "pocket.yaml");
await settled(small);
await small.click("#tab-entries");
await small.click("#tab-drive");
await small.click('[data-key="row-blower"]');
await small.fill('[data-key="y"]', "386");
await small.press('[data-key="y"]', "Enter");
await settled(small);
await small.click("#save");
await small.waitForSelector(".review");
await axe(small, "what will change, small");
await shoot(small, "review-small");
await small.click("#dialog-save");
await small.waitForFunction(() => document.querySelector("#save").textContent === "Saved");
await small.click("#tab-papers");
await small.waitForSelector(".papers .rows");
await axe(small, "papers, small");
await shoot(small, "papers-small");
check("paper on a small screen", (await paper(small, "sheet-strip-pdf")).bytes.equals(/** @type {Buffer} */ (made(pocket, "sheet", "pocket.yaml", "--kind", "strip").bytes)));

// ---- a file that comes to an empty folder ---------------------------------------------------------------------------------------

const {page: waits, folder: waiting} = await empty();
writeFileSync(join(waiting, "came.yaml"), first);
await isOpen(waits, "came.yaml");
check("what another program puts there is opened, as long as nobody types", !(await waits.locator("#begin").isVisible()));

} catch (error) {
  check("no step fails", false, /** @type {Error} */ (error).stack);
} finally {
  await browser.close();
  await tidyUp();
  rmSync(work, {recursive: true, force: true});
}
process.exit(sum());
