// Hands and eyes: words that lie on nothing, fingers, sizes, zoom, forced colours, focus, undo, legend. Last line: `N passed, N failed`.
import {readdirSync, readFileSync, writeFileSync} from "node:fs";
import {join} from "node:path";
import {browse, check, folder, long, root, same as equal, save, serve, sum, tidyUp} from "./bench.mjs";
import {again, axe, judged as settled, openFile, shooter, watched} from "./pages.mjs";
import {dice} from "./scenes.mjs";

const same = (name, got, want) => equal(name, JSON.stringify(got), JSON.stringify(want));
const only = process.env.SNUB_HANDS_ONLY?.split(",") ?? null;
const {address} = await serve(0);
const browser = await browse();
const sizes = [[1280, 720], [1440, 900], [2560, 1440], [768, 1024], [390, 844]];
const files = [...readdirSync(join(root, "examples")).filter((name) => name.endsWith(".yaml")), "hot.yaml"];
writeFileSync(join(folder, "hot.yaml"), readFileSync(join(folder, "sedgemere.yaml"), "utf8").replace("diameter: {value: 88, over: outside}", "diameter: 70")); // fails and marginals
const tabs = ["drive", "findings", "chart", "curves", "motion", "planes", "photo", "entries", "text"];

/** Which tabs at a size: all where the page is narrowest and where it is as most have it, a third of them at each of the others. */
const tabsAt = (/** @type {number[]} */ [width]) => tabs.filter((_, i) => long || width === 390 || width === 1280 || i % 3 === [1440, 2560, 768].indexOf(width));
/** One page of each kind of device, opened anew for each that asks. */
const pages = new Map();
async function newPage(/** @type {number[]} */ [width, height], options = {}) {
  const whole = {...(width < 800 ? {hasTouch: true, isMobile: true} : {}), ...options}, kind = JSON.stringify(whole), had = pages.get(kind);
  const page = had ?? await watched(browser, {viewport: {width, height}, ...whole});
  pages.set(kind, page);
  if (had) { await page.setViewportSize({width, height}); await page.emulateMedia({colorScheme: null, forcedColors: null}); await again(page, address); } else await page.goto(address);
  await page.waitForSelector(".handle[data-pulley='2']");
  await settled(page);
  return page;
}
async function open(page, file) { await openFile(page, file); await page.waitForTimeout(80); }
const show = async (page, tab) => { await page.evaluate((id) => /** @type {HTMLElement} */ (document.querySelector(`#tab-${id}`)).click(), tab); await page.waitForTimeout(150); };
const shoot = shooter(process.env.SNUB_HANDS_PICTURES);
/** Parts of this test, each by itself with SNUB_HANDS_ONLY. */
async function part(name, run) { if (!only || only.includes(name)) await run().catch((error) => check(`${name}: to its end`, false, error.stack)); }

// ---- words lie on nothing ------------------------------------------------------------------------------------------------

