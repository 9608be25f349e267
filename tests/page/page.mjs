// What a person does on the page, in a real browser. Last line: `N passed, N failed`.
import {existsSync, readdirSync, readFileSync, writeFileSync} from "node:fs";
import {tmpdir} from "node:os";
import {join} from "node:path";
import {browse, check, command, folder, killServer, kit, long, root, same, save, serve, sum, tidyUp} from "./bench.mjs";
import {axe, settled, shooter, watched} from "./pages.mjs";

const pictures = process.env.SNUB_PICTURES ? join(root, "docs/pictures") : undefined, shoot = shooter(pictures);
const original = readFileSync(kit, "utf8");
const minus = (text) => text.replace("−", "-");
let {address, port} = await serve(0);
const browser = await browse();
const foreign = [];

async function newPage(options = {}) {
  const page = await watched(browser, {viewport: {width: 1400, height: 900}, ...options}, 30000);
  page.on("request", (request) => { const url = request.url(); if (!url.startsWith(`http://127.0.0.1:${port}/`) && !/^(blob|data):/.test(url)) foreign.push(url); });
  return page;
}
async function openPage(page) {
  await page.goto(address);
  await page.waitForSelector(".handle[data-pulley='4']");
  await settled(page);
}
async function drag(page, pulley, dx, dy, what = "", steps = 12) {
  const box = await page.locator(`.handle${what}[data-pulley='${pulley}'] .hit`).boundingBox();
  const x = box.x + box.width / 2, y = box.y + box.height / 2;
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let i = 1; i <= steps; i++) await page.mouse.move(x + dx * i / steps, y + dy * i / steps);
  await page.mouse.up();
  await settled(page);
}
const cell = (page, pulley, column) => page.locator(`[data-key="row-${pulley}"]`).locator("xpath=ancestor::tr").locator(`td[data-of="${column}"] > span`).textContent();
const fact = (page, name) => page.locator(`[data-fact="${name}"] dd > span`).textContent();

/** Every number of the ledger against the command line's, to the last digit shown. */
async function numbersAgree(page, name, file = kit, rpm = 3000, ...more) {
  const check_ = command("check", file, "--rpm", String(rpm), "--json", ...more);
  same(`${name}: belt`, await fact(page, "Belt length"), `${check_.build.belt_length_mm.toFixed(1)} mm`);
  same(`${name}: path`, await fact(page, "Pitch length"), `${check_.belt.path_length_mm.toFixed(2)} mm`);
  same(`${name}: belt speed`, await fact(page, "Belt speed"), `${check_.belt.speed_m_s.toFixed(2)} m/s`);
  same(`${name}: arm`, minus(await fact(page, "Arm angle from free")), `${check_.arm.wind_deg.toFixed(2)}°`);
  const tidy = (value, digits) => value.toFixed(digits).replace(/^-(0(\.0+)?)$/, "$1");
  /** @type {Record<string, string>} */
  const ledger = Object.fromEntries(await page.evaluate(() => [...document.querySelectorAll("[data-key^='row-']")].flatMap((row) => [...row.closest("tr").querySelectorAll("td[data-of] > span")].map((span) => [`${row.getAttribute("data-key")} ${span.parentElement.getAttribute("data-of")}`, span.textContent]))));
  const at = (pulley, column) => ledger[`row-${pulley} ${column}`] ?? "";
  for (const pulley of check_.pulleys) {
    same(`${name}: wrap of ${pulley.name}`, at(pulley.name, "wrap"), tidy(pulley.wrap_deg, 1));
    same(`${name}: speed of ${pulley.name}`, at(pulley.name, "speed"), `${Math.abs(pulley.rpm).toFixed(0)} ${pulley.turns}`);
    same(`${name}: torque of ${pulley.name}`, minus(at(pulley.name, "torque")), tidy(pulley.torque_N_m, 2));
    same(`${name}: hub load of ${pulley.name}`, at(pulley.name, "hub load"), tidy(pulley.hub_load_N, 0));
    same(`${name}: grip of ${pulley.name}`, at(pulley.name, "grip used"), pulley.grip_used === null ? "–" : tidy(pulley.grip_used, 3));
  }
}


// ---- open, drag, save, reload, undo -----------------------------------------------------------------------------------

const page = await newPage();
await openPage(page);
same("title", await page.locator("#title").textContent(), "Sedgemere inline six, twin-screw kit");
same("designation", await page.locator("#designation").textContent(), "7PK1926");
same("the command line's verdict stands beside it", await page.getAttribute("#verdict", "class"), command("check", kit, "--json").verdict);
const keyOf = (of) => new URL(of).hash.slice("#key=".length);
const storage = (page) => page.evaluate(() => JSON.stringify([{...localStorage}, document.cookie, history.state, location.href, document.documentElement.outerHTML]));
check("the key leaves the address", page.url() === `http://127.0.0.1:${port}/#sedgemere.yaml`, page.url());
check("and stands in no cookie, no lasting storage and no element", !(await storage(page)).includes(keyOf(address)));
await numbersAgree(page, "opened");
await axe(page, "drive");
await shoot(page, "page");

