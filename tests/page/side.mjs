// The side view, distances by two clicks, and the hardware tab. Last line: `N passed, N failed`.
import {readFileSync, writeFileSync} from "node:fs";
import {join} from "node:path";
import {browse, check, command, folder, kit, killServer, same as equal, serve, sum, tidyUp} from "./bench.mjs";
import {asker, axe, judged as settled, openFile, shooter, watched} from "./pages.mjs";

const same = (name, got, want) => equal(name, JSON.stringify(got), JSON.stringify(want));
const original = readFileSync(kit, "utf8"), heads = {pass: "PASS", marginal: "WATCH", fail: "FAIL"};
const write = (name, ...pairs) => writeFileSync(join(folder, name), pairs.reduce((text, [a, b]) => { if (!text.includes(a)) throw new Error(`no ${a}`); return text.replace(a, b); }, original));
write("no-stock.yaml", [/^shims:.*\n/m.exec(original)[0], ""]);
write("stack.yaml", ["      - {name: shim pack, kind: shim, length: 0}\n      - {name: pump and pulley", "      - {name: pump and pulley"]);
write("hot.yaml", ["thread: M8, class: 10.9, length: 38, washer: 16, torque: 31, condition: zinc, locates: true}\n      - {name: right", "thread: M8, class: 10.9, length: 38, washer: 16, torque: 60, condition: zinc, locates: true}\n      - {name: right"],
  ["faces: aluminium-aluminium", "friction: 0.05"], ["{type: 6203, count: 2, spacing: 13, fit: P7, temperature: 85, cleanliness: normal, oil: [110, 12]}\n  - name: steering", "{type: 6203, count: 2, spacing: 13, offset: 9, fit: P7, temperature: 85, cleanliness: normal, oil: [110, 12]}\n  - name: steering"]);
write("plate.yaml", ["    bracket: {material: aluminium, thickness: 14}", "    bracket: {material: aluminium, thickness: 14, outline: [[-136, 250], [206, 250], [206, 362], [-136, 362]]}"], ["limits:  ", "limits:\n  clearance: 90\nnothing:  "].map((x) => x) && ["  back_diameter_life: 65", "  clearance: 90\n  back_diameter_life: 65"]);
const {address, port} = await serve(0);
const browser = await browse();

async function newPage(options = {}) {
  const page = await watched(browser, options);
  await page.goto(address);
  await page.waitForSelector(".handle[data-pulley='2']");
  await settled(page);
  return page;
}
async function open(page, file) {
  if (await page.inputValue("#file") === file) return;
  await openFile(page, file);
  await page.waitForFunction(() => document.body.dataset.core === "here");
  await page.waitForTimeout(300); // its snapshot is on its way
}
const shoot = shooter(process.env.SNUB_SIDE_PICTURES);
const text = async (page, selector) => (await page.locator(selector).textContent()).replaceAll("−", "-");
const frames = (page, n = 3) => page.evaluate((count) => new Promise((ok) => { const next = (left) => (left ? requestAnimationFrame(() => next(left - 1)) : ok(null)); next(count); }), n);
const grip = (page, key) => page.locator(`#side .handle[data-key="${key}"] .hit`);
/** @returns {Promise<[number, number]>} Middle of what a hand takes, px; of a large one its lower part, where nothing lies over it. */
async function place(page, key, share = 0.5) { const box = await grip(page, key).boundingBox(); return [box.x + box.width / 2, box.y + box.height * share]; }
/** px per mm of the side view. */
const scale = (page) => page.evaluate(() => /** @type {SVGGElement} */ (document.querySelector("#side > g")).transform.baseVal[0].matrix.a);
const rim = (page, name) => page.evaluate((pulley) => { const r = [...document.querySelectorAll("#side rect.rim")].find((one) => one.querySelector("title").textContent === pulley); return Number(r.getAttribute("x")) + Number(r.getAttribute("width")) / 2; }, name);
const choose = async (page, a, b) => { for (const [i, label] of [a, b].entries()) await page.locator("#ruler select").nth(i).selectOption({label}); await page.waitForFunction(() => /apart|overlap|nothing/.test(document.querySelector("#ruler output").textContent)); return text(page, "#ruler output"); };
const verdict = async (page) => (await text(page, "#verdict")).split(" ")[1];