/** Everything from the DOM, in px of the window: words, heads of arrows, the view without its scales, what stands over it. */
const measured = (page) => page.evaluate(() => {
  const boxOf = (/** @type {DOMRect[]} */ all) => [Math.min(...all.map((b) => b.left)), Math.min(...all.map((b) => b.top)), Math.max(...all.map((b) => b.right)), Math.max(...all.map((b) => b.bottom))];
  const words = new Map();
  for (const text of document.querySelectorAll("#screen text")) words.set(text.getAttribute("data-label") ?? text.textContent, [...(words.get(text.getAttribute("data-label") ?? text.textContent) ?? []), text.getBoundingClientRect()]);
  const around = (path, points) => { const m = path.getScreenCTM(), at = points.map(([x, y]) => new DOMPoint(x, y).matrixTransform(m)); return [Math.min(...at.map((p) => p.x)), Math.min(...at.map((p) => p.y)), Math.max(...at.map((p) => p.x)), Math.max(...at.map((p) => p.y))]; };
  const pointsOf = (d) => [...d.matchAll(/[ML](-?[\d.e-]+) (-?[\d.e-]+)/g)].map((m) => [Number(m[1]), Number(m[2])]);
  const heads = [];
  for (const load of document.querySelectorAll("#world .load")) { const points = pointsOf(load.getAttribute("d")); if (points.length) heads.push(around(load, [points[1], points[3], points[5]])); }
  for (const d of (document.querySelector("#world .sense").getAttribute("d") ?? "").split("Z").filter(Boolean)) heads.push(around(document.querySelector("#world .sense"), pointsOf(d)));
  for (const pivot of document.querySelectorAll(".handle.pivot > path")) heads.push(boxOf([pivot.getBoundingClientRect()]));
  const svg = document.querySelector("#drawing").getBoundingClientRect(), band = 26 * parseFloat(getComputedStyle(document.documentElement).fontSize) / 13;
  const over = [...document.querySelectorAll("#caution, #bench .corner")].map((one) => boxOf([one.getBoundingClientRect()]));
  const names = [...document.querySelectorAll(".handle:not(.pivot)")].map((one) => { const b = one.getBoundingClientRect(); return {name: one.getAttribute("aria-label").split(",")[0], chosen: one.getAttribute("aria-pressed") === "true", inside: b.right > svg.left + band && b.left < svg.right && b.bottom > svg.top && b.top < svg.bottom - band}; });
  return {words: [...words].map(([key, all]) => ({key, box: boxOf(all)})), heads, over, names, view: [svg.left + band, svg.top, svg.right, svg.bottom - band], leaders: document.querySelector("#screen .leader").getAttribute("d")};
});
const meet = (a, b) => a[0] < b[2] - 0.01 && b[0] < a[2] - 0.01 && a[1] < b[3] - 0.01 && b[1] < a[3] - 0.01;
/** @returns {string[]} */
function faults({words, heads, over, view}) {
  const wrong = [];
  words.forEach((one, i) => {
    for (const other of words.slice(i + 1)) if (meet(one.box, other.box)) wrong.push(`${one.key} on ${other.key}`);
    if (heads.some((head) => meet(one.box, head))) wrong.push(`${one.key} on an arrow`);
    if (over.some((box) => meet(one.box, box))) wrong.push(`${one.key} under a button`);
    if (one.box[0] < view[0] - 0.01 || one.box[1] < view[1] - 0.01 || one.box[2] > view[2] + 0.01 || one.box[3] > view[3] + 0.01) wrong.push(`${one.key} outside the view`);
  });
  return wrong;
}
await part("words", async () => {
  const seen = {labels: 0, wanted: 0, left: 0, jumps: 0, frames: 0, wide: 0};
  for (const size of sizes.filter(([width]) => width !== 1440)) { // which is as 1280
    const page = await newPage(size), {between} = dice(size[0]);
    for (const file of files.filter((name, i) => ["sedgemere.yaml", "hot.yaml"].includes(name) || size[0] === 390 || (size[0] === 1280 && (long || i % 2)))) { // all where room is least
      const where = `${size.join("x")}, ${file}`;
      await open(page, file);
      const rest = await measured(page);
      same(`${where}: words lie on nothing`, faults(rest), []);
      same(`${where}: nor on a bolt's mark`, await page.evaluate(() => { const bolts = [...document.querySelectorAll("#world .fasteners .bolt, #world path.bolt")].map((one) => one.getBoundingClientRect()); return [...document.querySelectorAll("#screen text[data-label]")].filter((text) => { const b = text.getBoundingClientRect(); return bolts.some((one) => one.left < b.right - 1 && b.left < one.right - 1 && one.top < b.bottom - 4 && b.top + 4 < one.bottom); }).map((text) => text.textContent); }), []);
      check(`${where}: there are words`, rest.words.length > 0 && rest.heads.length > 2, rest.words.length);
      seen.wanted += rest.names.length; seen.labels += rest.words.length;
      const missing = rest.names.filter((one) => one.inside && !rest.words.some((w) => w.key === one.name)).map((one) => one.name);
      seen.left += missing.length;
      if (file === "hot.yaml") check(`${where}: what is wrong is said at its place`, size[0] < 768 || rest.words.some((w) => w.key.startsWith("mark span")), rest.words.map((w) => w.key));
      if (size[0] >= 768) same(`${where}: every part has its name`, missing, []);
      await shoot(page, `words-${size.join("x")}-${file.replace(".yaml", "")}`);
      const handles = await page.locator(".handle:not([data-pulley='0'])").count(), wrong = [], unread = [];
      for (let k = 0; k < (long || (size[0] === 1280 && ["sedgemere.yaml", "hot.yaml"].includes(file)) ? 4 : 2); k++) {
        const handle = page.locator(".handle:not([data-pulley='0'])").nth(Math.floor(between(0, handles))), name = (await handle.getAttribute("aria-label")).split(",")[0].replace("arm pivot of ", "");
        const box = await handle.locator(".hit").boundingBox(), x = box.x + box.width / 2, y = box.y + box.height / 2;
        await page.mouse.move(x, y);
        await page.mouse.down();
        const to = [between(-60, 60), between(-60, 60)];
        let before = null;
        for (let i = 1; i <= 4; i++) {
          await page.mouse.move(x + to[0] * i / 4, y + to[1] * i / 4);
          await page.evaluate(() => new Promise((ok) => requestAnimationFrame(() => requestAnimationFrame(ok))));
          const now = await measured(page), chosen = now.names.find((one) => one.chosen);
          wrong.push(...faults(now));
          if (chosen?.inside && !now.words.some((one) => one.key === chosen.name)) unread.push(chosen.name);
          if (before) { seen.frames += now.words.length; const jumps = now.words.filter((w) => { const was = before.words.find((one) => one.key === w.key); return was && Math.hypot(was.box[0] - w.box[0], was.box[1] - w.box[1]) > Math.hypot(...to) / 4 + 25; }).length; seen.jumps += jumps; if (size[0] >= 1280) seen.wide += jumps; }
          before = now;
        }
        await page.keyboard.press("Escape");
        await page.mouse.up();
        await page.evaluate(() => new Promise((ok) => requestAnimationFrame(() => requestAnimationFrame(ok))));
        check(`${where}: ${name} is the one that was taken`, await page.locator(".handle[aria-pressed='true']").count() > 0);
      }
      same(`${where}, under a hand: words lie on nothing`, [...new Set(wrong)], []);
      // on a phone the buttons may leave no place near the part that is in the hand
      check(`${where}, under a hand: the part in it is named`, unread.length <= (size[0] < 768 ? 4 : 0), unread);
    }
  }
  check("few words are left out at rest", seen.left <= seen.wanted * 0.02, seen);
  check("words keep their places under a hand", seen.wide < seen.frames * 0.03 && seen.jumps < seen.frames * 0.07, seen);
  console.log(`words: ${JSON.stringify(seen)}`);
});

/** A hand that trembles at one place makes no word move. */
await part("still", async () => {
  const page = await newPage([1280, 720]);
  const box = await page.locator(".handle[data-pulley='4'] .hit").boundingBox(), x = box.x + box.width / 2, y = box.y + box.height / 2;
  await page.mouse.move(x, y);
  await page.mouse.down();
  const places = async () => { await page.evaluate(() => new Promise((ok) => requestAnimationFrame(() => requestAnimationFrame(ok)))); return page.evaluate(() => [...document.querySelectorAll("#screen text[data-label]")].map((t) => `${t.getAttribute("data-label")} ${t.getAttribute("text-anchor")}`).join()); };
  await page.mouse.move(x + 10, y + 12);
  await page.mouse.move(x + 14, y + 16);
  const seen = new Set();
  for (let i = 0; i < 12; i++) { await page.mouse.move(x + 14 + (i % 2) * 3, y + 16 - (i % 2) * 3); seen.add(await places()); }
  same("a trembling hand makes no word jump", seen.size, 1);
  await page.mouse.up();
});

