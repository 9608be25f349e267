// The core in the page: every frame under a hand has the program's numbers, with no server; without it the server answers as before.
import {browse, check, command, kit, killServer, same, serve, sum, tidyUp} from "./bench.mjs";

const {address, port} = await serve(0);
const browser = await browse();

async function open(block = false) {
  const page = await (await browser.newContext({viewport: {width: 1400, height: 900}})).newPage();
  page.on("pageerror", (error) => check("no error in the page", false, error.stack));
  if (block) await page.route("**/core.wasm", (route) => route.abort());
  await page.goto(address);
  await page.waitForSelector(".handle[data-pulley='4']");
  await page.waitForFunction((want) => document.body.dataset.core === want && document.body.dataset.rest === "true", block ? "none" : "here", {timeout: 20000});
  await page.waitForTimeout(200); // the snapshot is on its way
  return page;
}
const cell = (page, pulley, column) => page.locator(`[data-key="row-${pulley}"]`).locator("xpath=ancestor::tr").locator(`td[data-of="${column}"] > span`).textContent();
const place = async (page, pulley) => { const box = await page.locator(`.handle[data-pulley='${pulley}'] .hit`).boundingBox(); return [box.x + box.width / 2, box.y + box.height / 2]; };
const frames = (page, n = 3) => page.evaluate((count) => new Promise((ok) => { const next = (left) => (left ? requestAnimationFrame(() => next(left - 1)) : ok(null)); next(count); }), n);
const centre = (page, pulley) => page.evaluate((i) => { const c = document.querySelectorAll("#world .rim")[i]; return [Number(c.getAttribute("cx")), Number(c.getAttribute("cy"))]; }, pulley);

/** While the button is down: numbers of the frame against the command line's for the same place and belt. */
async function underAHand(page, name, lost) {
  const start = command("check", kit, "--rpm", "3000", "--json"), index = start.pulleys.findIndex((p) => p.name === "alternator");
  const settings = Object.entries(start.build.slots_mm).flatMap(([pulley, mm]) => ["--set", `${pulley}.slot.setting=${mm}`]);
  const [x, y] = await place(page, index);
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (const [i, [dx, dy]] of [[6, 4], [14, 9], [20, -12], [-25, 18], [3, 30]].entries()) {
    await page.mouse.move(x + dx, y + dy, {steps: 3});
    await frames(page);
    const at = await centre(page, index);
    const want = command("check", kit, "--rpm", "3000", "--json", ...settings, "--set", `belt.length=${start.build.belt_length_mm}`, "--set", `alternator.at=[${at.join(", ")}]`);
    for (const pulley of want.pulleys) {
      same(`${name}, frame ${i}: wrap of ${pulley.name}`, await cell(page, pulley.name, "wrap"), pulley.wrap_deg.toFixed(1));
      same(`${name}, frame ${i}: hub load of ${pulley.name}`, await cell(page, pulley.name, "hub load"), pulley.hub_load_N.toFixed(0));
    }
    const head = {pass: "PASS", marginal: "WATCH", fail: "FAIL"}[want.verdict];
    const shown = await page.locator("#verdict").textContent();
    check(`${name}, frame ${i}: verdict of the whole rev range`, shown.includes(head), shown, head);
    check(`${name}, frame ${i}: it is of now`, !/before/.test(await page.locator("#glance").textContent()), await page.locator("#glance").textContent());
  }
  await page.keyboard.press("Escape");
  await page.mouse.up();
  check(`${name}: the server ${lost ? "is lost" : "is there"}`, ((await page.locator("#server").getAttribute("class")) === "lost") === lost, await page.locator("#server").getAttribute("class"));
}

const page = await open();
await underAHand(page, "with the server", false);

// Pointer to painted frame with all numbers new. Printed, not judged: the machine decides it.
{
  const [x, y] = await place(page, 3);
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.evaluate(() => {
    const w = /** @type {any} */ (window);
    w.took = [];
    document.getElementById("drawing").addEventListener("pointermove", (event) => { requestAnimationFrame(() => { const channel = new MessageChannel(); channel.port1.onmessage = () => w.took.push(performance.now() - event.timeStamp); channel.port2.postMessage(0); }); });
  });
  for (let i = 0; i < 120; i++) { await page.mouse.move(x + 20 * Math.sin(i / 9), y + 12 * Math.cos(i / 7)); await frames(page, 1); }
  const took = (await page.evaluate(() => /** @type {any} */ (window).took)).sort((a, b) => a - b);
  console.log(`pointer to painted frame, all numbers new: median ${took[Math.floor(took.length / 2)].toFixed(1)} ms, 95th of ${took.length} ${took[Math.floor(took.length * 0.95)].toFixed(1)} ms`);
  await page.keyboard.press("Escape");
  await page.mouse.up();
}

