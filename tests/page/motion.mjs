// Motion on the page, as a person looks at it: natural frequencies in the drawing, the map of speed against order, runs in time. Numbers are those of
// `snub motion`. Last line: `N passed, N failed`.
import {execFileSync} from "node:child_process";
import {readFileSync, writeFileSync} from "node:fs";
import {join} from "node:path";
import {browse, check, command, folder, kit, killServer, root, same as equal, serve, snub, sum, tidyUp} from "./bench.mjs";
import {asker, axe, judged, openFile, shooter, watched} from "./pages.mjs";

const same = (name, got, want) => equal(name, JSON.stringify(got), JSON.stringify(want));
const shoot = shooter(process.env.SNUB_MOTION_PICTURES);
const v8 = readFileSync(join(root, "examples/ironbrook-v8.yaml"), "utf8"), spoil = (name, text, a, b) => { if (!text.includes(a)) throw new Error(`no ${a}`); writeFileSync(join(folder, name), text.replace(a, b)); };
spoil("thrown.yaml", v8, "inertia: 20 lb in2", "inertia: 0.02 kg m2");
const small = readFileSync(join(folder, "three-pulleys.yaml"), "utf8");
writeFileSync(join(folder, "no-engine.yaml"), small.replace(/^engine:.*\n(?: .*\n)*/m, ""));
const server = await serve(0), {address} = server, browser = await browse(), ask = asker(server);

async function newPage(options = {}, where = address) {
  const page = await watched(browser, options);
  /** @type {string[]} */ const asked = [];
  page.on("request", (request) => asked.push(`${request.method()} ${new URL(request.url()).pathname}`));
  await page.goto(where);
  await page.waitForSelector(".handle[data-pulley='2']");
  await judged(page);
  return {page, asked};
}
const open = async (page) => { await page.click("#tab-motion"); await page.waitForSelector(".m-point"); };
const text = async (page, selector) => (await page.locator(selector).first().textContent()).replaceAll("−", "-");
const layer = (page, selector) => page.locator(`.motion ${selector}`).count();
/** Angle of each pulley's spoke, deg. */
const spokes = (page) => page.locator(".motion .m-spoke").evaluateAll((all) => all.map((one) => Number(one.getAttribute("data-deg"))));
async function runIt(page, scenario, fields = {}) {
  await page.selectOption("#motion-scenario", scenario);
  for (const [id, value] of Object.entries(fields)) await page.fill(id, value);
  await page.click("[data-key=motion-start]");
  await page.waitForSelector("[data-key=motion-play]");
}

// ---- the server's answer is the command's ----------------------------------------------------------------------------------

async function motion(wanted, file = kit, changes = []) {
  const {job} = await ask("POST", "/api/motion", {file: "x.yaml", text: readFileSync(file, "utf8"), changes, motion: wanted});
  for (;;) {
    const look = await ask("GET", `/api/job?id=${job}`);
    if (look.state !== "running") return look.result;
    await new Promise((done) => setTimeout(done, 5));
  }
}
/** Values that are not alike; a speed that is read from text may differ in its last bit, and so then does what follows of it. */
const unlike = (x, y, at = "") => typeof x === "number" && typeof y === "number" ? (Math.abs(x - y) <= 1e-5 * Math.max(1e-3, Math.abs(y)) ? [] : [`${at} ${x} ${y}`]) : x && y && typeof x === "object" && typeof y === "object" && Object.keys(x).join() === Object.keys(y).join() ? Object.keys(x).flatMap((key) => unlike(x[key], y[key], `${at}.${key}`)) : x === y ? [] : [`${at} ${x} ${y}`];
for (const [name, wanted, words] of /** @type {[string, object, string[]][]} */ ([["map", {}, []], ["map without load", {case: "closed-throttle", speeds: 5}, ["--case", "closed-throttle", "--speeds", "5"]], ["hold", {run: "hold", seconds: 0.05}, ["--run", "hold", "--seconds", "0.05"]], ["even blip", {run: "blip", even: true}, ["--run", "blip", "--even"]]]))
  same(`${name}: the bytes of snub motion`, (await motion(wanted)).motion, command("motion", kit, "--json", ...words));