await drag(page, 4, 0, -5);
const moved = await page.evaluate(() => JSON.parse(localStorage.getItem(`snub:work:${sessionStorage.getItem("snub:tab")}:sedgemere.yaml`)).changes);
check("a drag moves the blower up, on whole millimetres", moved.length === 1 && moved[0].path === "blower.at" && moved[0].value[0] === 46 && moved[0].value[1] > 384 && Number.isInteger(moved[0].value[1]), moved);
const at = moved[0].value;
await numbersAgree(page, "dragged", kit, 3000, "--set", `blower.at=[${at}]`);
same("the entry shows the place", await page.locator('[data-key="y"]').inputValue(), String(at[1]));
same("nothing is written by a drag", readFileSync(kit, "utf8"), original);
await page.keyboard.press("Control+z");
await settled(page);
await numbersAgree(page, "undone");
check("undo leaves nothing to save", await page.locator("#save").isDisabled());
await page.keyboard.press("Control+Shift+z");
await settled(page);
await numbersAgree(page, "done again", kit, 3000, "--set", `blower.at=[${at}]`);
await page.click("#compare");
await settled(page);
const before = command("check", kit, "--rpm", "3000", "--json");
same("before beside now", await page.locator('[data-fact="Pitch length"] del').textContent(), before.belt.path_length_mm.toFixed(2));
check("before is drawn", (await page.locator(".ghost").getAttribute("d")).length > 100);
await shoot(page, "page-before");
await page.click("#compare");
await save(page);
await settled(page);
const written = readFileSync(kit, "utf8");
same("save writes the moved value only", written, original.replace("    at: [46, 384]\n", `    at: [46, ${at[1]}]\n`));
await numbersAgree(page, "saved");
await page.reload();
await settled(page);
await numbersAgree(page, "reloaded");
check("nothing left to save after the reload", await page.locator("#save").isDisabled());

// Slot, pivot, exact entry, units
await drag(page, 3, 14, -9);
const slotted = (await page.evaluate(() => JSON.parse(localStorage.getItem(`snub:work:${sessionStorage.getItem("snub:tab")}:sedgemere.yaml`)).changes))[0];
check("a drag slides the wrap idler in its slot", slotted.path === "wrap idler.slot.setting" && slotted.value > 38 && slotted.value <= 56, slotted);
await numbersAgree(page, "slid", kit, 3000, "--set", `wrap idler.slot.setting=${slotted.value}`);
await drag(page, 1, -6, 5, ".pivot");
const pivot = (await page.evaluate(() => JSON.parse(localStorage.getItem(`snub:work:${sessionStorage.getItem("snub:tab")}:sedgemere.yaml`)).changes)).find((c) => c.path === "tensioner.arm.pivot");
check("a drag moves the arm's pivot", pivot && pivot.value[0] < -114 && pivot.value[1] < 208, pivot);
await numbersAgree(page, "pivot moved", kit, 3000, "--set", `wrap idler.slot.setting=${slotted.value}`, "--set", `tensioner.arm.pivot=[${pivot.value}]`);
for (let i = 0; i < 2; i++) await page.click("#undo");
await settled(page);
await page.click('[data-key="row-steering"]');
await page.fill('[data-key="x"]', "9.5 in");
await page.press('[data-key="x"]', "Enter");
await settled(page);
same("an entry takes inches", await page.locator('[data-key="x"]').inputValue(), "241.3");
await numbersAgree(page, "typed", kit, 3000, "--set", "steering.at=[241.3, 238]");
await page.click("#units");
await settled(page);
same("units switch to inch", await page.locator('[data-key="x"]').inputValue(), "9.5");
const inch = command("check", kit, "--rpm", "3000", "--json", "--set", "steering.at=[241.3, 238]");
same("path in inch", await fact(page, "Pitch length"), `${(inch.belt.path_length_mm / 25.4).toFixed(4)} in`);
await page.click("#units");
await page.fill('[data-key="x"]', "wide");
await page.press('[data-key="x"]', "Enter");
check("a wrong entry is said", /Enter a number in mm/.test(await page.locator("#wrong-x").textContent()), await page.locator("#wrong-x").textContent());
await page.press('[data-key="x"]', "Escape");
await page.click("#undo");
await settled(page);

// Speed
await page.fill("#rpm", "5432");
await page.press("#rpm", "Enter");
await settled(page);
await numbersAgree(page, "5432 rpm", kit, 5432);
await page.selectOption("#running", "accelerating");
await settled(page);
await numbersAgree(page, "accelerating", kit, 5432, "--rate", "1350");
await page.selectOption("#running", "steady");
await page.fill("#rpm", "3000");
await page.press("#rpm", "Enter");
await settled(page);

// ---- findings, chart, curves, planes ---------------------------------------------------------------------------------

await page.click("#tab-findings");
await settled(page);
const whole = command("check", kit, "--json");
same("findings are the command line's", await page.locator(".findings li").count(), whole.findings.length);
const texts = await page.locator(".findings .text").allTextContents();
check("each with its text", whole.findings.every((f) => texts.includes(f.text)), texts);
const spoken = whole.findings.findIndex((f) => (f.pulley || f.span) && f.at_rpm > 1000);
await page.locator(".findings button:not(.try)").nth(spoken).click();
await settled(page);
same("a finding chooses its pulley", await page.locator(".handle[aria-pressed='true']").first().getAttribute("data-pulley"), String(whole.pulleys.findIndex((p) => p.name === (whole.findings[spoken].pulley ?? whole.findings[spoken].span[0]))));
same("and its speed", await page.inputValue("#rpm"), whole.findings[spoken].at_rpm.toFixed(0));
await axe(page, "findings");

// ---- cautions: from the program's list, those that apply to the drive on the bench -------------------------------------------

