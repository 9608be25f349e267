// State at a glance: verdict, limits, hot parts, the case of a finding, remedies, the end of travel. Last line: `N passed, N failed`.
import {readFileSync, writeFileSync} from "node:fs";
import {join} from "node:path";
import {browse, check, command, folder, kit, killServer, same as equal, serve, sum, tidyUp} from "./bench.mjs";
import {again, axe, judged as settled, openFile, shooter, watched} from "./pages.mjs";

const same = (name, got, want) => equal(name, JSON.stringify(got), JSON.stringify(want));
const heads = {pass: "PASS", marginal: "WATCH", fail: "FAIL"};
const original = readFileSync(kit, "utf8");
writeFileSync(join(folder, "hot.yaml"), original.replace("diameter: {value: 88, over: outside}", "diameter: 70"));
writeFileSync(join(folder, "limits.yaml"), original.replace(/^limits:.*\n/m, "$&  rib_tension: 150 N\n  grip_design: 0.6\n  belt_speed: 44 m/s\n").replace("    max_speed: 11800 rpm", "    max_speed: 11800 rpm\n    max_hub: 1500 N"));
const {address, port} = await serve(0);
const browser = await browse();

let plain = null;
/** One page serves all that ask for nothing of their own, opened anew for each. */
async function newPage(options = null) {
  if (options) return watched(browser, options);
  if (plain) await again(plain, address);
  return plain ??= await watched(browser);
}
async function open(page, file = "sedgemere.yaml") {
  if (!page.url().startsWith("http")) await page.goto(address);
  await page.waitForSelector(".handle[data-pulley='2']");
  await settled(page);
  await openFile(page, file);
}
const text = (page, selector) => page.locator(selector).textContent();
const shoot = shooter(process.env.SNUB_GLANCE_PICTURES);
/** Where a handle of the drawing is, in px. @returns {Promise<[number, number]>} */
async function place(page, selector) { const box = await page.locator(selector).boundingBox(); return [box.x + box.width / 2, box.y + box.height / 2]; }
async function set(page, changes) {
  await page.evaluate(() => /** @type {HTMLElement} */ (document.querySelector("#tab-text")).click());
  await page.waitForFunction(() => document.querySelector("textarea").value.length > 100);
  await page.evaluate((pairs) => {
    const area = document.querySelector("textarea");
    for (const [a, b] of pairs) { if (!area.value.includes(a)) throw new Error(`no ${a}`); area.value = area.value.replace(a, b); }
    area.dispatchEvent(new Event("input", {bubbles: true}));
  }, changes);
  await page.waitForFunction(() => document.querySelector("#glance").getAttribute("data-of") === "before");
  await settled(page);
}

// ---- the strip: the same as the command line says --------------------------------------------------------------------

const page = await newPage();
const minus = (words) => words.replaceAll("−", "-");
async function strip(file, figures) {
  await open(page, file);
  const want = command("check", join(folder, file), "--json");
  same(`${file}: the verdict as a word`, (await text(page, "#verdict")).split(" ")[1], heads[want.verdict]);
  same(`${file}: its level`, await page.getAttribute("#verdict", "class"), want.verdict);
  same(`${file}: the belt`, await text(page, "#designation"), want.build.own_number ?? want.build.designation);
  same(`${file}: boost and blower`, await text(page, "#figures"), want.blower ? figures(want.blower) : "");
  const worst = want.findings.find((f) => f.level === "fail" || f.level === "marginal");
  check(`${file}: the worst finding in one line`, worst ? minus(await text(page, "#worst")).includes(worst.rule.replaceAll("_", " ")) : /notes|No findings/.test(await text(page, "#worst")), await text(page, "#worst"));
  same(`${file}: nothing is said of before`, await text(page, "#verdict-of"), "");
  check(`${file}: it is in sight of the drawing`, await page.locator("#verdict").isVisible() && (await page.locator("#glance").boundingBox()).y < (await page.locator("#bench").boundingBox()).y);
}
const metric = (b) => `Boost at redline${b.boost_kPa.toFixed(1)} kPa${b.name} at redline${b.pulley_rpm.toFixed(0)} rpm`;
const inches = (b) => `Boost at redline${(b.boost_kPa / 6.894757293168).toFixed(2)} psi${b.name} at redline${b.pulley_rpm.toFixed(0)} rpm`;
await strip("sedgemere.yaml", metric);
await axe(page, "strip");
await shoot(page, "strip");
await strip("hot.yaml", metric);
check("and it is worth a word", (await text(page, "#verdict")).includes("FAIL"), await text(page, "#verdict"));
await shoot(page, "strip-fail");
await strip("sedgemere-locked.yaml", metric);
await strip("ironbrook-v8.yaml", inches);
await page.evaluate(() => localStorage.removeItem("snub:units"));