same("hold at another speed", unlike((await motion({run: "hold", rpm: 900, seconds: 0.05})).motion, command("motion", kit, "--json", "--run", "hold", "--rpm", "900", "--seconds", "0.05")), []);
same("changes count", (await motion({}, kit, [{path: "blower.inertia", value: 0.003}])).motion.modes, command("motion", kit, "--json", "--set", "blower.inertia=0.003").modes);
for (const [wanted, key] of /** @type {[object | undefined, string][]} */ ([[undefined, "motion"], [{run: "fly"}, "run"], [{run: "pull", rpm: 900}, "run"], [{run: "hold", seconds: 21}, "seconds"], [{run: "hold", rpm: -1}, "rpm"], [{run: "hold", every: 0}, "every"], [{run: "pull", case: "steady"}, "case"], [{every: 0.1}, "every"], [{case: "wide open"}, "case"], [{speeds: 401}, "speeds"], [{run: "pull", even: 1}, "even"]])) {
  const refused = await motion(wanted);
  same(`refused: ${JSON.stringify(wanted)}`, [refused.status, refused.errors?.[0]?.key], [400, key]);
}
const held = await motion({run: "hold", rpm: 640, seconds: 0.02, every: 0.001}), [head, ...csv] = execFileSync(snub, ["motion", kit, "--run", "hold", "--rpm", "640", "--seconds", "0.02", "--csv", "-", "--metric"], {encoding: "utf8", stdio: ["ignore", "pipe", "ignore"]}).split("\n").filter((line) => /^(time|\d)/.test(line) && line.includes(",")).map((line) => line.split(","));
const columnOf = (name) => csv.map((row) => Number(row[head.indexOf(name)])), off = (a, b) => Math.max(...a.map((one, i) => Math.abs(one - b[i])));
for (const [name, of, most] of /** @type {[string, number[], number][]} */ ([["time [s]", held.columns.time_s, 1e-4], ["crank [rpm]", held.columns.crank_rpm, 0.006], ["arm [deg]", held.columns.arm_deg, 6e-4], ["tension of crank - tensioner [N]", held.columns.spans[0].tension_N, 0.06], ["least tension of wrap idler - blower [N]", held.columns.spans[3].low_N, 0.06], ["greatest tension of compressor - crank [N]", held.columns.spans[7].high_N, 0.06], ["speed of blower [rpm]", held.columns.pulleys[4].rpm, 0.06], ["slip on crank [m/s]", held.columns.pulleys[0].slip_m_s, 1e-4]]))
  check(`rows as --csv has them: ${name}`, csv.length === of.length && off(columnOf(name), of) < most, [csv.length, of.length, off(columnOf(name), of)], most);
const fine = await motion({run: "hold", rpm: 640, seconds: 2.01, every: 0.0001});
same("more rows than are sent are drawn together: none of the least and greatest is lost", [fine.columns.time_s.length, fine.motion.spans.map((one, i) => [Math.min(...fine.columns.spans[i].low_N), Math.max(...fine.columns.spans[i].high_N)].map((v, k) => Math.abs(v - [one.tension_N.low, one.tension_N.high][k]) < 0.01)).flat().every(Boolean)], [10050, true]);
const middle = held.places.slice(1, -1).map((one, i) => Math.max(...one.path.enter_mm.map((at, k) => Math.hypot(at[0] - (held.places[i].path.enter_mm[k][0] + held.places[i + 2].path.enter_mm[k][0]) / 2, at[1] - (held.places[i].path.enter_mm[k][1] + held.places[i + 2].path.enter_mm[k][1]) / 2))));
check("straight lines between places of the arm are near to the belt: a quarter of twice the step", Math.max(...middle) / 4 < 0.1, Math.max(...middle) / 4);

// ---- the tab ---------------------------------------------------------------------------------------------------------------