// ---- fingers -------------------------------------------------------------------------------------------------------------

await part("fingers", async () => {
  for (const size of [[390, 844], [768, 1024]]) {
    const page = await newPage(size);
    check(`${size}: a finger is what is used`, await page.evaluate(() => matchMedia("(pointer: coarse)").matches));
    await page.evaluate(() => /** @type {HTMLElement} */ (document.querySelector('[data-key="row-tensioner"]')).click());
    await page.evaluate(() => /** @type {HTMLElement} */ (document.querySelector("#legend-open")).click());
    for (const tab of tabs) {
      await show(page, tab);
      const small = await page.evaluate(() => [...document.querySelectorAll("button, select, summary, input:not([type=file]), textarea, [role=tab]")].filter((one) => one.getClientRects().length).map((one) => {
        const box = (one.matches("[type=checkbox], [type=radio]") ? one.closest("label") ?? one : one).getBoundingClientRect();
        return box.width < 43.9 || box.height < 43.9 ? `${one.tagName} ${one.id || one.textContent.slice(0, 30)} ${box.width.toFixed(0)}x${box.height.toFixed(0)}` : "";
      }).filter(Boolean));
      same(`${size}, ${tab}: everything that is tapped has 44 px`, small, []);
    }
    await page.evaluate(() => { /** @type {HTMLElement} */ (document.querySelector("#legend-open")).click(); scrollTo(0, 0); });
    await show(page, "drive");
    const hits = await page.locator(".handle .hit").evaluateAll((all) => all.map((one) => Number(one.getAttribute("r"))));
    check(`${size}: handles have 44 px`, hits.every((r) => r >= 22), hits);
    await page.evaluate(() => { for (let i = 0; i < 5; i++) /** @type {HTMLElement} */ (document.querySelector("#zoom-out")).click(); });
    const centres = await page.locator(".handle .hit").evaluateAll((all) => all.map((one) => { const b = one.getBoundingClientRect(); return {x: b.x + b.width / 2, y: b.y + b.height / 2, r: b.width / 2, pulley: one.closest(".handle").getAttribute("data-pulley")}; }));
    const {between} = dice(7);
    let close = 0;
    for (let k = 0; k < 40; k++) {
      const by = centres[k % centres.length], angle = between(0, 2 * Math.PI), far = between(4, 21), at = [by.x + far * Math.cos(angle), by.y + far * Math.sin(angle)];
      const inReach = centres.map((c) => ({c, d: Math.hypot(c.x - at[0], c.y - at[1])})).filter(({c, d}) => d < c.r).sort((a, b) => a.d - b.d);
      if (inReach[1] && inReach[1].d - inReach[0].d < 1) continue;
      if (await page.evaluate(([x, y]) => document.elementFromPoint(x, y).closest(".grip") !== null, at)) continue; // an end of the chosen idler's slot lies over them
      if (inReach.length > 1 && inReach[1].c.pulley !== inReach[0].c.pulley) close++;
      await page.touchscreen.tap(at[0], at[1]);
      same(`${size}: the nearest handle is taken`, await page.locator(".handle:not(.pivot)[aria-pressed='true']").evaluateAll((all) => all.map((one) => one.getAttribute("data-pulley")).join()), inReach[0].c.pulley);
    }
    check(`${size}: some taps had two handles in reach`, close > 5, close);
    await shoot(page, `fingers-${size[0]}`);
  }
});

// ---- the scales: no number is cut off -----------------------------------------------------------------------------------------

await part("scales", async () => {
  const page = await newPage([1280, 720]);
  for (const size of [[1280, 720], [1440, 900], [768, 1024], [2560, 1440], [390, 844]]) {
    await page.setViewportSize({width: size[0], height: size[1]});
    await page.waitForTimeout(300);
    for (let i = 0; i < (long ? 6 : 3); i++) {
      const [count, cut] = await page.evaluate(() => {
        const all = [...document.querySelectorAll("#scales text:not(.corner-unit)")], {left, top, right, bottom} = document.querySelector("#drawing").getBoundingClientRect(), corner = document.querySelector("#scales .corner").getBoundingClientRect();
        return [all.length, all.filter((one) => { const b = one.getBoundingClientRect(); return b.left < left || b.top < top || b.right > right || b.bottom > bottom || (b.left < corner.right - 1 && b.bottom > corner.top + 1); }).map((one) => one.textContent)];
      });
      check(`${size}: the scales have numbers`, count > 1, count);
      same(`${size}, moved ${i} times: no number of the scales is cut off`, cut, []);
      await page.focus("#drawing");
      await page.keyboard.press(i % 2 ? "ArrowLeft" : "ArrowUp");
      await page.waitForTimeout(60);
    }
  }
});

// ---- the phone: what is edited stays in sight of the drawing ---------------------------------------------------------------