// ---- while a hand moves, and when the server is lost -----------------------------------------------------------------

const two = await newPage({}); // where the server answers: the core in the page would know better than "of before"
await two.route("**/core.wasm", (route) => route.abort());
await open(two, "sedgemere.yaml");
const [bx, by] = await place(two, ".handle[data-pulley='4'] .hit");
await two.mouse.move(bx, by);
await two.mouse.down();
const high = (await two.locator("#glance").boundingBox()).height;
await two.mouse.move(bx + 6, by - 9, {steps: 4});
await two.waitForFunction(() => document.querySelector("#verdict-of").textContent !== "");
same("while a hand moves the last verdict is of before", [await two.getAttribute("#glance", "data-of"), await text(two, "#verdict-of"), await text(two, "#verdict")], ["before", "of before the move", "● PASS"]);
same("and the drawing does not move under the hand", (await two.locator("#glance").boundingBox()).height, high);
await axe(two, "while a hand moves");
await shoot(two, "moving");
await two.mouse.up();
await two.waitForFunction(() => /change/.test(document.querySelector("#verdict-of").textContent));
await settled(two);
same("judged again it is of now", await text(two, "#verdict-of"), "");
await two.keyboard.press("Control+z");
await settled(two);
await two.route("**/api/**", (route) => route.abort());
await two.waitForFunction(() => document.querySelector("#server").className === "lost");
same("lost, the verdict is of before", [await two.getAttribute("#glance", "data-of"), await text(two, "#verdict-of")], ["before", "of before the server was lost"]);
await two.unroute("**/api/**");
await settled(two);
await set(two, [["ribs: 7", "ribs: seven"]]).catch(() => undefined);
same("with an error in the file it is of the last file without", await text(two, "#verdict-of"), "of the last file without errors");
await two.close();

// ---- the case of a finding -------------------------------------------------------------------------------------------