const {page, asked} = await newPage();
same("nothing of it comes before it is opened", asked.filter((one) => /motion/.test(one)), []);
await open(page);
same("then its script and its style come", ["GET /motion.js", "GET /motion.css"].map((one) => asked.includes(one)), [true, true]);
const own = command("motion", kit, "--json", "--speeds", "25");
const words = (mode) => Object.entries(mode.energy_share).sort((a, b) => b[1] - a[1]).filter(([, share]) => share >= 0.05).map(([name, share]) => `${name === "tensioner.arm" ? "arm" : name} ${(100 * share).toFixed(0)} %`).join(", ");
same("each natural frequency, as snub motion has it", await page.locator(".m-modes tbody tr").evaluateAll((all) => all.map((row) => [...row.children].map((cell) => cell.textContent))), own.modes.map((mode) => [mode.frequency_Hz.toFixed(1), mode.crank, mode.firing_meets_it_at_rpm.toFixed(0), words(mode)]));
same("and the inertias that are assumed", await text(page, ".m-inertias summary"), `Inertias: ${own.inertias.filter((one) => one.assumed).length} of ${own.inertias.length} assumed`);
// a mode's energy is that of its shape: each share as inertia times the square of how far it turns
const uneven = own.modes.flatMap((mode) => { const each = Object.entries(mode.shape).map(([name, turn]) => ({name, e: own.inertias.find((one) => one.name === name).inertia_kg_m2 * turn * turn})), all = each.reduce((total, one) => total + one.e, 0); return each.filter((one) => Math.abs(one.e / all - mode.energy_share[one.name]) > 1e-9).map((one) => one.name); });
same("the shapes have the energies", [uneven, own.modes.every((mode) => Math.abs(Math.max(...Object.values(mode.shape).map(Math.abs)) - 1) < 1e-9)], [[], true]);
await page.click("[data-key=mode-1]");
await page.waitForFunction(() => document.querySelectorAll(".motion .m-spoke").length === 8);
const early = await spokes(page);
await page.waitForFunction((was) => document.querySelector('.motion .m-spoke[data-pulley="6"]').getAttribute("data-deg") !== was, String(early[6].toFixed(2)));
same("one arm, one belt, a wedge for each pulley", [await layer(page, ".m-arm"), await layer(page, ".m-belt"), await layer(page, ".m-wedge")], [1, 1, 8]);
await axe(page, "a mode");
await shoot(page, "mode");
await page.click("[data-key=mode-play]");
const [a, b] = [await spokes(page), (await page.waitForTimeout(150), await spokes(page))];
same("a pause holds it", a, b);
await page.click("[data-key=mode-stop]");
same("Stop gives the drawing back", [await layer(page, "*"), await page.evaluate(() => document.body.dataset.motion ?? "")], [0, ""]);
await page.click("[data-key=mode-0]");
await page.waitForSelector(".motion .m-arm");
await page.click("#tab-drive");
await page.waitForFunction(() => !document.querySelector(".motion *"));
check("and so does another tab", true);
await page.click("#tab-motion");

// ---- speed against order ---------------------------------------------------------------------------------------------------

const worst = (at) => own.spans.map((span) => { const name = `${span.from} - ${span.to}`, mean = span.tension_N.find(([rpm]) => rpm === at.rpm)[1]; return {name, swing: at.tension_N[name], mean, share: at.tension_N[name] / mean}; }).reduce((x, y) => (y.share > x.share ? y : x));
const reads = (at) => { const w = worst(at); return `${at.rpm.toFixed(0)} rpm, order ${at.order} (${(at.order * at.rpm / 60).toFixed(0)} Hz): span ${w.name.replace(" - ", " – ")} swings by ${w.swing.toFixed(0)} N of ${w.mean.toFixed(0)} N, ${(100 * w.share).toFixed(0)} %${at.slack.length ? ", goes slack" : ""}; arm by ${at.arm_deg.toFixed(2)}°${at.arm_sticks ? ", held by its friction" : ""}`; };
same("each order at each speed, in words", await page.locator("[role=option]").evaluateAll((all) => all.map((one) => one.getAttribute("aria-label"))), own.orders.map(reads));
same("how it is marked", await page.locator("[role=option]").evaluateAll((all) => all.map((one) => one.getAttribute("class").split(" ")[1])), own.orders.map((at) => (at.slack.length ? "slack" : worst(at).share >= 0.5 ? "over" : "under")));
const top = own.orders.reduce((x, y) => (worst(y).share > worst(x).share ? y : x));
same("the worst is read first", await text(page, ".m-said"), reads(top));
await page.focus(".m-map");
await page.keyboard.press("End");
const last = own.orders.findLast((at) => at.order === top.order);
same("End: the highest speed", await text(page, ".m-said"), reads(last));
await page.keyboard.press("ArrowUp");
await page.keyboard.press("ArrowLeft");
const orders = [...new Set(own.orders.map((at) => at.order))].sort((x, y) => x - y), speeds = [...new Set(own.orders.map((at) => at.rpm))];
const above = own.orders.find((at) => at.order === orders[orders.indexOf(top.order) + 1] && at.rpm === speeds.at(-2));
same("up and left: another order, another speed", await text(page, ".m-said"), reads(above));
same("it is the active one", await page.evaluate(() => document.querySelector(`#${document.querySelector(".m-map").getAttribute("aria-activedescendant")}`).getAttribute("aria-selected")), "true");
await page.keyboard.press("Enter");
same("Enter sets the engine speed", await page.inputValue("#rpm"), above.rpm.toFixed(0));
const spot = await page.locator(`#motion-point-${own.orders.indexOf(top)}`).boundingBox();
await page.mouse.move(spot.x + spot.width / 2 + 2, spot.y + spot.height / 2);
same("the pointer reads what is nearest", await text(page, ".m-said"), reads(top));
await page.click(".m-table summary");
same("the table has the same", await page.locator(".m-table tbody tr").nth(0).locator("td").evaluateAll((all) => all.map((one) => one.textContent)), orders.map((order) => { const at = own.orders.find((one) => one.order === order && one.rpm === speeds[0]), w = worst(at); return `${(100 * w.share).toFixed(0)} % ${w.name.replace(" - ", " – ")}${at.slack.length ? ", slack" : ""}${at.arm_sticks ? ", arm sticks" : ""}`; }));
await page.click(".m-table summary");
const shut = command("motion", kit, "--json", "--speeds", "25", "--case", "closed-throttle");
await page.selectOption("#motion-load", "closed-throttle");
await page.waitForFunction((n) => document.querySelectorAll("[role=option]").length === n && !document.querySelector(".motion-view [role=status]")?.textContent.startsWith("Calc"), shut.orders.length);
check("without load it is another map", await page.locator("[role=option]").evaluateAll((all, n) => all.length === n, shut.orders.length));
await page.selectOption("#motion-load", "steady");