// ---- what stands where ---------------------------------------------------------------------------------------------------

const page = await newPage();
await page.click("#view-side"); await page.waitForSelector("#side rect.rim");
await settled(page);
same("eight pulleys", await page.locator("#side rect.rim").count(), 8);
/** z and y of the parts of a kind, from the file: [z low, z high, y low, y high]. */
const parts = (what) => page.evaluate((kind) => [...document.querySelectorAll(`#side .${kind}`)].map((r) => ["x", "width", "y", "height"].map((a, i, all) => Number((Number(r.getAttribute(a)) + (i % 2 ? Number(r.getAttribute(all[i - 1])) : 0)).toFixed(3)))), what);
same("the bridge: 14 on a face at -52, from the lowest bolt to the highest pulley, 14 more", (await parts("bracket")).map(([a, b, c]) => [a, b, c]), [[-52, -38, 262]]);
same("standoffs: 46 from -38 on, 32 thick", (await parts("standoff")).map(([a, b, c, d]) => [a, b, Number((d - c).toFixed(3))]), [[-38, 8, 32], [-38, 8, 32]]);
same("bearings: 12 wide, 13 apart about the plane, 40 outside and 17 inside", (await parts("bearing")).map(([a, b, c, d]) => [a, b, Number((d - c).toFixed(3))]), [[-12.5, -0.5, 11.5], [-12.5, -0.5, 11.5], [0.5, 12.5, 11.5], [0.5, 12.5, 11.5], [-12.5, -0.5, 11.5], [-12.5, -0.5, 11.5], [0.5, 12.5, 11.5], [0.5, 12.5, 11.5]]);
same("the exit idler's bolt: 60 long, its head at the standoff's end", (await parts("bolt")).filter(([, b, c]) => b === 8 && c === 290), [[-52, 8, 290, 302]]);
same("left ear: 38 long on a washer of 1.6", (await parts("bolt")).filter(([, , c, d]) => c === 336 && d === 344), [[-74.4, -36.4, 336, 344]]);
same("empty places for shims have no thickness", (await parts("shim")).map(([a, b]) => [a, b]), [[-38, -38], [-38, -38], [-43, -43]]);
same("obstacles by their z and height", await parts("obstacle"), [[-64, -18.64, -20, 8], [-58, 12, 158, 202]]);
same("seven ribs have eight lines", await page.evaluate(() => (document.querySelector("#side .ribs").getAttribute("d").match(/M/g) ?? []).length), 8);
await axe(page, "side view");
await shoot(page, "side-1280x720");

// ---- planes under a hand -------------------------------------------------------------------------------------------------