const three = await newPage();
async function cases(file) {
  await open(three, file);
  await three.click("#tab-findings");
  const path = join(folder, file), {findings: want, not_judged: leftOut} = command("check", path, "--json");
  same(`${file}: what the verdict leaves out`, (await three.locator("#panel-findings .not-judged li").allTextContents()).join("\n"), leftOut.map((one) => one.text).join("\n"));
  for (const [i, f] of want.entries()) {
    if (!f.case || f.case.set.length) continue;
    const button = three.locator(".findings button:not(.try)").nth(i);
    await button.focus();
    await three.keyboard.press("Enter");
    const options = ["--rpm", String(f.case.engine_rpm), "--belt", f.case.belt, ...(f.case.case === "steady" ? [] : ["--case", f.case.case.replaceAll(" ", "-")]),
      ...(f.case.arm_friction === "middle" ? [] : ["--arm-friction", f.case.arm_friction]), ...(f.case.warmth === "as usual" ? [] : [`--${f.case.warmth}`]), ...(f.case.peak ? ["--peak", f.case.peak] : [])];
    const of = command("check", path, "--json", ...options);
    await three.waitForFunction((words) => document.querySelector("#shown span")?.textContent === `Shown: ${words}`, of.state.words);
    check(`${file}, ${f.rule}: the case is said`, true);
    same(`${file}, ${f.rule}: its finding is marked in the list`, await button.getAttribute("aria-current"), "true");
    await three.click("#tab-drive");
    await three.waitForTimeout(60); // a panel is drawn after its tab is
    const cells = await three.locator("#panel-drive .ledger [data-of='hub load'] span").allTextContents();
    const factor = await three.locator("#units").textContent() === "in" ? 1 / 4.4482216152605 : 1;
    same(`${file}, ${f.rule}: the numbers are of that case`, cells.join(), of.pulleys.map((p) => (p.hub_load_N * factor).toFixed(0)).join());
    await three.click("#tab-findings");
  }
}
const rpm = () => three.locator("#rpm").inputValue();
await cases("hot.yaml");
await axe(three, "case");
await shoot(three, "case");
await three.keyboard.press("Escape");
same("Esc goes back to the normal view", [await three.locator("#shown").isHidden(), await rpm()], [true, "3000"]);
await settled(three);
await three.locator(".findings .marginal button").first().click();
await three.waitForSelector("#shown-back");
await three.click("#shown-back");
check("and so does one click", await three.locator("#shown").isHidden() && await rpm() === "3000");
await three.locator("#worst").click();
await three.waitForSelector("#shown span");
check("the line at the top shows its case too", await three.locator("#shown").isVisible());
await three.locator("#rpm").fill("2500");
await three.keyboard.press("Enter");
check("another speed is the normal view", await three.locator("#shown").isHidden());
await cases("ironbrook-v8.yaml");
await cases("sedgemere-locked.yaml");


// ---- limits: in force for the file, drawn and labelled ---------------------------------------------------------------

const four = await newPage();
await open(four, "limits.yaml");
const limited = command("check", join(folder, "limits.yaml"), "--rpm", "3000", "--json");
/** What stands at the height of a line of the ribbon, by the labels of an axis. */
const ribbon = (side) => four.evaluate((anchor) => {
  const marks = [...document.querySelectorAll("#ribbon text.number")].filter((t) => (anchor === "end" ? t.getAttribute("text-anchor") === "end" && /^\d+$/.test(t.textContent) : !t.hasAttribute("text-anchor") && /^[\d.]+$/.test(t.textContent)));
  const [a, b] = [marks[0], marks[marks.length - 1]].map((t) => [Number(t.getAttribute("y")) - 3.5, Number(t.textContent)]);
  const y = Number(/M[\d.]+ ([\d.]+)/.exec(document.querySelector("#ribbon path.limit").getAttribute("d"))[1]);
  return a[1] + (y - a[0]) / (b[0] - a[0]) * (b[1] - a[1]);
}, side);
check("the limit stands at its tension", Math.abs(await ribbon("end") - 150) < 1, await ribbon("end"), 150);
check("and at its grip, on the same line", Math.abs(await ribbon("start") - 0.6) < 0.005, await ribbon("start"), 0.6);
same("it is labelled", await text(four, "#ribbon text.limit"), "limit: 150 N on a rib, grip 0.60");
const over = limited.spans.map((s) => s.tension_N / limited.build.ribs).filter((t) => t > 150);
same("spans over it are marked with their numbers", await four.locator("#ribbon text.over").allTextContents().then((all) => all.filter((t) => !t.includes("grip"))), over.map((t) => `▲ ${t.toFixed(0)}`));
check("and there are some", over.length > 0);
const gripped = limited.pulleys.filter((p) => p.grip_used > 0.6).map((p) => `▲ grip ${p.grip_used.toFixed(2)}`);
same("pulleys over it as well", await four.locator("#ribbon text.number.over").allTextContents(), gripped);
check("and there are some of them", gripped.length > 0);
await shoot(four, "limits");
await four.click("#tab-curves");
await four.waitForSelector(".u-over");
for (const [kind, words] of Object.entries({grip: "grip 0.60", tension: "7 ribs at 150 N", hub: "limit of blower, 1500 N", turn: "limit of blower, 11800 rpm", speed: "limit, 44.00 m/s", arm: "stop, 58.00°"})) {
  await four.selectOption('[data-key="kind"]', kind);
  check(`curves of ${kind}: the limit is in words`, (await text(four, ".limits")).includes(words), await text(four, ".limits"), words);
  const across = await four.evaluate(() => {
    const canvas = document.querySelector(".plot canvas"), pen = /** @type {any} */ (canvas).getContext("2d"), {width, height} = /** @type {any} */ (canvas), data = pen.getImageData(0, 0, width, height).data;
    const want = getComputedStyle(document.documentElement).getPropertyValue("--ink").trim(), [r, g, b] = [1, 3, 5].map((i) => parseInt(want.slice(i, i + 2), 16));
    const rows = new Map();
    for (let i = 0; i < data.length; i += 4) if (data[i] === r && data[i + 1] === g && data[i + 2] === b && data[i + 3] > 200) { const y = Math.floor(i / 4 / width); rows.set(y, (rows.get(y) ?? 0) + 1); }
    return Math.max(0, ...rows.values()) / width;
  });
  check(`curves of ${kind}: the limit is drawn across`, across > 0.25, across);
}
await four.selectOption('[data-key="kind"]', "torque");
same("torque has none", await four.locator(".limits").count(), 0);
await four.selectOption('[data-key="kind"]', "turn");
await axe(four, "limits");
await shoot(four, "curves");