await part("phone", async () => {
  for (const size of [[390, 844], [390, 500], [768, 1024]]) { // 500: with a keyboard over the lower part
    const page = await newPage(size), out = [];
    let count = 0;
    const covered = await page.evaluate(() => [...document.querySelectorAll("#bench .corner :is(button, select)")].flatMap((one) => {
      one.scrollIntoView({block: "nearest"});
      const box = one.getBoundingClientRect(), top = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
      return top === one ? [] : [`${one.id} at ${box.y.toFixed(0)} under ${top?.id ?? "nothing"}`];
    }));
    await page.evaluate(() => scrollTo(0, 0));
    same(`${size}: no button over the drawing lies under another`, covered, []);
    await page.evaluate(() => /** @type {HTMLElement} */ (document.querySelector('[data-key="row-blower"]')).click());
    for (const [tab, fields] of [["drive", ".inspector input"], ["entries", ".rows .row input:not([type=checkbox])"]]) {
      await show(page, tab);
      if (tab === "entries") { await page.waitForSelector("[data-section='belt']"); await page.evaluate(() => document.querySelectorAll(".entries details:not([open]) > summary").forEach((one) => /** @type {HTMLElement} */ (one).click())); }
      await page.waitForSelector(`#panel-${tab} ${fields}`, {state: "attached"});
      for (const field of (await page.locator(`#panel-${tab} ${fields}:visible`).all()).slice(0, 14).filter((_, i) => long || i < 2 || i % 2)) {
        if (!await field.isVisible()) continue;
        count++;
        await field.evaluate((one) => /** @type {HTMLElement} */ (one).focus());
        const seen = await field.evaluate((one) => {
          const box = one.getBoundingClientRect(), front = document.querySelector("#front").getBoundingClientRect(), bench = document.querySelector("#bench").getBoundingClientRect(), speed = document.querySelector("#speed").getBoundingClientRect();
          const floor = getComputedStyle(document.querySelector("#speed")).position === "sticky" && speed.top > front.bottom ? Math.min(innerHeight, speed.top) : innerHeight;
          return {entry: box.top >= front.bottom - 1 && box.bottom <= floor + 1, drawing: Math.min(bench.bottom, innerHeight) - Math.max(0, bench.top), at: [box.top, box.bottom, front.bottom, floor]};
        });
        if (!seen.entry || seen.drawing < 180) out.push([await field.getAttribute("data-key"), seen]);
      }
      await shoot(page, `phone-${size.join("x")}-${tab}`);
    }
    check(`${size}: there are entries`, count > 10, count);
    same(`${size}: each entry stays in sight of the drawing`, out, []);
  }
});

// ---- zoom of 200 % -----------------------------------------------------------------------------------------------------------

/** What sticks out to the side or is cut. What scrolls by itself may, and the title and the worst finding end in dots: both stand whole elsewhere. */
const cut = (page) => page.evaluate(() => {
  const wrong = [], wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > wide) wrong.push(`the page is ${document.documentElement.scrollWidth} wide`);
  for (const one of document.querySelectorAll("main *, header *, #bars *")) {
    if (!(one instanceof HTMLElement) || !one.getClientRects().length || one.closest(".hidden, svg, #worst, #title, option, canvas") || getComputedStyle(one).clipPath !== "none") continue;
    const box = one.getBoundingClientRect(), scrolls = one.closest(`.scroll, #unrolled, .sheet, .plot, #legend${wide < 320 ? ", #panels" : ""}`);
    if (!scrolls && (box.right > wide + 1 || box.left < -1)) wrong.push(`${one.tagName} ${one.id || one.className} to ${box.right.toFixed(0)}`);
    if (!scrolls && !one.matches("input, select, textarea, #bench") && one.scrollWidth > one.clientWidth + 1 && getComputedStyle(one).overflowX !== "visible") wrong.push(`${one.tagName} ${one.id || one.className} cut: ${one.textContent.slice(0, 30)}`);
  }
  return [...new Set(wrong)].slice(0, 6);
});
await part("zoom", async () => {
  const twice = await newPage([640, 360], {deviceScaleFactor: 2, hasTouch: false, isMobile: false});
  for (const size of sizes) {
    const page = twice;
    await page.setViewportSize({width: size[0] / 2, height: size[1] / 2});
    for (const [i, tab] of tabs.entries()) {
      if (!long && size[0] !== 390 && i % 3 !== sizes.indexOf(size) % 3) continue; // all where the page is narrowest

      await show(page, tab);
      same(`${size} at 200 %, ${tab}: nothing sticks out or is cut`, await cut(page), []);
      if (tab === "drive" || tab === "findings") { await page.evaluate(() => scrollTo(0, 0)); await shoot(page, `zoom-${size[0]}-${tab}`); }
    }
    same(`${size} at 200 %: words lie on nothing`, faults(await measured(page)), []);
  }
  for (const size of sizes) {
    const page = await newPage(size);
    for (const tab of tabsAt(size)) { await show(page, tab); same(`${size}, ${tab}: nothing sticks out or is cut`, await cut(page), []); }
    const font = await page.evaluate(() => parseFloat(getComputedStyle(document.body).fontSize));
    same(`${size}: the type`, font, size[0] === 2560 ? 19.5 : 13);
  }
});

// ---- focus -------------------------------------------------------------------------------------------------------------------