await open(page, "sedgemere.yaml");
await page.mouse.move(...await place(page, "compressor.plane", 0.4));
await page.mouse.wheel(0, -1300); // a mm is some 5 px then
await frames(page);
const k = await scale(page), [cx] = await place(page, "compressor.plane"), cy = (await page.locator("#side").boundingBox()).y + 150;
await page.mouse.move(cx, cy);
await page.mouse.down();
for (const mm of [1, 2, 4, -3, 2]) {
  await page.mouse.move(cx + mm * k, cy, {steps: 2});
  await frames(page);
  same(`plane ${mm}: drawn in the frame`, Number((await rim(page, "compressor")).toFixed(6)), mm);
  const want = command("check", kit, "--json", "--set", `compressor.plane=${mm}`, "--set", "wrap idler.slot.setting=38", "--set", "belt.length=1926");
  same(`plane ${mm}: the verdict of the frame`, await verdict(page), heads[want.verdict]);
}
await page.mouse.up();
await settled(page);
same("one state for one gesture", await page.locator("#undo").isDisabled(), false);
await page.click("#undo");
await settled(page);
same("and one undo takes it back", [await page.locator("#undo").isDisabled(), await rim(page, "compressor")], [true, 0]);
await page.locator('#side .handle[data-key="compressor.plane"]').focus();
await page.keyboard.press("ArrowRight");
await page.keyboard.press("Shift+ArrowRight");
await page.keyboard.press("Alt+ArrowRight");
await settled(page);
same("arrows: by the snap, ten times and a tenth of it", Number((await rim(page, "compressor")).toFixed(6)), 1 + 10 + 0.1);
same("the focus stays", await page.evaluate(() => document.activeElement.getAttribute("data-key")), "compressor.plane");
for (let i = 0; i < 3; i++) { await page.keyboard.press("Control+z"); await settled(page); }
await page.mouse.move(cx, cy);
await page.mouse.down();
await page.mouse.move(cx + 5 * k, cy, {steps: 3});
await page.keyboard.press("Escape");
await page.mouse.up();
await settled(page);
same("Escape cancels the drag", [await rim(page, "compressor"), await page.locator("#undo").isDisabled()], [0, true]);
const matrix = () => page.getAttribute("#world", "transform"), stood = await matrix(), before = await scale(page);
await page.click("#zoom-in");
same("a zoom is of the view that is shown", [(await scale(page)) > before * 1.2, await matrix()], [true, stood]);
await page.click("#zoom-fit");
same("and so is what shows all", [(await scale(page)) < before, await matrix()], [true, stood]);
const [kx, ky] = await place(page, "crank.plane", 0.9);
await page.mouse.move(kx, ky); await page.mouse.down(); await page.mouse.move(kx + 25, ky, {steps: 3}); await page.mouse.up();
same("the datum does not move by a swipe that was not meant for it", await rim(page, "crank"), 0);

await page.click("#zoom-fit");

// ---- shims ---------------------------------------------------------------------------------------------------------------

// Every pack of at most two of 0.15, 0.35, 0.7112 and 0.9.
const packs = [0, 0.15, 0.3, 0.35, 0.5, 0.7, 0.7112, 0.8612, 0.9, 1.05, 1.0612, 1.25, 1.4224, 1.6112, 1.8];
const shim = "exit idler.stack.shim pack.length";
const inFile = async (key) => Number(/shim pack of [a-z ]+, (\S+) mm/.exec(await page.locator(`#side .handle[data-key="${key}"]`).getAttribute("aria-label"))[1]);
await page.locator(`#side .handle[data-key="${shim}"]`).focus();
const met = [];
for (let i = 0; i < packs.length; i++) { await page.keyboard.press("ArrowRight"); await frames(page); met.push(await inFile(shim)); }
same("arrows go through the packs that the stock makes", met, [...packs.slice(1), 1.8].map((one) => Number(one.toFixed(2))));
await settled(page);
check("what is advised instead is said", /1.80 in the file, judged with 0.00 mm/.test(await text(page, "#side")), await text(page, "#side"));
same("and the pack of the file is drawn beside it", (await parts("in-file")).map(([a, b]) => [a, b]), [[-38, -36.2]]);
await shoot(page, "side-shim");
for (let i = 0; i < packs.length; i++) await page.keyboard.press("Control+z");
await settled(page);
await page.mouse.move(...await place(page, shim)); await page.mouse.wheel(0, -1300); await frames(page);
const [sx, sy] = await place(page, shim);
await page.mouse.move(sx, sy); await page.mouse.down(); await page.mouse.move(sx + 1.5 * k, sy, {steps: 4}); await page.mouse.move(sx + 0.98 * k, sy, {steps: 2}); await frames(page);
const dragged = await inFile(shim), wanted = 0.98, nearest = packs.reduce((best, one) => (Math.abs(one - wanted) < Math.abs(best - wanted) ? one : best));
same("a drag takes the nearest pack", dragged, Number(nearest.toFixed(2)));
await page.mouse.up(); await settled(page); await page.keyboard.press("Control+z"); await settled(page);