// ---- what is wrong, where it is --------------------------------------------------------------------------------------

const five = await newPage();
await open(five, "hot.yaml");
const hot = command("check", join(folder, "hot.yaml"), "--json").findings.filter((f) => f.level === "fail" || f.level === "marginal");
const speed = hot.find((f) => f.rule === "pulley_speed"), tight = hot.find((f) => f.span), seat = hot.find((f) => f.area === "hardware" && f.pulley);
check("the drive has one of each", speed && tight && seat, hot.map((f) => f.rule));
same("a hot pulley has a ring that says which rule", await five.locator("#world .marks circle.pulley.fail title").allTextContents(), [`fail: ${speed.rule.replaceAll("_", " ")}`]);
check("a hot seat has one of its own", (await five.locator("#world .marks circle.seat title").allTextContents()).some((t) => t.includes(seat.rule.replaceAll("_", " "))));
check("a hot span is marked", (await five.locator("#world .marks path.span title").allTextContents()).join().includes(tight.rule.replaceAll("_", " ")));
check("and labelled, with a glyph", (await five.locator("#screen .mark").allTextContents()).join("").includes("◐ rib tension"), await five.locator("#screen .mark").allTextContents());
check("the pulley's own label has glyph and rule", /✕ blower/.test(await text(five, "#screen")) && /pulley speed/.test(await text(five, "#screen")), await text(five, "#screen"));
const dash = (selector) => five.evaluate((s) => getComputedStyle(document.querySelector(s)).strokeDasharray, selector);
check("fail and marginal differ in their dashes", await dash("#world .marks circle.fail") !== await dash("#world .marks .marginal"), await dash("#world .marks circle.fail"));
await axe(five, "hot");
await shoot(five, "hot");
await open(five, "sedgemere.yaml");
same("a drive that passes has no mark", await five.locator("#world .marks *").count() + await five.locator("#screen .mark").count(), 0);

// ---- overlap, while a hand moves -------------------------------------------------------------------------------------

const from = await place(five, ".handle[data-pulley='5'] .hit"), to = await place(five, ".handle[data-pulley='6'] .hit");
await five.mouse.move(...from);
await five.mouse.down();
await five.mouse.move(from[0] + (to[0] - from[0]) * 0.45, from[1] + (to[1] - from[1]) * 0.45, {steps: 6});
await five.waitForFunction(() => /overlap by/.test(document.querySelector("#screen").textContent));
check("pulleys that overlap are named while a hand moves", /✕ exit idler and steering overlap by [\d.]+ mm/.test(await text(five, "#screen")), await text(five, "#screen"));
await shoot(five, "overlap");
await five.mouse.move(...from, {steps: 4});
await five.waitForFunction(() => !/overlap by/.test(document.querySelector("#screen").textContent));
check("and no more when they are apart", true);
const neck = await five.evaluate(() => { const box = document.querySelectorAll("#world .obstacles path")[1].getBoundingClientRect(); return [box.x + box.width / 2, box.y + box.height / 2]; });
await five.mouse.move(from[0] + (neck[0] - from[0]) * 0.5, from[1] + (neck[1] - from[1]) * 0.5, {steps: 6});
await five.waitForFunction(() => /exit idler (runs into|and) thermostat neck/.test(document.querySelector("#screen").textContent));
check("what runs into an obstacle is named too", true);
await five.mouse.move(...from, {steps: 3});
await five.mouse.up();
await five.waitForTimeout(300);
await settled(five);