/** The element that has the focus, where it can be seen; "" where it is lost. */
const focused = (page) => page.evaluate(() => {
  const one = document.activeElement;
  return one && one !== document.body && one.getClientRects().length ? one.id || one.getAttribute("data-key") || one.getAttribute("aria-label") || one.textContent : "";
});
await part("focus", async () => {
  const page = await newPage([1280, 720]), original = readFileSync(join(folder, "sedgemere.yaml"), "utf8");
  await page.evaluate(() => /** @type {HTMLElement} */ (document.querySelector('[data-key="row-tensioner"]')).click());
  const seen = new Set(), bad = {light: [], dark: [], "forced colours": []};
  for (let i = 0; i < 110; i++) {
    await page.keyboard.press("Tab");
    for (const [name, media] of /** @type {[string, object][]} */ ([["light", {}], ["dark", {colorScheme: "dark", forcedColors: "none"}], ["forced colours", {colorScheme: "light", forcedColors: "active"}], ["", {colorScheme: "light", forcedColors: "none"}]])) {
      if (name !== "light") { if (!long && i % 4 !== 1) continue; await page.emulateMedia(media); } // the other two: at a quarter of the stops
      if (!name) continue;
      const at = await page.evaluate(() => {
        const one = document.activeElement;
        if (!one || one === document.body) return null;
        const style = getComputedStyle(one.matches(".handle") ? one.querySelector(".hit") : one), ground = getComputedStyle(document.body).backgroundColor;
        const ring = one.matches(".handle") ? style.stroke !== "none" && parseFloat(style.strokeWidth) >= 2 && style.stroke !== ground : style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2 && style.outlineColor !== ground;
        return {what: `${one.tagName} ${one.id || one.getAttribute("data-key") || one.textContent.slice(0, 20)}`, ring};
      });
      if (!at) continue;
      seen.add(at.what);
      if (!at.ring) bad[name].push(at.what);
    }
  }
  check("Tab goes through the page", seen.size > 40, seen.size);
  for (const [name, without] of Object.entries(bad)) same(`${name}: the focus is seen everywhere`, without, []);
  const nudge = async () => { await page.locator(".handle[data-pulley='4']").focus(); await page.keyboard.press("ArrowUp"); await settled(page); };
  await nudge();
  same("moved by a key: still on the part", await focused(page), "part-blower");
  await page.focus("#save"); await page.keyboard.press("Enter");
  await page.waitForSelector("#dialog-save:not([disabled])"); await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelector("#save").textContent === "Saved");
  await page.waitForTimeout(50);
  same("saved by the button", await focused(page), "save");
  await nudge(); await save(page);
  await page.waitForFunction(() => document.querySelector("#save").textContent === "Saved");
  same("saved by keys", await focused(page), "part-blower");
  await nudge(); await page.keyboard.press("Control+z"); await settled(page);
  same("undone by keys", await focused(page), "part-blower");
  await page.focus("#undo");
  for (let i = 0; i < 6; i++) await page.keyboard.press("Enter");
  await settled(page);
  same("undone by the button, to the end", [await focused(page), await page.getAttribute("#undo", "aria-disabled")], ["undo", "true"]);
  const parts = (n) => page.waitForFunction((count) => document.querySelectorAll(".handle:not(.pivot)").length === count, n);
  await page.click('[data-key="row-steering"]');
  await page.focus('[data-key="tool-add"]'); await page.keyboard.press("Enter");
  await parts(9); await settled(page);
  same("a part added by its button: on the button of the new one", await focused(page), "tool-add");
  await page.focus('[data-key="tool-remove"]'); await page.keyboard.press("Enter");
  await parts(8); await settled(page);
  same("a part removed by its button: in its panel", await focused(page), "panel-drive");
  await page.locator(".handle[data-pulley='7']").focus();
  await page.keyboard.press("Control+z"); await parts(9); await settled(page);
  same("parts made anew by Undo: the same part", await focused(page), "part-compressor");
  await page.keyboard.press("Control+Shift+z"); await parts(8); await settled(page);
  same("and by Redo", await focused(page), "part-compressor");
  await page.focus("#keys"); await page.keyboard.press("Enter"); await page.keyboard.press("Escape");
  same("a dialog closed", await focused(page), "keys");
  await page.focus("#legend-open"); await page.keyboard.press("Enter"); await page.waitForSelector("#legend li"); await page.focus("#legend"); await page.keyboard.press("Escape");
  same("the legend closed", [await focused(page), await page.locator("#legend").isHidden()], ["legend-open", true]);
  const at = async (/** @type {number} */ i) => { const b = await page.locator(`.handle[data-pulley='${i}'] .hit`).boundingBox(); return /** @type {const} */ ([b.x + b.width / 2, b.y + b.height / 2]); };
  const still = async (/** @type {number} */ i) => { // the drawing may still be taking the room that the legend had
    let last = await at(i);
    for (let k = 0; k < 60; k++) {
      await page.waitForTimeout(50);
      const now = await at(i);
      if (Math.hypot(now[0] - last[0], now[1] - last[1]) < 0.05) return now;
      last = now;
    }
    return last;
  };
  const under = (/** @type {readonly [number, number]} */ where) => page.evaluate(([x, y]) => { const one = document.elementFromPoint(x, y); return `${one?.closest(".handle")?.getAttribute("data-pulley") ?? ""} ${one?.outerHTML.slice(0, 200)} in ${one?.parentElement?.outerHTML.slice(0, 200)}`; }, where);
  let from = await still(7), met = await under(from);
  for (let k = 0; k < 60 && !met.startsWith("7 "); k++) { await page.waitForTimeout(50); from = await still(7); met = await under(from); } // what was closed just now may still lie over it
  const target = await at(6);
  await page.mouse.move(...from); await page.mouse.down(); await page.mouse.move(...target, {steps: 8}); await page.mouse.up(); // onto another pulley: taken back, and a bar says so
  const bar = page.locator("#bars button").first();
  await bar.waitFor({timeout: 8000}).catch(async () => check("a bar that can be closed", false, `${met} ${from} ${target} ${await at(7)}` + await page.evaluate(() => ["steering", "compressor"].map((name) => document.querySelector(`[data-key="part-${name}"]`)?.getAttribute("transform")).join(" ") + ` ${JSON.stringify(document.body.dataset)} ${document.querySelector("#glance")?.textContent}`)));
  await bar.focus(); await page.keyboard.press("Enter");
  await page.waitForTimeout(80);
  check("a bar closed: not lost", await focused(page) !== "" && await page.locator("#bar-move").count() === 0, await focused(page));
  await show(page, "findings");
  for (const one of await page.locator(".findings button:not(.try)").all()) { if (await page.locator("#shown-back").count()) break; await one.focus(); await page.keyboard.press("Enter"); await page.waitForTimeout(150); }
  await page.waitForSelector("#shown-back", {timeout: 3000}).then(async () => { await page.focus("#shown-back"); await page.keyboard.press("Enter"); await page.waitForTimeout(80); check("back from a case: not lost", await focused(page) !== "", await focused(page)); }, () => check("a finding has a case", false));
  check("and what was saved is the move", readFileSync(join(folder, "sedgemere.yaml"), "utf8") !== original);
});

// ---- one undo for one gesture, snap in the unit shown ------------------------------------------------------------------------