// ---- a run in time: held, then thrown ------------------------------------------------------------------------------------------

await runIt(page, "hold", {"#motion-rpm": "640", "#motion-seconds": "0,05"});
const hold = command("motion", kit, "--run", "hold", "--rpm", "640", "--seconds", "0.05", "--json"), rows = (await motion({run: "hold", rpm: 640, seconds: 0.05, every: 0.0005})).columns;
same("its events", (await page.locator(".m-events li").count()), hold.events.length);
same("its extremes", await page.locator(".motion-view section:last-child details table").first().locator("tbody tr").evaluateAll((all) => all.map((row) => [...row.children].slice(1, 3).map((cell) => cell.textContent))), hold.spans.map((one) => [one.tension_N.low.toFixed(0), one.tension_N.high.toFixed(0)]));
await page.locator("#motion-time").fill("0.02");
same("the moment in words", (await text(page, ".m-now")).split(";").slice(0, 2).join(";"), `0.0200 s, ${rows.engine_rpm[40].toFixed(0)} rpm; arm ${rows.arm_deg[40].toFixed(2)}°`);
same("and at the curves", await page.locator(".m-plot .m-number").evaluateAll((all) => [all.length, all[1].textContent]), [6, `${rows.pulleys[4].rpm[40].toFixed(0)} rpm`]);
const turned = rows.pulleys[0].rpm.slice(0, 41).reduce((all, rpm, i, list) => (i ? all + (rpm + list[i - 1]) / 2 * 0.0005 * 6 : 0), 0);
check("the crank has turned so far, clockwise", Math.abs((await spokes(page))[0] + turned) < 0.05, (await spokes(page))[0], -turned);
await page.locator("#motion-slow").fill("100");
same("slow motion to 1:500", await text(page, "output[for=motion-slow]"), "1:500");
await page.locator("#motion-slow").fill("0");
same("and 1:1", await text(page, "output[for=motion-slow]"), "1:1");
await page.locator("#motion-slow").fill("85");
await page.click("[data-key=motion-play]");
await page.waitForFunction(() => Number(/** @type {HTMLInputElement} */ (document.querySelector("#motion-time")).value) > 0.0205);
await page.click("[data-key=motion-play]");
const stood = await text(page, ".m-now");
await page.waitForTimeout(120);
same("a pause holds the moment", await text(page, ".m-now"), stood);
await page.selectOption("[data-key=motion-window]", "0.01");
const plot = await page.locator(".m-plot").boundingBox();
await page.locator(".m-plot").click({position: {x: plot.width - 9, y: plot.height - 60}});
const to = Number((await text(page, ".m-now")).split(" ")[0]);
check("a click at the curves' end goes a window on", to > 0.025 && to < 0.035, to);
await axe(page, "a run");
await shoot(page, "run");