// ---- the crank does not move by a stray swipe; a move that is refused goes back --------------------------------------

const crankFile = () => five.evaluate(() => JSON.stringify([document.querySelector("#save").textContent, document.querySelector(".handle[data-pulley='0']").getAttribute("aria-label")]));
const still = await crankFile();
const crank = await place(five, ".handle[data-pulley='0'] .hit");
await five.mouse.move(...crank);
await five.mouse.down();
await five.mouse.move(crank[0] + 40, crank[1] - 25, {steps: 5});
await five.mouse.up();
await settled(five);
same("a swipe over the crank does not move it", await crankFile(), still);
const after = await place(five, ".handle[data-pulley='0'] .hit");
check("it moves the view", Math.abs(after[0] - crank[0] - 40) < 2 && Math.abs(after[1] - crank[1] + 25) < 2, [crank, after]);
await five.mouse.click(...after);
same("a click selects it", await five.getAttribute(".handle[data-pulley='0']", "aria-pressed"), "true");
await five.mouse.move(...after);
await five.mouse.down();
await five.mouse.move(after[0] + 12, after[1], {steps: 4});
await five.mouse.up();
await five.waitForTimeout(300);
await settled(five);
check("selected, it moves", await crankFile() !== still, await crankFile());
await five.keyboard.press("Control+z");
await settled(five);
// A pulley cannot stand where another one stands.
await five.click("#zoom-fit");
const lies = async (i) => JSON.stringify(await five.getAttribute(`.handle[data-pulley='${i}']`, "aria-label"));
const clean = await five.locator("#save").isDisabled(), was = await lies(7), target = await place(five, ".handle[data-pulley='6'] .hit"), source = await place(five, ".handle[data-pulley='7'] .hit");
await five.mouse.move(...source);
await five.mouse.down();
await five.mouse.move(...target, {steps: 8});
await five.mouse.up();
await five.waitForSelector("#bar-move");
await settled(five);
same("a move that is refused goes back", await lies(7), was);
check("and it says why", /compressor.*is also the position of pulley 'steering'/.test(await text(five, "#bar-move")), await text(five, "#bar-move"));
same("with nothing more to save", await five.locator("#save").isDisabled(), clean);
await axe(five, "taken back");

// ---- the end of travel -----------------------------------------------------------------------------------------------