await part("undo", async () => {
  const page = await newPage([1280, 720]), clean = async () => (await page.getAttribute("#undo", "aria-disabled")) === "true";
  const work = () => page.evaluate(() => JSON.parse(localStorage.getItem(`snub:work:${sessionStorage.getItem("snub:tab")}:sedgemere.yaml`))?.changes ?? []);
  const y0 = Number(/name: blower[\s\S]*?at: \[46, (\d+)\]/.exec(readFileSync(join(folder, "sedgemere.yaml"), "utf8"))?.[1]);
  const gesture = async (name, act) => {
    check(`${name}: from a clean start`, await clean());
    await act();
    await settled(page);
    const did = JSON.stringify(await work());
    check(`${name}: did something`, did !== "[]", did);
    await page.keyboard.press("Control+z");
    await settled(page);
    same(`${name}: one undo takes it back`, [await clean(), JSON.stringify(await work())], [true, "[]"]);
  };
  await gesture("a drag", async () => { const b = await page.locator(".handle[data-pulley='5'] .hit").boundingBox(); await page.mouse.move(b.x + b.width / 2, b.y + b.height / 2); await page.mouse.down(); await page.mouse.move(b.x + b.width / 2 + 10, b.y + b.height / 2 - 8, {steps: 9}); await page.mouse.up(); });
  await gesture("a key held down", async () => { await page.locator(".handle[data-pulley='4']").focus(); for (let i = 0; i < 6; i++) await page.keyboard.down("ArrowUp"); await page.keyboard.up("ArrowUp"); same("it went six steps", (await work())[0].value, [46, y0 + 6]); });
  await gesture("a typed value", async () => { await page.click('[data-key="row-blower"]'); await page.fill('[data-key="y"]', String(y0 + 2)); await page.press('[data-key="y"]', "Enter"); await page.locator("#drawing").focus(); });
  await page.locator(".handle[data-pulley='4']").focus();
  await page.keyboard.press("ArrowUp"); await page.keyboard.press("ArrowUp"); await settled(page);
  await page.keyboard.press("Control+z"); await settled(page);
  same("two presses are two gestures", (await work())[0]?.value, [46, y0 + 1]);
  await page.keyboard.press("Control+z"); await settled(page);
  same("the steps have their unit", await page.locator("#snap option").allTextContents(), ["0.01 mm", "0.1 mm", "0.5 mm", "1 mm", "5 mm"]);
  await page.click("#units"); await settled(page);
  const inches = (await page.locator("#snap option").allTextContents()).map((t) => Number(t.replace(" in", "")));
  check("and so in inches", inches.length === 5 && inches.every((step) => step > 0), inches);
  for (const [i, step] of inches.entries()) {
    await page.locator("#snap").selectOption({index: i});
    const b = await page.locator(".handle[data-pulley='4'] .hit").boundingBox();
    await page.mouse.move(b.x + b.width / 2, b.y + b.height / 2); await page.mouse.down(); await page.mouse.move(b.x + b.width / 2 + 7, b.y + b.height / 2 + 7, {steps: 5}); await page.mouse.up();
    await settled(page);
    const [x, y] = (await work()).find((c) => c.path === "blower.at").value.map((mm) => mm / 25.4 / step);
    check(`snap of ${step} in`, Math.abs(x - Math.round(x)) < 1e-3 / step * 0.05 + 1e-4 && Math.abs(y - Math.round(y)) < 1e-3 / step * 0.05 + 1e-4, [x, y]);
    await page.keyboard.press("Control+z"); await settled(page);
  }
  await page.evaluate(() => localStorage.removeItem("snub:units"));
});

// ---- keys that come before the answer to the last one ------------------------------------------------------------------------

await part("keys", async () => {
  const work = (page) => page.evaluate(() => JSON.parse(localStorage.getItem(`snub:work:${sessionStorage.getItem("snub:tab")}:sedgemere.yaml`))?.changes ?? []);
  for (const core of [true, false]) {
    const page = await watched(browser, {viewport: {width: 1280, height: 720}});
    if (!core) await page.route("**/core.wasm", (route) => route.abort());
    await page.goto(address);
    await page.waitForSelector(".handle[data-pulley='2']");
    await settled(page);
    const slot = await page.locator(".handle[data-what='slot']").first().getAttribute("data-pulley");
    for (const [what, at, key] of [["a blower", ".handle[data-pulley='4']", "ArrowUp"], ["a slot", `.handle[data-pulley='${slot}']`, "ArrowRight"], ["a pivot", ".handle.pivot", "ArrowLeft"]].slice(0, core || long ? 3 : 2)) {
      const had = await page.locator(at).first().getAttribute("transform"), moved = [];
      for (const together of [false, true]) {
        if (together) await page.locator(at).first().evaluate((one, key) => { for (let i = 0; i < 3; i++) one.dispatchEvent(new KeyboardEvent("keydown", {key, bubbles: true})); }, key);
        else for (let i = 0; i < 3; i++) { await page.locator(at).first().focus(); await page.keyboard.press(key); await settled(page); }
        await settled(page);
        moved.push(JSON.stringify(await work(page)));
        for (let i = 0; i < 3; i++) { await page.keyboard.press("Control+z"); await settled(page); }
        same(`${what}: three undos take it back`, await page.locator(at).first().getAttribute("transform"), had);
      }
      check(`${what} ${core ? "with" : "without"} the core: three keys at once are three`, moved[0] !== "[]" && moved[0] === moved[1], moved);
    }
    await page.context().close();
  }
});

// ---- one colour, one meaning; the legend --------------------------------------------------------------------------------------