await openFile(page, "thrown.yaml");
same("a run of another file is gone", await page.locator("[data-key=motion-play]").count(), 0);
await runIt(page, "launch");
const thrown = command("motion", join(folder, "thrown.yaml"), "--run", "launch", "--json", "--metric"), which = thrown.belt_thrown_at_event, off_ = thrown.events[which];
check("the belt may be thrown, and the panel says so", which !== null && (await page.locator(".m-alert").allTextContents()).some((one) => one.includes(`The belt may be thrown: span ${off_.at.replace(" - ", " – ")}`)), await page.locator(".m-alert").allTextContents());
check("the file is in inches, and so is what hangs loose", (await text(page, `[data-key=event-${which}]`)).includes(`${(off_.loose_mm / 25.4).toFixed(4)} in loose for ${(1000 * off_.longest_s).toFixed(1)} ms`), await text(page, `[data-key=event-${which}]`));
await page.click(`[data-key=event-${which}]`);
await page.locator("#motion-time").fill(((off_.from_s + off_.to_s) / 2).toFixed(3));
const place = thrown.spans.findIndex((one) => one.span === off_.at);
same("the loose span hangs out, and the belt is off", [await page.locator(".motion .loose").evaluateAll((all) => all.map((one) => Number(one.getAttribute("data-span")))), await layer(page, ".thrown"), await layer(page, ".m-off")], [[place], 1, 1]);
check("it is said with the moment", (await text(page, ".m-now")).includes(`slack: ${off_.at.replace(" - ", " – ")}`) && (await text(page, ".m-now")).includes("slips: "), await text(page, ".m-now"));
await shoot(page, "thrown");
await page.locator("#motion-time").fill("0.3");
same("before that it is on, and tight", [await layer(page, ".loose"), await layer(page, ".thrown")], [0, 0]);
check("least and greatest turned about show in the curve", await page.locator(".m-plot .m-band").count() === 3 && await page.locator(".m-plot .m-event.thrown").count() === 1);

// ---- a change, a stop, errors --------------------------------------------------------------------------------------------------

await page.locator(".handle[data-key='part-crank']").focus();
await page.locator(".handle[data-key='part-steering']").focus();
await page.keyboard.press("ArrowLeft");
await page.waitForSelector(".stale-note");
same("after a change the run is of before, and leaves the drawing", [await layer(page, "*"), await page.locator("[data-key=motion-play]").isDisabled()], [0, true]);
await page.keyboard.press("Control+z");
await page.waitForFunction(() => document.querySelector(".stale-note") === null && !/** @type {HTMLButtonElement} */ (document.querySelector("[data-key=motion-play]")).disabled);
check("taken back, the run is of now again", true);
await page.click("[data-key=mode-0]");
await page.waitForSelector(".motion .m-arm");
const steering = await page.locator(".handle[data-key='part-steering']").boundingBox();
await page.mouse.move(steering.x + steering.width / 2, steering.y + steering.height / 2); await page.mouse.down(); await page.mouse.move(steering.x + steering.width / 2 + 20, steering.y + steering.height / 2, {steps: 3});
same("a hand has the drawing at once", await layer(page, "*"), 0);
await page.keyboard.press("Escape"); await page.mouse.up();
await openFile(page, "sedgemere-locked.yaml");
await page.waitForFunction(() => document.querySelector(".m-modes tbody") && !document.querySelector(".motion-view [role=status]")?.textContent.startsWith("Calc"));
await page.click("[data-key=mode-0]");
await page.waitForSelector(".motion .m-belt");
same("a locked tensioner has no arm", [await layer(page, ".m-arm"), (await text(page, ".m-player [role=status]")).includes("the arm by")], [0, false]);
await openFile(page, "sedgemere.yaml");
await page.selectOption("#motion-scenario", "pull");
await page.click("[data-key=motion-start]");
await page.waitForFunction(() => document.querySelector(".motion-view .work progress")?.getAttribute("max"));
await page.click("[data-key=motion-stop]");
same("Stop ends the run", [await text(page, ".motion-view section:last-child [role=status]"), await page.locator(".motion-view .work").count()], ["Stopped.", 0]);
for (let job = 1, running = true; running && job < 500; job++) running = (await ask("GET", `/api/job?id=${job}`)).state === "running"; // none is left
await page.click("#tab-text");
await page.fill(".sheet textarea", "snub: 1\npulleys: 3\n");
await page.waitForSelector("#bar-errors");
await page.click("#tab-motion");
await page.waitForFunction(() => /belt: is missing/.test(document.querySelector(".motion-view .m-alert")?.textContent ?? ""));
check("a file that cannot be read is said at the panel, with its places", /line 2: pulleys: is not a list/.test(await text(page, ".motion-view .m-alert")), await text(page, ".motion-view .m-alert"));
await page.click("#undo");
await openFile(page, "no-engine.yaml");
await page.waitForSelector(".motion-view");
await page.click("[data-key=motion-start]");
await page.waitForSelector(".motion-view pre.failure");
check("a run needs an engine, and the panel says so", /engine/.test(await text(page, ".motion-view pre.failure")), await text(page, ".motion-view pre.failure"));
await page.context().close();