/** The arm's tip is on the end of the drawn travel that such a belt drives it to. */
async function onEnd(page, name) {
  const angle = await page.evaluate(() => {
    const numbers = (d) => d.match(/-?[\d.]+(?:e-?\d+)?/g).map(Number), arm = numbers(document.querySelector("#world .arm").getAttribute("d")), travel = numbers(document.querySelector("#world .travel").getAttribute("d"));
    return {tip: arm.slice(2), from: travel.slice(0, 2), to: travel.slice(7, 9)};
  });
  const end = name === "too long" ? angle.from : angle.to;
  check(`${name}: the arm stands on that end of its travel`, Math.hypot(angle.tip[0] - end[0], angle.tip[1] - end[1]) < 1e-3, angle);
}
const six = await newPage();
/** @type {[string, string, [string, string][], string][]} */
const ways = [
  ["too short", "sedgemere.yaml", [["  stock: {from: 1860, to: 1980, step: 6}\n", ""], ["length: 1926 ", "length: 1850 "]], "belt too short by"],
  ["too long", "sedgemere.yaml", [["length: 1850 ", "length: 2100 "]], "belt too long by"],
];
for (const [i, [name, file, edits, words]] of ways.entries()) {
  if (!i) await open(six, file);
  await set(six, edits);
  const path = join(folder, "edited.yaml");
  writeFileSync(path, await six.evaluate(() => document.querySelector("textarea").value));
  const said = (await six.locator("#screen .mark").allTextContents()).join("").match(/✕ belt too.*/)?.[0];
  check(`${name}: it is said at the arm`, said?.startsWith(`✕ ${words}`), said);
  const stopped = command("check", path, "--json", "--rpm", "3000"), by = Number(/by ([\d.]+) mm/.exec(said ?? "")?.[1]);
  const want = stopped.state.no_equilibrium ? Number(/it is ([\d.]+) mm too long/.exec(stopped.state.no_equilibrium)[1]) : null;
  if (want !== null) same(`${name}: by what the program says`, by, want);
  check(`${name}: the belt is drawn taut and red along the tangents`, await six.evaluate(() => { const belt = document.querySelector("#world .belt"); return belt.classList.contains("off") && belt.getAttribute("d").length > 200 && getComputedStyle(belt).strokeDasharray === "none"; }));
  await onEnd(six, name);
  await axe(six, name);
  await shoot(six, name.replace(" ", "-"));
}

// ---- dragged out of its travel ---------------------------------------------------------------------------------------

const seven = await newPage({viewport: {width: 390, height: 844}});
await open(seven, "sedgemere.yaml");
await axe(seven, "small");
await shoot(seven, "small");
const blower = await place(seven, ".handle[data-pulley='4'] .hit");
await seven.mouse.move(...blower);
await seven.mouse.down();
await seven.mouse.move(blower[0], blower[1] - 22, {steps: 6});
await seven.waitForFunction(() => /belt too short by/.test(document.querySelector("#screen").textContent));
check("a hand that pulls the belt taut sees so at once", await seven.evaluate(() => document.querySelector("#world .belt").classList.contains("off")));
await shoot(seven, "taut");
await onEnd(seven, "too short");
await seven.mouse.move(blower[0], blower[1] + 44, {steps: 8});
await seven.waitForFunction(() => /belt too long by/.test(document.querySelector("#screen").textContent));
await onEnd(seven, "too long");
await seven.mouse.move(...blower, {steps: 4});
await seven.waitForFunction(() => !/belt too/.test(document.querySelector("#screen").textContent) && !document.querySelector("#world .belt").classList.contains("off"));
check("and back within the travel it is as before", true);
await seven.mouse.up();
await seven.close();

// ---- a remedy is tried ----------------------------------------------------------------------------------------------