await open(page, "no-stock.yaml");
await page.locator(`#side .handle[data-key="steering.stack.shim pack.length"]`).focus();
await page.keyboard.press("ArrowRight");
await settled(page);
same("with no stock a shim goes by the snap, and counts as it is", [await rim(page, "steering"), await verdict(page)], [1, heads[command("check", join(folder, "no-stock.yaml"), "--json", "--set", "steering.stack.shim pack.length=1").verdict]]);
await page.keyboard.press("ArrowLeft"); await page.keyboard.press("ArrowLeft"); await settled(page);
same("it is never less than nothing", await rim(page, "steering"), 0);

// ---- refused -------------------------------------------------------------------------------------------------------------

await open(page, "stack.yaml");
await page.click("#zoom-fit");
const [rx, ry] = await place(page, "steering.plane", 0.9);
await page.mouse.move(rx, ry); await page.mouse.down(); await page.mouse.move(rx + 12, ry, {steps: 4}); await page.mouse.up();
await page.waitForSelector("#bar-move");
check("a plane that the stack gives goes back and says why", /taken back: pulleys.steering.plane is given together with a stack \(need plane or stack, not both\)/.test(await text(page, "#bar-move")), await text(page, "#bar-move"));
await settled(page);
same("and it is where it was", [await rim(page, "steering"), await page.locator("#undo").isDisabled()], [0, true]);
await page.locator("#bar-move button").click();

// ---- distances: from the file, worked out by hand ------------------------------------------------------------------------

await open(page, "sedgemere.yaml");
await page.click("#measure");
await page.waitForSelector("#ruler select");
check("lug and neck from the side: 150 of height between 8 and 158", /^150\.00 mm apart: 0\.00 mm along the crank, 150\.00 mm up/.test(await choose(page, "block lug", "thermostat neck")), await text(page, "#ruler output"));
check("the lug ends 18.64 behind the plane, the bridge's bolt head 36.4", /^17\.76 mm apart|apart: 0\.00 mm along/.test(await choose(page, "left ear of idler bridge", "block lug")), await text(page, "#ruler output"));
// compressor: 7 ribs of 3.56 and 1.44 more are 26.36 wide
check("compressor and lug: 18.64 - 26.36/2 along the crank, which is what is judged", /^5\.46 mm apart: 5\.46 mm along.*Clearance as drawn: 5\.46 mm in space, limit 4\.60 mm/.test(await choose(page, "compressor", "block lug")), await text(page, "#ruler output"));
await axe(page, "measuring");
await shoot(page, "side-measure");
await page.keyboard.press("Escape");
same("Escape ends it", [await page.locator("#ruler").isVisible(), await page.locator("#measure").getAttribute("aria-pressed")], [false, "false"]);
await page.click("#measure");
const lug = await page.evaluate(() => { const r = document.querySelector("#side rect.obstacle").getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; });
await page.mouse.click(lug[0], lug[1]);
await page.mouse.click(lug[0] - 200, lug[1] - 60);
await page.waitForFunction(() => /apart/.test(document.querySelector("#ruler output").textContent));
const to = await page.locator("#ruler select").nth(1).evaluate((one) => /** @type {HTMLSelectElement} */ (one).selectedOptions[0].textContent);
same("two clicks: a part and a free point", [await page.locator("#ruler select").nth(0).evaluate((one) => /** @type {HTMLSelectElement} */ (one).selectedOptions[0].textContent), /^point/.test(to)], ["block lug", true]);
const [pz, py] = JSON.parse(await page.locator("#ruler select").nth(1).inputValue()).at;
check("and their distance", (await text(page, "#ruler output")).startsWith(`${Math.hypot(-64 - pz, Math.max(0, py - 8)).toFixed(2)} mm apart`), await text(page, "#ruler output"), [pz, py]);
await page.click("#view-side");
same("the other view begins anew", await text(page, "#ruler output"), "Choose two things or points.");
/** @type {[string, string, number, string][]} */
const front = [["crank", "compressor", Math.hypot(276, 22) - 81 - 59, "limit 6.00 mm"], ["crank", "thermostat neck", Math.hypot(30, 166) - 81, "limit 6.00 mm"],
  ["left ear of idler bridge", "alternator", Math.hypot(88, 72) - 8 - 29, "No clearance is judged"], ["left ear of idler bridge", "right ear of idler bridge", Math.hypot(302, 12) - 16, "No clearance is judged"]];