// ---- less motion, forced colours, a phone, German, a script that does not come ---------------------------------------------------

const calm = (await newPage({reducedMotion: "reduce"})).page;
await open(calm);
await calm.click("[data-key=mode-0]");
await calm.waitForFunction(() => document.querySelectorAll(".motion .m-spoke").length === 8);
const still = await spokes(calm), shape = own.modes[0].shape, names = own.inertias.map((one) => one.name).slice(0, 8), scale = still[2] / shape.alternator;
same("a mode stands still", (await calm.waitForTimeout(600), await spokes(calm)), still);
await calm.click("[data-key=mode-play]");
await calm.waitForFunction((was) => document.querySelector('.motion .m-spoke[data-pulley="2"]').getAttribute("data-deg") === was, (-still[2]).toFixed(2));
check("Play shows the other end", true);
// the belt turns rib-side pulleys clockwise, those on its back the other way
const {pulleys} = command("check", kit, "--json"), turns = (name) => pulleys.find((one) => one.name === name).turns, back = (name) => turns(name) !== turns("alternator");
check("each pulley by its part in the shape, in its own sense", names.every((name, i) => Math.abs(still[i] - scale * (shape[name] ?? 0) * (back(name) ? -1 : 1)) < 0.02), still);
check("and says so", (await calm.locator(".m-player .hint").allTextContents()).some((one) => one.includes("less motion")));
await calm.context().close();
const german = await (async () => { await killServer("SIGTERM"); const other = await serve(0, kit, ["--language", "de"]); return other.address; })();
const {page: phone} = await newPage({viewport: {width: 390, height: 844}, hasTouch: true, isMobile: true, colorScheme: "dark"}, german);
await phone.route("**/motion.js*", (route) => route.abort());
await phone.tap("#tab-motion");
await phone.waitForFunction(() => /does not answer/.test(document.querySelector(".motion-view").textContent));
same("a script that does not come is said", await text(phone, ".motion-view [role=status]"), "Motion is sent when it is first opened, and snub’s server does not answer. It opens as soon as the server is back.");
await phone.unroute("**/motion.js*");
await phone.tap("#tab-motion"); // asks once more
await phone.waitForSelector(".m-point");
same("in German", [await phone.getAttribute(".motion-view", "lang"), await text(phone, "#motion-modes"), await text(phone, "#motion-map")], ["de", "Eigenfrequenzen", "Drehzahl und Ordnung"]);
await phone.tap("[data-key=mode-0]");
await phone.waitForSelector(".motion .m-arm");
await axe(phone, "phone, dark, German");
await shoot(phone, "phone");
same("nothing is wider than the phone", await phone.evaluate(() => document.documentElement.scrollWidth), 390);
const low = await phone.evaluate(() => [...document.querySelectorAll(".motion-view :is(button, select, summary)")].filter((one) => one.getClientRects().length && one.getBoundingClientRect().height < 43.5).map((one) => one.textContent));
same("a finger has 44 px", low, []);
await killServer();
await phone.selectOption("#motion-load", "closed-throttle");
await phone.waitForSelector("[data-key=motion-again]");
check("a server that is gone is said", /does not answer/.test(await text(phone, ".motion-view .m-alert")), await text(phone, ".motion-view .m-alert"));
await browser.close();
await tidyUp();
process.exit(sum());