const eight = await newPage();
for (const [file, edit, of] of [["sedgemere.yaml", ["side: back               # runs", "side: rib                # runs"], "repair"], ["ironbrook-v8.yaml", ["  ribs: 8\n", "  ribs: 8\n  length: 1850 mm\n"], "arm_travel"]]) {
  await open(eight, String(file));
  await set(eight, [[edit[0], edit[1]]]);
  await eight.click("#tab-findings");
  const path = join(folder, "edited.yaml");
  await eight.click("#tab-text");
  writeFileSync(path, await eight.evaluate(() => document.querySelector("textarea").value));
  await eight.click("#tab-findings");
  const said = command("check", path, "--json"), found = said.findings.find((f) => f.rule === of && f.changes.length), [change] = found?.changes ?? [{}];
  check(`${file}: the program proposes a change`, found, said.findings.map((f) => [f.rule, f.changes]));
  const buttons = eight.locator(".findings .try");
  same(`${file}: each proposed change has its button`, await buttons.count(), said.findings.filter((f) => f.changes.length).length);
  await axe(eight, `${file}: remedies`);
  const before = await text(eight, "#verdict");
  await eight.locator(".findings .try").filter({hasText: change.path}).first().focus();
  await eight.keyboard.press("Enter");
  await eight.waitForFunction(() => document.querySelector(".tried") && !/being checked/.test(document.querySelector(".tried").textContent));
  await settled(eight);
  const after = command("check", path, "--json", "--set", `${change.path}=${change.value}`);
  const cells = await eight.locator(".tried td").allTextContents();
  same(`${file}: verdict before and after`, cells.slice(0, 2).map((t) => t.split(" ")[1]), [heads[said.verdict], heads[after.verdict]]);
  check(`${file}: it is what the command line says of it`, before.includes(heads[said.verdict]) && (await text(eight, "#verdict")).includes(heads[after.verdict]));
  check(`${file}: the finding is there before and not after`, cells[4] !== "" && cells[5] === "not found any more", cells);
  const worst = after.findings.find((f) => f.level === "fail" || f.level === "marginal");
  check(`${file}: and the worst of after`, worst ? cells[3].includes(worst.rule.replaceAll("_", " ")) : cells[3] === "nothing worse than notes", cells);
  await axe(eight, `${file}: tried`);
  await shoot(eight, `tried-${of}`);
  await eight.click('[data-key="try-undo"]');
  await settled(eight);
  same(`${file}: one undo takes it back`, [await text(eight, "#verdict"), await eight.locator(".tried").count()], [before, 0]);
  await eight.evaluate(() => localStorage.clear());
}
await eight.close();

// ---- a finger; a speed that is set while the complete check waits; the dark theme ------------------------------------

const nine = await newPage({viewport: {width: 390, height: 844}, hasTouch: true, colorScheme: "dark"}); // by the server, which may be slow
await nine.route("**/core.wasm", (route) => route.abort());
await open(nine, "hot.yaml");
await axe(nine, "small, dark");
await shoot(nine, "small-dark");
const touch = await nine.context().newCDPSession(nine);
async function swipe([x, y], [dx, dy]) {
  await touch.send("Input.dispatchTouchEvent", {type: "touchStart", touchPoints: [{x, y}]});
  for (let i = 1; i <= 6; i++) await touch.send("Input.dispatchTouchEvent", {type: "touchMove", touchPoints: [{x: x + dx * i / 6, y: y + dy * i / 6}]});
  await touch.send("Input.dispatchTouchEvent", {type: "touchEnd", touchPoints: []});
  await nine.waitForTimeout(300);
  await settled(nine);
}
const saveable = () => nine.locator("#save").isEnabled();
await nine.locator("#bench").scrollIntoViewIfNeeded();
await swipe(await place(nine, ".handle[data-pulley='0'] .hit"), [30, -20]);
same("a finger that swipes over the crank moves nothing", await saveable(), false);
await swipe(await place(nine, ".handle[data-pulley='4'] .hit"), [4, 3]);
same("nor does one that trembles on a pulley", await saveable(), false);
await swipe(await place(nine, ".handle[data-pulley='4'] .hit"), [14, 0]);
same("but one that drags a pulley does", await saveable(), true);
await nine.click("#undo");
await nine.waitForTimeout(300);
await settled(nine);
await nine.route("**/api/lay", async (route) => { await new Promise((ok) => setTimeout(ok, 250)); await route.continue().catch(() => undefined); });
await nine.evaluate(() => { const rail = /** @type {HTMLInputElement} */ (document.querySelector("#rpm-rail")); const go = (rpm) => { rail.value = rpm; rail.dispatchEvent(new Event("input")); }; /** @type {HTMLElement} */ (document.querySelector("#redo")).click(); go("2000"); setTimeout(() => go("2500"), 200); setTimeout(() => go("3000"), 350); });
await nine.waitForFunction(() => document.querySelector("#glance").getAttribute("data-of") === "before");
await settled(nine);
same("a speed that is set meanwhile does not lose the complete check", await text(nine, "#verdict-of"), "");
await nine.unroute("**/api/lay");
await nine.close();

//NEXT

await browser.close();
await killServer("SIGTERM");
await tidyUp();
void port;
process.exit(sum());