/** Which rules of the page may use a colour: what they are for. */
const meanings = {
  choice: /chosen|by-hand|\.grip\b|#draw\b|handle:focus|selected|pressed|current|\.mark\b|#shown/, load: /\.load\b/, grip: /\.grip\b/, photo: /photo|cross/, pass: /pass/, fail: /fail|do-not-fit|errors|wrong|invalid|server\.(lost|key)|over\b|overlap|off\b|danger|lost|\.why|conflict/, marginal: /marginal|cautions|warn/,
  room: /\.study|proposed|\.s-proposal/, "room-wash": /\.study/, "choice-wash": /chosen|by-hand|#draw\b|current|#shown/, "photo-wash": /photo/, "pass-wash": /pass/, "fail-wash": /fail/, "marginal-wash": /marginal|warn/,
};
await part("legend", async () => {
  const page = await newPage([1440, 900]);
  await page.click("#legend-open");
  await page.waitForSelector("#legend:not([hidden])"); // its words are sent when it is first opened
  same("it says that it is open", await page.getAttribute("#legend-open", "aria-expanded"), "true");
  await shoot(page, "legend");
  const width = () => page.evaluate(() => Math.max(...[...document.querySelectorAll(".handle .hit")].map((one) => one.getBoundingClientRect().right)) - Math.min(...[...document.querySelectorAll(".handle .hit")].map((one) => one.getBoundingClientRect().left)));
  const wide = await width();
  await page.click("#zoom-fit");
  check("and the drawing keeps its size beside it", Math.abs(await width() - wide) < 1 && wide > 300, [wide, await width()]);
  const rules = await page.evaluate(() => {
    const all = [], walk = (list) => { for (const rule of list) if (rule.selectorText) all.push([rule.selectorText, rule.cssText]); else if (rule.cssRules && !/print|forced/.test(rule.conditionText ?? "")) walk(rule.cssRules); };
    for (const sheet of document.styleSheets) walk(sheet.cssRules);
    return all;
  });
  for (const [name, of] of Object.entries(meanings)) {
    const users = rules.filter(([, text]) => text.includes(`var(--${name})`)).map(([selector]) => selector);
    check(`--${name} is used`, users.length > 0);
    same(`--${name} has one meaning`, users.filter((selector) => !selector.split(/,(?![^(]*\))/).every((one) => of.test(one))), []);
  }
  const classes = [...new Set(rules.flatMap(([selector, text]) => (/stroke|fill/.test(text) && selector.includes(".drawn ") ? [...selector.matchAll(/\.drawn ([^,]+)/g)].map((m) => m[1].trim()) : [])))].filter((one) => !/^\.marks\.old|\.(rib|back)$/.test(one) || /rim\.back|inner\.back|contact\.back/.test(one));
  check("the drawing has styles", classes.length > 25, classes.length);
  const missing = await page.evaluate((all) => all.filter((one) => !document.querySelector(`#legend .sample.drawn ${one}`)), classes);
  same("each style of the drawing is in the legend", missing, []);
  const unlike = await page.evaluate(() => [...document.querySelectorAll("#legend .sample > *")].flatMap((one) => {
    const name = one.getAttribute("class"), there = name && [...document.querySelectorAll("#world *, #ribbon *, #flags *")].find((other) => other.getAttribute("class") === name && other.tagName === one.tagName && other.parentElement.matches("#world, #ribbon, #flags"));
    if (!there) return [];
    const [a, b] = [getComputedStyle(one), getComputedStyle(there)];
    return ["stroke", "fill", "strokeDasharray", "opacity"].filter((key) => a[key] !== b[key]).map((key) => `${name}: ${key} ${a[key]}, drawn ${b[key]}`);
  }));
  same("a sample looks as what is drawn", unlike, []);
  // what a style is for, by its name: neither words nor samples may change places
  const signs = await page.locator("#legend li").evaluateAll((all) => all.map((one) => [[...one.querySelectorAll(".sample *, .sign")].map((part) => [part.parentElement.tagName === "g" ? part.parentElement.getAttribute("class") : "", part.getAttribute("class")].join(" ")).join(" "), one.textContent]));
  for (const [style, means] of /** @type {[RegExp, RegExp][]} */ ([[/\bfail\b/, /fail/], [/\bmarginal\b/, /marginal/], [/\bload\b/, /^hub load/], [/\bhub\b/, /^axis/], [/\barm\b/, /arm/], [/\bpivot\b/, /pivot/], [/\btravel\b/, /travel/], [/\b(work|range)\b/, /idle to redline/], [/\bslot\b/, /^slot/],
    [/\b(ghost|was)\b/, /as opened/], [/\bobstacles /, /obstacle|too near|the same/], [/\bgaps /, /where|the same/], [/\brim back\b|contact back/, /back/], [/\brim rib\b/, /ribs/], [/\bblower\b/, /blower/], [/\bchosen\b/, /selected|contact with it/], [/\bbelt off\b/, /fits nowhere/], [/\bpitch\b/, /belt.*pitch line/],
    [/\bsense\b/, /direction of the belt/], [/marks pulley/, /pulley|the same/], [/marks span/, /span|the same/], [/\boverlap\b/, /into each other/], [/photo-marks/, /photo/], [/\btension\b/, /^tension/], [/\bgrip$/, /^grip used$/], [/\bgrip over$/, /grip over its limit/], [/^ over$/, /span over/], [/^ limit$/, /^limit/], [/\bcontact$/, /contact with the ribs/], [/sign pass/, /pass/]])) {
    const users = signs.filter(([name]) => style.test(name));
    check(`legend: ${style} is there`, users.length > 0);
    same(`legend: ${style} means ${means}`, users.filter(([, text]) => !means.test(text)), []);
  }
  const words = await page.locator("#legend li").allTextContents();
  check("each has words of its own", words.length > 35 && words.every((one) => one.trim().length > 3), words.length);
  const ofSide = await page.evaluate(() => {
    const all = [], walk = (list) => { for (const rule of list) if (rule.selectorText) all.push(rule); else if (rule.cssRules && !/print|forced/.test(rule.conditionText ?? "")) walk(rule.cssRules); };
    for (const sheet of document.styleSheets) walk(sheet.cssRules);
    const styles = all.filter((rule) => /stroke|fill/.test(rule.cssText)).flatMap((rule) => rule.selectorText.split(/,(?![^(]*\))/)).filter((one) => /^\s*:is\(#side, \.section\) \./.test(one)).map((one) => one.trim().split(" ").pop());
    return {styles: styles.length, missing: styles.filter((one) => !document.querySelector(`#legend .sample.section ${one}`) && !/\.(spacer|disc|washer)$/.test(one))};
  });
  check("the side view has styles", ofSide.styles > 14, ofSide);
  same("and each is in the legend", ofSide.missing, []);
  const red = await page.evaluate(() => ["fail", "marginal"].map((level) => { const sample = document.querySelector(`#legend .section .obstacle.${level}`), probe = document.createElement("i"); probe.style.color = `var(--${level})`; document.body.append(probe); const want = getComputedStyle(probe).color; probe.remove(); return getComputedStyle(sample).stroke === want; }));
  same("what fails has its colour there", red, [true, true]);
  await page.click("#legend-open");
  check("and it closes", await page.locator("#legend").isHidden());
  /** Lab of a colour, for how far two are apart. */
  for (const scheme of /** @type {("light" | "dark")[]} */ (["light", "dark"])) {
    await page.emulateMedia({colorScheme: scheme});
    const colours = await page.evaluate((names) => names.map((name) => { const one = document.createElement("i"); one.style.color = `var(--${name})`; document.body.append(one); const rgb = getComputedStyle(one).color.match(/\d+/g).map(Number); one.remove(); return [name, rgb]; }), ["choice", "load", "grip", "photo", "pass", "fail", "marginal", "belt"]);
    const lab = (/** @type {number[]} */ [r, g, b]) => { const [x, y, z] = [r, g, b].map((v) => v / 255).map((v) => (v > 0.04045 ? ((v + 0.055) / 1.055) ** 2.4 : v / 12.92)).reduce((t, v, i) => [[0.4124, 0.2126, 0.0193], [0.3576, 0.7152, 0.1192], [0.1805, 0.0722, 0.9505]][i].map((k, j) => t[j] + k * v), [0, 0, 0]).map((v, i) => v / [0.9505, 1, 1.089][i]).map((v) => (v > 0.008856 ? Math.cbrt(v) : 7.787 * v + 16 / 116)); return [116 * y - 16, 500 * (x - y), 200 * (y - z)]; };
    for (let i = 0; i < colours.length; i++) for (let j = i + 1; j < colours.length; j++) {
      const [a, b] = [i, j].map((k) => lab(/** @type {number[]} */ (colours[k][1]))), far = Math.hypot(...a.map((v, k) => v - b[k]));
      check(`${scheme}: ${colours[i][0]} and ${colours[j][0]} are told apart`, far > 18, far);
    }
  }
});

// ---- forced colours: states by words and patterns -------------------------------------------------------------------------------

await part("forced", async () => {
  const page = await newPage([1280, 720]);
  await page.emulateMedia({forcedColors: "active"});
  await open(page, "sedgemere.yaml");
  const system = await page.evaluate(() => ["Canvas", "CanvasText", "GrayText", "Highlight", "HighlightText", "ButtonFace", "ButtonText", "LinkText"].map((name) => { const one = document.createElement("i"); one.style.cssText = `forced-color-adjust: none; color: ${name}`; document.body.append(one); const rgb = getComputedStyle(one).color; one.remove(); return rgb; }));
  const foreign = await page.evaluate((known) => [...new Set([...document.querySelectorAll(".drawn *, #screen *")].flatMap((one) => { const {stroke, fill} = getComputedStyle(one); return [stroke, fill].filter((c) => c !== "none" && !/, 0\)$/.test(c) && !known.includes(c)).map((c) => `${one.getAttribute("class")}: ${c}`); }))], system);
  same("the drawing has the system's colours only", foreign, []);
  await page.evaluate(() => /** @type {HTMLElement} */ (document.querySelector('[data-key="row-blower"]')).click());
  const chosen = await page.evaluate(() => [...document.querySelectorAll("#world .rim")].map((one) => parseFloat(getComputedStyle(one).strokeWidth)));
  check("the selected part is told by its thick rim", Math.max(...chosen) > 2.5 && chosen.filter((w) => w > 2.5).length === 1, chosen);
  check("the verdict is a word", /PASS|WATCH|FAIL/.test(await page.locator("#verdict").textContent()));
  await shoot(page, "forced");
});

// ---- axe -----------------------------------------------------------------------------------------------------------------------

// The whole page at its first tab, of the others the panel; all colours at 1280, those of light also on the phone's first tab. Left out: 1440 and 2560 (as 1280), 768 without colours.
await part("axe", async () => {
  for (const size of long ? sizes : sizes.filter(([width]) => width < 1440)) {
    const page = await newPage(size);
    await page.evaluate(() => /** @type {HTMLElement} */ (document.querySelector('[data-key="row-tensioner"]')).click());
    for (const tab of long ? tabs : size[0] === 768 ? tabs.slice(0, 1) : tabs) {
      await show(page, tab);
      for (const [name, media] of /** @type {[string, object][]} */ ([["light", {colorScheme: "light", forcedColors: "none"}], ["dark", {colorScheme: "dark", forcedColors: "none"}], ["forced colours", {colorScheme: "light", forcedColors: "active"}]])) {
        const looked = size[0] === 1280 || size[0] === 390; // colours are those of every size
        if (name !== "light" && !(long ? looked : size[0] === 1280)) continue;
        await page.emulateMedia(media);
        await page.waitForTimeout(name === "dark" ? 250 : 30);
        await axe(page, `${size.join("x")}, ${tab}, ${name}`, name !== "light" ? "colours" : looked && (long || size[0] === 1280 || tab === tabs[0]) ? "all" : "no colours", long || tab === tabs[0] ? "html" : `#panel-${tab}`);
        await shoot(page, `${size.join("x")}-${tab}-${name}`);
      }
    }
  }
});

await browser.close();
await tidyUp();
process.exit(sum());