// A move is calculated as it happens: when the browser hands it on with its frame, the drawing is there already.
{
  const [x, y] = await place(page, 3);
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.evaluate(() => {
    const w = /** @type {any} */ (window), rim = document.querySelectorAll("#world .rim")[3], at = () => `${rim.getAttribute("cx")} ${rim.getAttribute("cy")}`;
    w.early = {there: 0, all: 0, laid: 0};
    const drawing = document.getElementById("drawing"), box = drawing.getBoundingClientRect; // asked for it, the browser lays out what has changed
    drawing.getBoundingClientRect = () => { w.early.laid++; return box.call(drawing); };
    let last = at();
    addEventListener("pointermove", () => {
      const before = at();
      requestAnimationFrame(() => { const now = at(); if (now === last) return; w.early.all++; w.early.there += Number(now === before); last = now; });
    }, {capture: true, signal: (w.ending = new AbortController()).signal});
  });
  for (let i = 0; i < 40; i++) { await page.mouse.move(x + 20 * Math.sin(i / 5), y + 12 * Math.cos(i / 4)); await frames(page, 1); }
  const {there, all, laid} = await page.evaluate(() => { const w = /** @type {any} */ (window); w.ending.abort(); delete document.getElementById("drawing").getBoundingClientRect; return w.early; });
  check("moves are calculated before their frame", all > 15 && there > 0.7 * all, [there, all]);
  check("and laid out", laid > 0.7 * all, [laid, all]);

  // A hand that tells of many moves in each frame: all but those of the frames are left out after a while.
  const answers = await page.evaluate(async ([cx, cy]) => {
    const svg = document.getElementById("drawing"), send = (type, dx, dy) => svg.dispatchEvent(new PointerEvent(type, {bubbles: true, pointerId: 1, pointerType: "mouse", isPrimary: true, buttons: 1, clientX: cx + dx, clientY: cy + dy}));
    performance.clearMeasures("snub-drag");
    for (let frame = 0; frame < 12; frame++) {
      for (let i = 1; i <= 8; i++) { send("pointerrawupdate", 4 * i + frame, frame); await Promise.resolve(); await new Promise((ok) => setTimeout(ok, 0)); }
      send("pointermove", 33 + frame, frame);
      await new Promise((ok) => requestAnimationFrame(ok));
    }
    const all = () => performance.getEntriesByName("snub-drag").length, many = all(), rest = () => new Promise((ok) => setTimeout(ok, 20));
    send("pointermove", 20, 5); await rest();
    const farther = all();
    send("pointermove", 20.01, 5); await rest();
    return {many, farther: farther - many, same: all() - farther};
  }, [x, y]);
  check("a hand faster than the frames costs no answer for each of its moves", answers.many >= 12 && answers.many <= 40, answers, "12 to 40 of 108");
  same("nor does a move that is no step of the snap", `${answers.farther} ${answers.same}`, "1 0");
  await page.keyboard.press("Escape");
  await page.mouse.up();
}

const blocked = await open(true);
const before = await cell(blocked, "alternator", "wrap");
const [x, y] = await place(blocked, 3);
await blocked.mouse.move(x, y);
await blocked.mouse.down();
await blocked.mouse.move(x + 30, y - 20, {steps: 6});
await blocked.mouse.up();
await blocked.waitForFunction(() => document.body.dataset.rest === "true", null, {timeout: 20000});
check("without the core the server answers", before !== null && (await blocked.locator("#verdict").textContent()) !== "");
await blocked.close();

await killServer();
await page.waitForFunction(() => document.getElementById("server").className === "lost", null, {timeout: 15000});
await underAHand(page, "the server gone", true);
void port;
await browser.close();
await tidyUp();
process.exit(sum());