for (const [a, b, mm, said] of front) {
  const got = await choose(page, a, b);
  check(`front: ${a} and ${b}`, got.startsWith(`${mm.toFixed(2)} mm apart`) && got.includes(said), got, mm);
}
await shoot(page, "front-measure");
const handle = async (i) => { const b = await page.locator(`.handle[data-pulley='${i}'] .hit`).boundingBox(); return [b.x + b.width / 2, b.y + b.height / 2]; };
const [p0, p7] = [await handle(0), await handle(7)];
await page.mouse.click(p0[0], p0[1]); await page.mouse.click(p7[0], p7[1]);
await page.waitForFunction(() => /^136.88 mm apart/.test(document.querySelector("#ruler output").textContent));
check("two clicks on pulleys, and nothing was moved", await page.locator("#undo").isDisabled());
const line = await page.evaluate(() => document.querySelector("#world .ruler-line path").getAttribute("d").split(/[ML ]/).slice(1, 5).map(Number));
check("the line stands between the nearest points", Math.abs(Math.hypot(line[0], line[1]) - 81) < 1e-6 && Math.abs(Math.hypot(line[2] - 276, line[3] - 22) - 59) < 1e-6, line);
await page.locator("#drawing").focus();
for (const keys of [["Enter"], [...Array(3).fill("Shift+ArrowRight"), "Enter"]]) for (const one of keys) await page.keyboard.press(one);
await page.waitForFunction(() => /apart|overlap/.test(document.querySelector("#ruler output").textContent));
check("the cross and Enter choose as well", await page.locator("#ruler select").nth(1).inputValue() !== "");
await page.keyboard.press("Escape");

await open(page, "plate.yaml");
await page.click("#measure");
check("a bracket's edge: blower's rim reaches over its upper edge at 362", /overlap/.test(await choose(page, "idler bridge", "blower")), await text(page, "#ruler output"));
check("compressor to the bracket's corner (206, 250)", (await choose(page, "idler bridge", "compressor")).startsWith(`${(Math.hypot(276 - 206, 22 - 250) - 59).toFixed(2)} mm apart`), await text(page, "#ruler output"));
const near = command("check", join(folder, "plate.yaml"), "--json").findings.find((f) => f.rule === "gap" && f.pulley === "exit idler" && f.other === "steering");
check("where the program has a finding, its number and limit", (await choose(page, "steering", "exit idler")).includes(`${near.level}: gap ${Number(near.value.toPrecision(4))} mm, limit ${near.limit} mm`), await text(page, "#ruler output"), near.value);
const between = command("check", join(folder, "plate.yaml"), "--json").findings.find((f) => f.rule === "obstacle" && f.pulley === "crank" && / - /.test(f.other));
check("of a span beside an obstacle as well", (await choose(page, "span crank - tensioner", "thermostat neck")).includes(`${between.level}: obstacle ${Number(between.value.toPrecision(4))} mm, limit`), await text(page, "#ruler output"), between.value);
await page.keyboard.press("Escape");

// ---- other drives --------------------------------------------------------------------------------------------------------