/** Sentences of the list by id. */
const listed = Object.fromEntries([...readFileSync(join(root, "include/snub/caution_list.inc"), "utf8").matchAll(/^SNUB_CAUTION\(\w+, "([\w-]+)", (\w+), \w+, \w+,\s*SNUB_MESSAGE\("([^"]*)"\)\)/gm)].map((m) => [m[1], `${m[2]} ${m[3]}`]));
async function allCautions(page_ = page) {
  await page_.click("#cautions");
  const shown = await page_.locator("#dialog .cautions li").evaluateAll((list) => list.map((one) => [one.getAttribute("data-caution"), one.textContent]));
  check("cautions are the list's", shown.length > 10 && shown.every(([id, text]) => listed[id] === text), shown);
  // one that is laid out elsewhere on the page is in the list and yet not to be read there
  check("each stands below the one before", await page_.locator("#dialog .cautions li").evaluateAll((list) => list.every((one, i) => i === 0 || one.getBoundingClientRect().top >= list[i - 1].getBoundingClientRect().bottom)));
  same("the dialog begins with the gravest", await page_.locator("#dialog").evaluate((box) => box.scrollTop), 0);
  same("each once", new Set(shown.map(([id]) => id)).size, shown.length);
  return shown.map(([id]) => id);
}
same("one caution over the drawing", await page.locator("#caution-text").textContent(), listed.stopped.replace(" ", ": "));
let shownCautions = await allCautions();
check("a spring arm is warned of", shownCautions.includes("spring") && !shownCautions.includes("lock") && !shownCautions.includes("crank"), shownCautions);
await axe(page, "cautions");
await page.keyboard.press("Escape");
same("the findings call for no caution", await page.locator("#panel-findings .cautions li").count(), 0);
await page.selectOption("#file", kit.replace(/^.*\//, "").replace(".yaml", "-locked.yaml"));
await settled(page);
shownCautions = await allCautions();
check("no spring arm, no warning of one", shownCautions.includes("lock") && !shownCautions.includes("spring"), shownCautions);
await page.keyboard.press("Escape");
check("nor anywhere else on the page", !/spring load/.test(await page.locator("body").innerText()));
await page.selectOption("#file", "three-pulleys.yaml");
await settled(page);
writeFileSync(join(folder, "broken.yaml"), "snub: 1\nengine: {idle: fast}\n");
const broken = await newPage();
await broken.goto(`${address}&broken.yaml`);
await broken.waitForSelector("#bar-errors");
same("a first file that cannot be read: the caution over the drawing", await broken.locator("#caution-text").textContent(), listed.stopped.replace(" ", ": "));
check("and those of every drive", ((ids) => ids.length > 15 && !ids.includes("spring") && !ids.includes("tuned"))(await allCautions(broken)));
await broken.keyboard.press("Escape");
await broken.selectOption("#file", kit.replace(/^.*\//, ""));
await settled(broken);
check("mended: those of the drive", (await allCautions(broken)).includes("spring"));
await broken.context().close();
same("a finding that advises another crank pulley brings its caution", await page.locator("#panel-findings .cautions li").allTextContents().then((list) => list.join("|")), listed.crank);
await page.selectOption("#file", kit.replace(/^.*\//, ""));
await settled(page);
await page.click("#tab-chart");
await page.click('[data-key="start"]');
await page.waitForSelector(".grid .cell", {timeout: 60000});
const chart = command("chart", kit, "--json");
const builds = chart.builds.filter((b) => !b.variant);
same("a cell per build", await page.locator(".grid .cell").count(), builds.length);
same("a column for each package", (await page.locator(".grid thead th").allTextContents()).join("|"), "street, 6 ribs|touring, 7 ribs|track, 9 ribs");
same("what is not sold says so", await page.locator(".grid td.empty", {hasText: "not sold"}).count(), 4);
const cells = await page.locator(".grid .cell").allTextContents();
check("each cell has its belt and verdict", builds.every((b) => cells.some((text) => text.includes(b.verdict) && text.includes(b.designation ?? "no belt"))), cells);
check("each cell that does not pass has a reason", cells.every((text) => /pass/.test(text) || /[a-z]: ?[a-z]|[a-z]{4,}$/.test(text)), cells);
await axe(page, "chart");
same("the chart defers to makers and local codes", await page.locator("#panel-chart > .cautions li").allTextContents().then((list) => list.join("|")), listed.makers);
const fast = builds.findIndex((b) => b.findings.some((f) => f.rule === "pulley_speed"));
await page.locator(".grid .cell", {hasText: "pulley speed"}).first().click();
check("a build over a maker's speed has its cautions", fast >= 0 && (await page.locator(".detail .cautions li").allTextContents()).join("|").includes(listed.overspeed), await page.locator(".detail").allTextContents());
const pick = builds.find((b) => b.verdict === "pass") ?? builds.find((b) => b.designation);
await page.locator(".grid .cell", {hasText: pick.designation}).first().click();
await shoot(page, "page-chart");
await page.click('[data-key="take"]');
await settled(page);
same("a build comes to the bench", await page.locator("#designation").textContent(), pick.designation);
await page.click("#undo");
await settled(page);
const wide = builds.find((b) => b.package === "track" && b.verdict === "pass");
await page.click("#tab-chart");
await page.waitForSelector(".chart:not(.old) .cell"); // the one that follows the undo puts a choice back
await page.locator(".grid .cell", {hasText: wide.designation}).first().click();
await page.click('[data-key="take"]');
await settled(page);
same("a package's build comes with its maps and what it adds to lists", await page.locator("#designation").textContent(), wide.designation);
await page.click("#tab-drive");
await page.selectOption("#running", "steady");
await page.fill("#rpm", "3000");
await page.press("#rpm", "Enter");
await settled(page);
await numbersAgree(page, "a package", kit, 3000, "--package", "track", "--set", `blower.diameter=${wide.options["blower.diameter"]}`, "--free");
await page.click("#undo");
await settled(page);
same("and leaves with one undo", await page.locator("#designation").textContent(), "7PK1926");

// ---- inch units ------------------------------------------------------------------------------------------------------

/** What a person sees, without the sources of limits, which keep their own numbers, and what the file writes. */
async function metricLeft(page) {
  const text = await page.evaluate(() => {
    const copy = /** @type {HTMLElement} */ (document.body.cloneNode(true));
    for (const gone of copy.querySelectorAll("small, textarea, pre.lines, option, script, dialog, .said")) if (gone.tagName !== "SMALL" || gone.closest(".findings")) gone.remove();
    const rows = [...copy.querySelectorAll("*")].filter((one) => !one.children.length).map((one) => one.textContent);
    return rows.join("\n");
  });
  return [...text.matchAll(/(?:\d[ \u00a0]?|^|, )(mm|kPa|MPa|N m|kW|kN|N|W|degC|°C|kg\/s|m\/s)(?![\w/])(?! \(1\/8 in\))/gm)].map((hit) => text.slice(Math.max(0, hit.index - 30), hit.index + 20));
}
writeFileSync(join(folder, "bare.yaml"), `${readFileSync(join(folder, "three-pulleys.yaml"), "utf8")}units: us\n`);
const inches = await newPage();
await inches.goto(`${address}&ironbrook-v8.yaml`);
await inches.waitForSelector(".handle[data-pulley='4']");
await settled(inches);
const v8 = join(folder, "ironbrook-v8.yaml");
same("a file for inches opens in inches", await inches.locator("#units").textContent(), "in");
const asked = command("check", v8, "--rpm", "3000", "--json", "--inches");
same("belt length in inches", await fact(inches, "Belt length"), `${(asked.build.belt_length_mm / 25.4).toFixed(3)} in`);
same("belt speed in ft/min", await fact(inches, "Belt speed"), `${(asked.belt.speed_m_s * 60 / 0.3048).toFixed(0)} ft/min`);
for (const pulley of asked.pulleys) {
  same(`hub load of ${pulley.name} in lbf`, await cell(inches, pulley.name, "hub load"), (pulley.hub_load_N / 4.4482216152605).toFixed(0));
  same(`torque of ${pulley.name} in lbf ft`, (await cell(inches, pulley.name, "torque")).replace("−", "-"), (pulley.torque_N_m / 1.3558179483314).toFixed(2).replace(/^-(0\.00)$/, "$1"));
}
await inches.click("#tab-findings");
await inches.waitForSelector(".findings .text");
const sentences = (await inches.locator(".findings .text").allTextContents()).join("|");
same("sentences in inches", sentences, asked.findings.map((f) => f.text).join("|"));
check("a finding speaks of inches", /\d in\b/.test(sentences), sentences);
for (const tab of ["drive", "findings", "planes", "curves", "chart"]) {
  await inches.click(`#tab-${tab}`);
  if (tab === "chart") { await inches.click('[data-key="start"]'); await inches.waitForSelector(".grid .cell", {timeout: 60000}); await inches.locator(".grid .cell").first().click(); }
  await settled(inches);
  const left = await metricLeft(inches);
  check(`no metric unit under ${tab}`, left.length === 0, left.slice(0, 5));
}
same("an option has the unit that it was read in", await inches.locator(".grid th[scope='row']").first().textContent(), "blower 3.75 in");
const first = command("chart", v8, "--json", "--inches").builds[0];
const detail = await inches.locator(".detail dl").innerText();
check("a build's boost in psi", detail.includes(`${(first.blower.boost_kPa / 6.894757293168).toFixed(2)} psi`), detail);
check("its air in degF", detail.includes(`${(first.blower.outlet_degC * 1.8 + 32).toFixed(0)} degF`), detail);
await axe(inches, "inch units");
await inches.click("#units");
await settled(inches);
same("one press: metric", await inches.locator("#units").textContent(), "mm");
await inches.click("#tab-findings");
await inches.waitForSelector(".findings .text");
await inches.waitForFunction(() => /\d mm|\d N\b/.test([...document.querySelectorAll(".findings .text")].map((one) => one.textContent).join()), null, {timeout: 10000});
same("its sentences as well", (await inches.locator(".findings .text").allTextContents()).join("|"), command("check", v8, "--rpm", "3000", "--json", "--metric").findings.map((f) => f.text).join("|"));
await inches.reload();
await inches.waitForSelector(".handle[data-pulley='4']");
await settled(inches);
same("and the browser remembers it over the file's own", await inches.locator("#units").textContent(), "mm");
await inches.selectOption("#file", "bare.yaml");
await settled(inches);
await inches.click("#tab-text");
check("bare numbers of a file for inches are pointed out", /Bare numbers are in metric units/.test(await inches.locator("#panel-text summary").textContent()), await inches.locator("#panel-text").textContent());
await inches.context().close();

writeFileSync(join(folder, "many.yaml"), readFileSync(kit, "utf8").replace(/^    excludes:\n      - .*\n/gm, "").replace("blower.diameter: [97, 92, 88, 84, 79, 73]", `blower.diameter: [${Array.from({length: 600}, (_, i) => 60 + i * 0.05).map((v) => v.toFixed(2)).join(", ")}]`));
await page.reload();
await settled(page);
await page.selectOption("#file", "many.yaml");
await settled(page);
await page.click("#tab-chart");
await page.click('[data-key="start"]');
await page.waitForSelector('[data-key="stop"]');
await page.waitForFunction(() => Number(document.querySelector("progress")?.value) > 0, null, {timeout: 30000});
await page.click('[data-key="stop"]');
await page.waitForSelector(".failure", {timeout: 30000});
same("long work can be stopped", await page.locator(".failure").textContent(), "Stopped.");
await page.selectOption("#file", "sedgemere.yaml");
await settled(page);
await page.click("#tab-curves");
await page.waitForSelector(".u-over");
await settled(page);
await axe(page, "curves");
const over = await page.locator(".u-over").boundingBox();
const arm0 = await page.locator(".arm").getAttribute("d");
await page.mouse.move(over.x + over.width * 0.95, over.y + over.height / 2);
await settled(page);
check("the cursor moves the arm in the drawing", (await page.locator(".arm").getAttribute("d")) !== arm0, arm0);
check("and the speed", Number(await page.inputValue("#rpm")) > 5000, await page.inputValue("#rpm"));
await shoot(page, "page-curves");
await page.click("#tab-planes");
await settled(page);
await axe(page, "planes");
same("a plane per pulley", await page.locator(".planes .plane").count(), whole.pulleys.length + 1);

// ---- the live picture ------------------------------------------------------------------------------------------------

await page.click("#tab-drive");
let best = Infinity;
for (let run = 0; run < (long ? 8 : 1) && best >= 16; run++) {
  await page.evaluate(() => performance.clearMeasures("snub-drag"));
  const box = await page.locator(".handle[data-pulley='5'] .hit").boundingBox(), x = box.x + box.width / 2, y = box.y + box.height / 2;
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let i = 0; i < 90; i++) { await page.mouse.move(x + Math.sin(i / 9) * 14, y + Math.cos(i / 7) * 10); await page.waitForTimeout(14); }
  await page.mouse.up();
  await settled(page);
  const spans = await page.evaluate(() => performance.getEntriesByName("snub-drag").map((e) => e.duration).sort((a, b) => a - b));
  check("every move was drawn", spans.length > 40, spans.length);
  best = Math.min(best, spans[Math.floor(spans.length * 0.95)]);
  await page.click("#undo");
  await settled(page);
}
console.log(`pointer to drawing, 95th of 100: ${best.toFixed(1)} ms (told, not judged: the machine decides it)`);

// ---- a wrong file -------------------------------------------------------------------------------------------------------

await page.click("#tab-text");
await settled(page);
same("the text is the file's", await page.inputValue(".text textarea"), readFileSync(kit, "utf8"));
await axe(page, "text");
const wrong = readFileSync(kit, "utf8").replace("preload: 34", "perload: 34");
const line = wrong.split("\n").findIndex((l) => l.includes("perload")) + 1;
await page.fill(".text textarea", wrong);
await page.waitForSelector(".errors li", {timeout: 5000});
await settled(page);
const errors = await page.locator(".errors li").allTextContents();
check("a wrong key is shown with its line", errors.some((m) => m.includes(`line ${line}`) && m.includes("perload")), errors);
check("the drawing stays", (await page.locator(".belt").getAttribute("d")).length > 100);
await page.locator(".errors button", {hasText: "perload"}).first().click();
await settled(page);
check("a mistake leads to its place", await page.evaluate(() => { const area = /** @type {HTMLTextAreaElement} */ (document.querySelector(".text textarea")); return document.activeElement === area && area.value.slice(area.selectionStart).startsWith("perload"); }));
await axe(page, "errors");
await page.fill(".text textarea", readFileSync(kit, "utf8").replace("length: 1926 ", "length: 1920 "));
await settled(page);
await page.waitForFunction(() => document.querySelector("#designation").textContent === "7PK1920");
check("a mended text lays the belt again", (await page.locator(".errors").count()) === 0);
await page.evaluate(() => /** @type {HTMLElement} */ (document.activeElement).blur());
await page.click("#undo");
await page.click("#undo");
await settled(page);

// ---- a key by its name of before ------------------------------------------------------------------------------------------

check("no hint where no key is old", (await page.locator(".hints").count()) === 0);
await page.fill(".text textarea", readFileSync(kit, "utf8").replace("accel_rate:", "rises:"));
await page.waitForSelector(".hints", {timeout: 5000});
await settled(page);
check("a name of before is no mistake", (await page.locator(".errors").count()) === 0 && !(await page.locator("#tab-text").textContent()).includes("✕"));
same("it is told by one line that folds out", (await page.locator(".hints summary").allTextContents()).join("|"), "1 key has a new name");
await page.click(".hints summary");
check("with its new name", /line \d+ rises now called accel_rate/.test((await page.locator(".hints li").allTextContents()).join("")), await page.locator(".hints li").allTextContents());
await page.click(".hints button");
await settled(page);
check("and leads to its place", await page.evaluate(() => { const area = /** @type {HTMLTextAreaElement} */ (document.querySelector(".text textarea")); return area.value.slice(area.selectionStart, area.selectionEnd) === "rises"; }));
await axe(page, "hints");
await page.evaluate(() => /** @type {HTMLElement} */ (document.activeElement).blur());
await page.click("#undo");
await settled(page);
check("the hint goes with the word", (await page.locator(".hints").count()) === 0);
await page.click("#tab-drive");
await settled(page);
await numbersAgree(page, "back to the file", kit, Number(minus(await page.inputValue("#rpm"))));

// ---- another program writes ------------------------------------------------------------------------------------------

await page.fill("#rpm", "3000");
await page.press("#rpm", "Enter");
await drag(page, 6, 6, 0);
const disk = readFileSync(kit, "utf8").replace("title: Sedgemere", "title: New Sedgemere");
writeFileSync(kit, disk);
await page.waitForSelector("#bar-disk", {timeout: 9000});
check("a change on disk is said, and leaves the work alone", /stays as it is/.test(await page.locator("#bar-disk").textContent()) && await page.locator("#save").isEnabled());
await save(page);
await page.waitForSelector("#bar-taken");
check("a save keeps what another program wrote, and names it", /title/.test(await page.locator("#bar-taken").textContent()), await page.locator("#bar-taken").textContent());
const both = readFileSync(kit, "utf8");
check("both changes are in the file", both !== disk && both.includes("title: New Sedgemere") && both.split("\n").filter((line, i) => line !== disk.split("\n")[i]).length === 1, both);
await page.click("#bar-taken >> text=Close");
await page.fill("#rpm", "3000");
await page.press("#rpm", "Enter");
await drag(page, 6, 6, 0);
const mine = (await page.evaluate(() => JSON.parse(localStorage.getItem(`snub:work:${sessionStorage.getItem("snub:tab")}:sedgemere.yaml`)).changes))[0];
const spotOf = (text) => /name: idler[^]*?at: (\[[^\]]*\])/.exec(text.slice(text.indexOf(`name: ${mine.path.split(".")[0]}`) - 6).replace(/name: [\w-]+/, "name: idler"))[1];
const clash = both.replace(spotOf(both), "[1, 2]");
check("another place is written by another program", clash !== both, mine);
writeFileSync(kit, clash);
for (const again of ["", "again, "]) {
  await page.keyboard.press("Control+s");
  await page.waitForSelector("dialog[open]");
  same(`${again}nothing is written over another's change`, readFileSync(kit, "utf8"), clash);
  if (!again) { await axe(page, "changed on disk"); await page.click("dialog >> text=Cancel"); }
}
check("both values are shown", (await page.locator("dialog .review").textContent()).includes("[1, 2]") && (await page.locator("dialog .review").textContent()).includes(`[${mine.value.join(", ")}]`), await page.locator("dialog").textContent());
check("no save before one is taken", await page.locator("dialog >> text=Save with these").isDisabled());
await page.click("dialog >> text=Take mine");
await page.click("dialog >> text=Save with these");
await page.waitForFunction(() => document.querySelector("#save").textContent === "Saved");
check("mine is taken", spotOf(readFileSync(kit, "utf8")) === `[${mine.value.join(", ")}]` && readFileSync(kit, "utf8").includes("title: New Sedgemere"), readFileSync(kit, "utf8"));
await drag(page, 6, 6, 0);
writeFileSync(kit, clash);
await page.keyboard.press("Control+s");
await page.waitForSelector("dialog[open]");
await page.click("dialog >> text=Save as");
await page.waitForFunction(() => /** @type {HTMLInputElement} */ (document.querySelector("#file")).value === "sedgemere-2.yaml");
check("saved under another name", existsSync(join(folder, "sedgemere-2.yaml")) && readFileSync(kit, "utf8") === clash);
await page.selectOption("#file", "sedgemere.yaml");
await settled(page);
await page.waitForFunction(() => !document.querySelector("#title").textContent.endsWith(".yaml"), null, {timeout: 20000}).catch(() => undefined);
same("the other's change is read", await page.locator("#title").textContent(), "New Sedgemere inline six, twin-screw kit");
writeFileSync(kit, original);
await page.waitForFunction(() => document.querySelector("#title").textContent.startsWith("Sedgemere"), null, {timeout: 9000});
check("a change on disk is read when nothing is lost by it", true);

// ---- keyboard alone -----------------------------------------------------------------------------------------------------

await page.reload();
await settled(page);
await page.focus(".skip");
await page.keyboard.press("Enter");
await page.keyboard.press("Tab");
same("Tab reaches the first part", await page.evaluate(() => document.activeElement.getAttribute("data-pulley")), "0");
for (let i = 0; i < 4; i++) await page.keyboard.press("Tab");
same("Tab goes on", await page.evaluate(() => document.activeElement.getAttribute("aria-label").split(",")[0]), "blower");
await page.keyboard.press("ArrowUp");
await page.keyboard.press("ArrowUp");
await page.keyboard.press("Shift+ArrowLeft");
await settled(page);
const keyed = (await page.evaluate(() => JSON.parse(localStorage.getItem(`snub:work:${sessionStorage.getItem("snub:tab")}:sedgemere.yaml`)).changes))[0];
check("arrows move the part", keyed.path === "blower.at" && keyed.value[0] === 36 && keyed.value[1] === 386, keyed);
same("the focus stays on it", await page.evaluate(() => document.activeElement.getAttribute("aria-label").split(",")[0]), "blower");
await numbersAgree(page, "by keys", kit, 3000, "--set", "blower.at=[36, 386]");
const scale = await page.locator("#world").getAttribute("transform");
await page.keyboard.press("+");
check("plus zooms", (await page.locator("#world").getAttribute("transform")) !== scale);
await page.keyboard.press("0");
await save(page);
await settled(page);
check("saved by keys", readFileSync(kit, "utf8") === original.replace("    at: [46, 384]\n", "    at: [36, 386]\n"));
await page.focus("#tab-drive");
await page.keyboard.press("ArrowRight");
same("arrows change the panel", await page.evaluate(() => document.activeElement.id), "tab-findings");
await page.keyboard.press("Home");
await page.click("#keys");
await axe(page, "keys");
await page.keyboard.press("Escape");
check("Esc closes the dialog", (await page.locator("dialog[open]").count()) === 0);

// ---- the photo ------------------------------------------------------------------------------------------------------------

await page.click("#tab-photo");
await axe(page, "photo");
// What else the panel does is in photo_panel.mjs. A drawn photo of the kit's front at 2 px per mm, square on, crank at (600, 900) px; the steering pump stands at [238, 235], not where the file has it.
const rims = [[0, 0, 81], [-204, 268, 29], [-47, 340, 34], [46, 384, 44], [132, 296, 37], [238, 235, 63], [276, 22, 59], [-70, 125, 36]];
const photo = await page.evaluate(async (circles) => {
  const canvas = new OffscreenCanvas(1300, 1150), pen = canvas.getContext("2d");
  pen.fillStyle = "#b9b7b0"; pen.fillRect(0, 0, 1300, 1150);
  pen.fillStyle = "#8f8d86"; pen.fillRect(120, 60, 1060, 960);
  for (const [x, y, r] of circles) { pen.fillStyle = "#4a4d50"; pen.beginPath(); pen.arc(600 + 2 * x, 900 - 2 * y, 2 * r, 0, 7); pen.fill(); pen.fillStyle = "#777b7e"; pen.beginPath(); pen.arc(600 + 2 * x, 900 - 2 * y, r, 0, 7); pen.fill(); }
  return Array.from(new Uint8Array(await (await canvas.convertToBlob({type: "image/png"})).arrayBuffer()));
}, rims);
await page.setInputFiles('[data-key="file"]', {name: "front.png", mimeType: "image/png", buffer: Buffer.from(photo)});
await page.waitForSelector('[data-key="mark"]');
const onPhoto = async (px, py) => {
  const place = await page.evaluate(([x, y]) => { const image = /** @type {SVGImageElement} */ (document.querySelector("#world image")), m = image.getScreenCTM(), p = new DOMPoint(x, y).matrixTransform(m); return [p.x, p.y]; }, [px, py]);
  await page.mouse.click(place[0], place[1]);
};
const onRim = async (/** @type {number[]} */ [x, y, r]) => { for (let k = 0; k < 6; k++) await onPhoto(600 + 2 * x + 2 * r * Math.cos(k * 1.0472), 900 - 2 * y - 2 * r * Math.sin(k * 1.0472)); };
for (const [name, rim] of /** @type {[string, number[]][]} */ ([["crank", rims[0]], ["alternator", rims[1]], ["steering", rims[5]], ["compressor", rims[6]]])) {
  await page.locator('[data-key="which"]').selectOption(`${name}.rim`);
  await page.click('[data-key="mark"]');
  await onRim(rim);
}
for (const key of ["sized-crank.rim", "sized-compressor.rim", "placed-alternator.rim"]) await page.locator(`[data-key="${key}"]`).check();
await page.click('[data-key="stop"]');
const found = /x (-?[\d.]+) ± ([\d.]+), y (-?[\d.]+) ± ([\d.]+)/.exec(minus(await page.locator('.marked li[data-id="steering.rim"] .number').textContent())).slice(1).map(Number);
check("the steering pump is found where the photo has it", Math.abs(found[0] - 238) < found[1] && Math.abs(found[2] - 235) < found[3] && found[1] < 6, found);
await shoot(page, "page-photo");
await page.click('[data-key="use-steering.rim-at"]');
await settled(page);
const given = (await page.evaluate(() => JSON.parse(localStorage.getItem(`snub:work:${sessionStorage.getItem("snub:tab")}:sedgemere.yaml`)).changes))[0];
check("the pulley takes the measured place", given.path === "steering.at" && Math.abs(given.value[0] - found[0]) < 0.06 && Math.abs(given.value[1] - found[2]) < 0.06, given);
await page.click("#undo");
await page.click("text=Remove the photo");

// ---- the server dies and comes back --------------------------------------------------------------------------------------

await page.click("#tab-drive");
await drag(page, 6, 0, -7);
const typed = await page.evaluate(() => JSON.parse(localStorage.getItem(`snub:work:${sessionStorage.getItem("snub:tab")}:sedgemere.yaml`)).changes);
await killServer("SIGKILL");
await page.waitForSelector("#server.lost", {timeout: 9000});
check("a lost server is said", /does not answer/.test(await page.locator("#bar-server").textContent()));
await axe(page, "server lost");
await drag(page, 4, -5, 0);
const offline = await page.evaluate(() => JSON.parse(localStorage.getItem(`snub:work:${sessionStorage.getItem("snub:tab")}:sedgemere.yaml`)).changes);
check("work goes on without it", offline.length === 2 && typed.length === 1, offline);
await page.keyboard.press("Control+s");
await page.waitForSelector("#bar-save");
({address} = await serve(port));
await page.waitForSelector("#server.key", {timeout: 9000});
check("a new key is needed, and said to be", /new key/.test(await page.locator("#enter").textContent()));
check("the work stays in sight", await page.locator(".handle[data-pulley='4']").isVisible());
same("a key that is worth nothing is thrown away", await page.evaluate(() => sessionStorage.getItem("snub:key")), null);
await page.keyboard.press("Control+s");
await page.waitForSelector("#bar-save >> text=new key");
await axe(page, "new key", "all", "html");
await page.fill("#enter-address", address);
await page.press("#enter-address", "Enter");
await page.waitForSelector("#server.there", {timeout: 9000});
check("and the place to enter it goes", await page.locator("#enter").isHidden());
await settled(page);
await settled(page);
await numbersAgree(page, "connected again", kit, 3000, ...offline.flatMap((c) => ["--set", `${c.path}=[${c.value}]`]));
await page.reload();
await settled(page);
check("unsaved work outlives a reload", /was restored/.test(await page.locator("#bar-kept").textContent()));
await numbersAgree(page, "put back", kit, 3000, ...offline.flatMap((c) => ["--set", `${c.path}=[${c.value}]`]));
await page.click("#bar-kept >> text=Discard it");
await settled(page);
check("and can be discarded", await page.locator("#save").isDisabled());

// ---- without the key ----------------------------------------------------------------------------------------------------

const names = [...readdirSync(folder).filter((name) => name.endsWith(".yaml")), "Sedgemere inline six", folder, tmpdir()];
/** What to do, and nothing of the folder: not in the text, not in any answer. */
async function isOutside(page, name, answers) {
  await page.waitForSelector("#enter:not([hidden])");
  const text = await page.locator("body").innerText(), whole = `${await page.content()}${await page.title()}${answers.join("")}`;
  check(`${name}: says what to do`, /snub serve/.test(text) && /[Cc]opy the whole address/.test(text), text);
  check(`${name}: nothing of the folder`, !names.some((one) => whole.includes(one)), names.filter((one) => whole.includes(one)));
  check(`${name}: no dead bench`, !(await page.locator("#drawing").isVisible()) && !(await page.locator("#save").isVisible()));
}
const outside = await newPage(), answers = [];
outside.on("response", (response) => void response.text().then((text) => answers.push(text), () => undefined));
await outside.goto(`http://127.0.0.1:${port}/`);
await isOutside(outside, "opened by hand", answers);
await axe(outside, "without the key", "all", "html");
await outside.waitForTimeout(1500);
await isOutside(outside, "a while later", answers);
await outside.goto("about:blank");
await outside.goto(`http://127.0.0.1:${port}/?key=${keyOf(address)}`);
await isOutside(outside, "the key where it was before", answers);
const connect = async (text) => { await outside.fill("#enter-address", text); await outside.click("#enter-form button"); await outside.waitForFunction(() => document.querySelector("#enter-wrong").textContent || document.querySelector("#enter").hasAttribute("hidden")); return outside.locator("#enter-wrong").textContent(); };
check("pasted: no key", /no key in this/.test(await connect("http://127.0.0.1/")));
check("pasted: another server", /another server/.test(await connect(address.replace(`:${port}/`, `:${port + 1}/`))));
check("pasted: a wrong key", /not the key/.test(await connect(`http://127.0.0.1:${port}/#key=${"A".repeat(32)}`)));
await isOutside(outside, "after a wrong key", answers);
same("pasted: the address", await connect(`  ${address}\n`), "");
await outside.waitForSelector(".handle[data-pulley='4']");
same("and the page is there", await outside.locator("#title").textContent(), "Sedgemere inline six, twin-screw kit");
await settled(outside);
await outside.reload();
await outside.waitForSelector(".handle[data-pulley='4']");
check("a reload keeps the key", await outside.locator("#enter").isHidden());
const other = await outside.context().newPage();
await other.goto(`http://127.0.0.1:${port}/`);
await isOutside(other, "another tab of the same browser", []);
await other.goto(address);
await other.waitForSelector(".handle[data-pulley='4']");
check("an address put over the page's own lets it in", !other.url().includes("key="), other.url());
await outside.context().close();

// ---- dark, narrow, print, touch -----------------------------------------------------------------------------------------

writeFileSync(kit, original);
const dark = await newPage({colorScheme: "dark"});
await openPage(dark);
same("dark follows the system", await dark.evaluate(() => getComputedStyle(document.body).backgroundColor), "rgb(18, 25, 28)");
await dark.click('[data-key="row-tensioner"]');
await axe(dark, "dark");
await shoot(dark, "page-dark");
const narrow = await newPage({viewport: {width: 360, height: 740}, hasTouch: true, isMobile: true});
await openPage(narrow);
check("360 px: nothing sticks out", await narrow.evaluate(() => document.documentElement.scrollWidth) <= 360, await narrow.evaluate(() => document.documentElement.scrollWidth));
await axe(narrow, "360 px");
for (const id of ["findings", "chart", "curves", "planes", "photo", "text", "drive"]) {
  await narrow.click(`#tab-${id}`);
  await settled(narrow);
  check(`360 px, ${id}: nothing sticks out`, await narrow.evaluate(() => document.documentElement.scrollWidth) <= 360, await narrow.evaluate(() => document.documentElement.scrollWidth));
}
await narrow.evaluate(() => scrollTo(0, 0));
const spot = await narrow.locator(".handle[data-pulley='6'] .hit").boundingBox();
await narrow.touchscreen.tap(spot.x + spot.width / 2, spot.y + spot.height / 2);
await settled(narrow);
same("a touch chooses a part", await narrow.locator(".handle[data-pulley='6']").getAttribute("aria-pressed"), "true");
await shoot(narrow, "page-narrow");
await narrow.emulateMedia({media: "print"});
check("print leaves the buttons out", !(await narrow.locator("#undo").isVisible()));

check("nothing is asked of any other server", foreign.length === 0, foreign);
await browser.close();
same("SIGTERM ends the server with 0", await new Promise((ok) => killServer("SIGTERM").then(() => ok(0))), 0);
await tidyUp();
process.exit(sum());