await open(page, "sedgemere-locked.yaml");
await page.click("#measure");
check("locked: crank and compressor", (await choose(page, "crank", "compressor")).startsWith(`${(Math.hypot(276, 22) - 70.5 - 59).toFixed(2)} mm apart`), await text(page, "#ruler output"));
await page.keyboard.press("Escape");
await page.click("#view-side"); await frames(page);
same("locked, from the side: no hardware, eight pulleys", [await page.locator("#side rect.rim").count(), await page.locator("#side .block").count()], [8, 0]);
await page.locator('#side .handle[data-key="tensioner.plane"]').focus(); await page.keyboard.press("ArrowRight"); await settled(page);
same("its tensioner's plane moves", await rim(page, "tensioner"), 1);
await open(page, "ironbrook-v8.yaml");
await page.click("#measure");
await page.click("#view-side");
check("V8 in inches: crank and water outlet", (await choose(page, "crank", "water outlet")).startsWith(`${(Math.hypot(2.5, 9.25) - 3.25 - 1).toFixed(4)} in apart`), await text(page, "#ruler output"));
check("its own limit", /limit 0\.2500 in/.test(await text(page, "#ruler output")), await text(page, "#ruler output"));
await page.keyboard.press("Escape");
await page.click("#view-side");
await page.locator('#side .handle[data-key="compressor.plane"]').focus(); await page.keyboard.press("ArrowRight"); await settled(page);
same("a step is five hundredths of an inch", Number(((await rim(page, "compressor")) / 25.4).toFixed(6)), 0.05);
const [ix, iy] = await place(page, "compressor.plane", 0.9);
await page.keyboard.down("Alt"); await page.mouse.move(ix, iy); await page.mouse.down(); await page.mouse.move(ix + 13, iy, {steps: 4}); await page.mouse.up(); await page.keyboard.up("Alt");
await settled(page);
const thousandths = Number(((await rim(page, "compressor")) / 0.0254).toFixed(3));
check("the finest step of a drag is a thousandth of an inch", Number.isInteger(thousandths) && thousandths % 50 !== 0, thousandths);
await page.keyboard.press("Control+z"); await settled(page);
await page.click("#tab-text");
await page.waitForFunction(() => /plane: 0\.05 in/.test(document.querySelector("textarea").value)).catch(() => undefined);
check("and is written in inches", /plane: 0\.05 in/.test(await page.locator("textarea").first().inputValue()), "no plane: 0.05 in");
await page.evaluate(() => localStorage.removeItem("snub:units"));

// ---- hardware: what `snub mount` says ------------------------------------------------------------------------------------

const ask = asker({address, port});
const fixed = (value, digits) => value === null ? "–" : value.toFixed(digits);
async function hardware(file) {
  const want = command("mount", join(folder, file), "--json"), body = {file, text: readFileSync(join(folder, file), "utf8"), changes: [], rpm: 3000, whole: true, mount: true};
  const answer = await ask("POST", "/api/lay", body);
  same(`${file}: the answer is that of snub mount to the digit`, answer.hardware, want);
  await open(page, file);
  await page.click("#tab-hardware");
  await page.waitForSelector(".hardware");
  const cell = (row, of) => text(page, `tr[data-row="${row}"] td[data-of="${of}"]`);
  for (const mount of want.mounts) for (const bolt of mount.bolts) {
    const row = `Bolts of ${mount.name}: ${bolt.name}`;
    same(`${file}: ${row}`, [await cell(row, "size"), await cell(row, "torque_N_m"), await cell(row, "slip_used"), await cell(row, "proof_safety"), await cell(row, "fatigue_safety")], [`${bolt.thread} ${bolt.class}`, fixed(bolt.torque_N_m, 1), fixed(bolt.slip_used, 2), fixed(bolt.proof_safety, 2), fixed(bolt.fatigue_safety, 2)]);
  }
  for (const p of want.pulleys) {
    if (p.standoff) same(`${file}: standoff of ${p.name}`, [await cell(`Standoffs under the worst hub load: ${p.name}`, "moment_N_m"), await cell(`Standoffs under the worst hub load: ${p.name}`, "slip_used")], [`${p.standoff.moment_N_m.toFixed(1)} of ${p.standoff.opens_at_N_m.toFixed(1)}`, fixed(p.standoff.slip_used, 2)]);
    if (p.bearing) same(`${file}: bearing of ${p.name}`, [await cell(`Bearings over the duty: ${p.name}`, "load_N"), await cell(`Bearings over the duty: ${p.name}`, "life_basic_h"), await cell(`Bearings over the duty: ${p.name}`, "life_h"), await cell(`Bearings over the duty: ${p.name}`, "top_rpm")], [fixed(p.bearing.load_N, 0), fixed(p.bearing.life_basic_h, 0), fixed(p.bearing.life_h, 0), `${p.bearing.top_rpm.toFixed(0)} of ${p.bearing.limit_rpm.toFixed(0)}`]);
  }
  return want;
}
await page.evaluate(() => { if (document.getElementById("units").textContent !== "mm") document.getElementById("units").click(); });
await hardware("sedgemere.yaml");
await axe(page, "hardware");
await shoot(page, "hardware-1280x720");
const hot = await hardware("hot.yaml");
const slips = hot.findings.find((f) => f.rule === "joint_slip" && f.level === "fail");
check("a bolt that slips is said in its row", (await page.locator('tr[data-row="Bolts of idler bridge: right ear"] + tr').textContent()).includes(`fail: ${slips.text.split(/(?<=\.) (?=[A-Z])/)[0]}`), await page.locator('tr[data-row="Bolts of idler bridge: right ear"] + tr').textContent());
check("a bearing's short life as well", /fail: The 6203 of exit idler lasts/.test(await page.locator('tr[data-row="Bearings over the duty: exit idler"] + tr').textContent()));
await page.click("#view-side"); await frames(page);
const front_ = await page.locator("#world .fasteners .bolt.fail").count();
await page.click("#view-side"); await frames(page);
same("hot bolts are marked in both views, and the bearing in its", [front_, await page.locator("#side .bolt.fail title", {hasText: "right ear"}).count() > 0, await page.locator("#side .bearing.fail").count()], [2, true, 4]);
await shoot(page, "side-hot");
await page.locator('tr[data-row="Bearings over the duty: exit idler"] + tr button').first().click();
await page.waitForFunction(() => document.querySelector("#shown") !== null);
await page.click("#tab-drive");
await page.click("#view-side");

// ---- the server gone: the core answers ------------------------------------------------------------------------------------

await open(page, "sedgemere.yaml");
await page.evaluate(() => document.querySelector("#panel-hardware").replaceChildren()); // tables of the last file are no answer
await page.click("#tab-hardware"); await page.waitForSelector("#panel-hardware .hardware");
await page.waitForFunction(() => !/Checking/.test(document.querySelector("#panel-hardware").textContent));
const said = await page.locator("#panel-hardware").textContent();
await page.waitForTimeout(1500); // the core has its snapshot
await killServer();
await page.waitForFunction(() => document.getElementById("server").className === "lost", null, {timeout: 15000});
await page.click("#tab-drive"); await page.click("#tab-hardware");
await page.waitForSelector(".hardware");
await page.waitForFunction(() => !/Checking/.test(document.querySelector("#panel-hardware").textContent)).catch(() => undefined);
same("the core's tables are the server's", await page.locator("#panel-hardware").textContent(), said);
await page.click("#measure");
check("and its distances", (await choose(page, "crank", "compressor")).startsWith("136.88 mm apart"), await text(page, "#ruler output"));
await page.close();

// ---- small, by touch, dark ------------------------------------------------------------------------------------------------

const again = await serve(port).catch(() => serve(0));
const phone = await watched(browser, {viewport: {width: 390, height: 844}, hasTouch: true, isMobile: true, colorScheme: "dark"});
await phone.goto(again.address);
await phone.waitForSelector(".handle[data-pulley='2']");
await settled(phone);
await phone.tap("#measure");
await phone.waitForSelector("#ruler select"); // sent when it is first opened
const spot = async (i) => { const b = await phone.locator(`.handle[data-pulley='${i}'] .hit`).boundingBox(); return [b.x + b.width / 2, b.y + b.height / 2]; };
for (const i of [0, 7]) { const [x, y] = await spot(i); await phone.touchscreen.tap(x, y); }
await phone.waitForFunction(() => /apart/.test(document.querySelector("#ruler output").textContent));
check("two taps", (await text(phone, "#ruler output")).startsWith("136.88 mm apart"), await text(phone, "#ruler output"));
await shoot(phone, "phone-measure-dark");
await phone.tap("#view-side"); await phone.waitForSelector("body[data-view='side'] #side .handle"); await frames(phone);
await shoot(phone, "phone-side-dark");
await axe(phone, "small side view, dark");
/** Words of the side view that lie on others, on the buttons or on the scales; and what has no name. */
const crowded = (page) => page.evaluate(() => {
  const box = (one) => one.getBoundingClientRect(), view = box(document.querySelector("#side")), words = [...document.querySelectorAll("#side > g:not(.scales) > text")];
  const meet = (a, b) => a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 3 && b.top < a.bottom - 3;
  const taken = [...document.querySelectorAll("#bench .corners > .corner")].map(box), foot = Math.min(...[...document.querySelectorAll("#side .scales text")].map((one) => box(one).top).filter((y) => y > view.bottom - 40));
  const faults = words.flatMap((one, i) => [...words.slice(i + 1).filter((other) => meet(box(one), box(other))).map((other) => `${one.textContent} on ${other.textContent}`), ...(taken.some((b) => meet(box(one), b)) ? [`${one.textContent} under the buttons`] : []), ...(box(one).bottom > foot + 2 ? [`${one.textContent} on the scale`] : []), ...(box(one).right > view.right ? [`${one.textContent} cut`] : [])]);
  const names = words.map((one) => one.firstChild.textContent.replace(/^\S /, ""));
  return {faults, missing: [...document.querySelectorAll("#side rect.rim title")].map((one) => one.textContent).filter((one) => !names.some((name) => name.endsWith(one)))};
});
await phone.tap("#measure"); await frames(phone);
for (const file of ["sedgemere.yaml", "ironbrook-v8.yaml", "three-pulleys.yaml"]) {
  await openFile(phone, file); await frames(phone);
  await phone.tap("#zoom-fit"); await frames(phone);
  same(`${file}: names on a phone lie on nothing, and none is missing`, await crowded(phone), {faults: [], missing: []});
  const top = await phone.evaluate(() => Math.min(...[...document.querySelectorAll("#side rect.rim")].map((one) => one.getBoundingClientRect().top)) - Math.max(...[...document.querySelectorAll("#bench .corners > .corner")].map((one) => one.getBoundingClientRect().bottom)));
  check(`${file}: nor does the drive lie under the buttons`, top >= 0, top);
}
await phone.setViewportSize({width: 390, height: 640}); await phone.waitForTimeout(200);
await openFile(phone, "sedgemere.yaml"); await phone.tap("#zoom-fit"); await frames(phone);
same("in a lower window they are on one line each", await crowded(phone), {faults: [], missing: []});
await shoot(phone, "phone-side-low");
await phone.setViewportSize({width: 390, height: 844}); await phone.waitForTimeout(200);
await phone.tap("#zoom-fit"); await frames(phone);
await phone.tap("#measure");
await phone.tap("#measure");
const [tx, ty] = await (async () => { const b = await phone.locator('#side .handle[data-key="compressor.plane"] .hit').boundingBox(); return [b.x + b.width / 2, b.y + b.height * 0.4]; })();
const kk = await phone.evaluate(() => /** @type {SVGGElement} */ (document.querySelector("#side > g")).transform.baseVal[0].matrix.a);
const cdp = await phone.context().newCDPSession(phone);
const touch = (type, x) => cdp.send("Input.dispatchTouchEvent", {type, touchPoints: type === "touchEnd" ? [] : [{x, y: ty}]});
await touch("touchStart", tx); for (let i = 1; i <= 4; i++) await touch("touchMove", tx + i * 30 * kk / 4); await touch("touchEnd", 0);
await settled(phone);
same("a finger moves a plane", Math.round(await phone.evaluate(() => { const r = [...document.querySelectorAll("#side rect.rim")].find((one) => one.querySelector("title").textContent === "compressor"); return Number(r.getAttribute("x")) + Number(r.getAttribute("width")) / 2; })), 30);
await phone.tap("#tab-hardware"); await phone.waitForSelector(".hardware");
await axe(phone, "small hardware, dark");
await phone.locator("#ledger").scrollIntoViewIfNeeded();
await shoot(phone, "phone-hardware-dark");

await browser.close();
await tidyUp();
process.exit(sum());
