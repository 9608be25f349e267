// The page of `snub share` in a real browser, from a file: what can be picked, what it shows, what it prints. Last line: `N passed, N failed`.
import {execFileSync, spawnSync} from "node:child_process";
import {mkdtempSync, readFileSync, rmSync} from "node:fs";
import {tmpdir} from "node:os";
import {join} from "node:path";
import {browse, check, sum, tidyUp} from "./bench.mjs";

const snub = process.env.SNUB_BIN, kitFile = "examples/sedgemere.yaml";
const folder = mkdtempSync(join(tmpdir(), "snub-share-"));
const chart = JSON.parse(spawnSync(snub, ["chart", kitFile, "--json", "--metric"], {encoding: "utf8", maxBuffer: 1e8}).stdout);
function share(name, ...more) {
  const path = join(folder, name);
  const done = spawnSync(snub, ["share", kitFile, "--metric", "-o", path, ...more], {encoding: "utf8"});
  check(`${name} is written`, done.status === 1, done.stderr);
  return `file://${path}`;
}
const address = share("kit.html", "--watermark", "for <dealers>", "--date", "2026-11-28");
const browser = await browse();
const same = (name, got, want) => check(name, JSON.stringify(got) === JSON.stringify(want), got, want);
const plain = (text) => text.replaceAll("\u00a0", " ").trim();

async function open(where, size = {width: 390, height: 844}, more = {}) {
  const page = await browser.newPage({viewport: size, ...more});
  page.setDefaultTimeout(10000);
  page.on("pageerror", (error) => check("no error in the page", false, error.stack));
  page.on("request", (request) => check("no network", request.url().startsWith("file:"), request.url()));
  await page.goto(where);
  return page;
}
const text = async (page, selector) => plain(await page.locator(selector).innerText());

// ---- every build by its buttons -------------------------------------------------------------------------------------------
const page = await open(address);
for (const row of chart.builds) {
  const buttons = page.locator("#choose fieldset");
  for (const [group, value] of [[0, row.variant || "as in the file"], [1, row.package], [2, `${row.options["blower.diameter"]} mm`]])
    await buttons.nth(group).getByRole("button", {name: value, exact: true}).click();
  const where = `build ${row.build ?? row.code}`;
  check(`${where}: its code`, (await text(page, "#code")).endsWith(row.code), await text(page, "#code"));
  if (row.verdict === "fail") {
    same(`${where}: no belt`, await text(page, "#belt"), "");
    check(`${where}: do not fit`, (await text(page, "#warn")).startsWith("DO NOT FIT: "));
    same(`${where}: nothing to work by`, [await page.locator("#steps").count(), await page.locator("#picture").isVisible(), await text(page, "#facts")], [0, false, ""]);
    continue;
  }
  same(`${where}: belt`, await text(page, "#belt"), row.designation);
  same(`${where}: verdict`, [await text(page, "#verdict"), await page.locator("#verdict").getAttribute("class")], [row.verdict, row.verdict]);
  const facts = await text(page, "#facts");
  check(`${where}: setting`, facts.includes(`${row.slots_mm["wrap idler"].toFixed(1)} mm`), facts);
  check(`${where}: boost`, facts.includes(`${row.blower.boost_kPa.toFixed(1)} kPa`), facts);
  check(`${where}: work`, facts.includes(row.engine_work), facts);
  check(`${where}: steps`, (await page.locator("#steps input").count()) > 15);
}

// ---- what is not sold together: said, with the reason; the way back is open ------------------------------------------------
const first = chart.builds.find((b) => b.package === "street");
await page.locator("#choose fieldset").nth(1).getByRole("button", {name: "track"}).click();
await page.locator("#choose fieldset").nth(2).getByRole("button", {name: "97 mm"}).click();
same("not offered together", await text(page, "#verdict"), "not offered together");
check("and why", (await text(page, "#notes")).includes("gains nothing"), await text(page, "#notes"));
same("nothing of the last one stays", [await text(page, "#belt"), await text(page, "#fitting"), await page.locator("#picture").isVisible()], ["", "", false]);
await page.locator("#choose fieldset").nth(1).getByRole("button", {name: "street"}).click();
await page.locator("#choose fieldset").nth(0).getByRole("button", {name: "as in the file"}).click();
same("back again", await text(page, "#belt"), first.designation);

// ---- the arm moves, the belt stays on its pulleys ---------------------------------------------------------------------------
const runs = [];
const speeds = Number(await page.locator("#speed").getAttribute("max"));
same("stopped, and eight speeds", speeds, 8);
for (let i = 0; i <= speeds; i++) {
  await page.locator("#speed").fill(String(i));
  runs.push(await page.locator("svg .run").getAttribute("d"));
  const off = await page.evaluate(() => {
    // the line of the belt against the circles: it never runs through a pulley by more than its own half
    const path = /** @type {SVGPathElement} */ (document.querySelector("svg .run")), all = path.getTotalLength();
    let worst = 0;
    for (let s = 0; s < all; s += 2) {
      const p = path.getPointAtLength(s);
      for (const c of document.querySelectorAll("svg circle")) {
        const inside = Number(c.getAttribute("r")) - Math.hypot(p.x - Number(c.getAttribute("cx")), p.y - Number(c.getAttribute("cy")));
        worst = Math.max(worst, inside);
      }
    }
    return worst;
  });
  check(`frame ${i}: the belt runs around the pulleys`, off < 1, off);
}
check("the arm moves", new Set(runs).size === speeds + 1, new Set(runs).size);
check("its angle stands beside", /5700 rpm, arm angle from free \d+\.\d deg/.test(await text(page, "#at")), await text(page, "#at"));
await page.locator("#speed").fill("0");
await page.locator("#run").click();
await page.waitForFunction(() => /** @type {HTMLInputElement} */ (document.querySelector("#speed")).value === "2");
await page.locator("#run").click();
const stopped = await page.locator("#speed").inputValue();
await page.waitForTimeout(900);
same("it stops", await page.locator("#speed").inputValue(), stopped);

// ---- a hand on a phone: targets, nothing wider than the screen; the watermark lets touches through --------------------------
const small = await page.evaluate(() => [...document.querySelectorAll("button, input[type=range], summary")].filter((e) => e.getClientRects().length && e.getBoundingClientRect().height < 44).map((e) => e.textContent || e.id));
same("targets of 44 px", small, []);
const cut = await page.evaluate(() => {
  const box = document.querySelector("#drawing").getBoundingClientRect();
  return [...document.querySelectorAll("#drawing text")].filter((t) => { const b = t.getBoundingClientRect(); return b.left < box.left || b.right > box.right; }).map((t) => t.textContent);
});
same("no name is cut off at the drawing's edge", cut, []);
same("no sideways scrolling", await page.evaluate(() => document.documentElement.scrollWidth), 390);
check("watermark", (await text(page, "#mark")) === "for <dealers>" && await page.locator("#mark").evaluate((e) => getComputedStyle(e).pointerEvents === "none"));
check("date and file at the foot", /2026-11-28/.test(await text(page, "#made")) && /sedgemere\.yaml/.test(await text(page, "#made")));
check("its sum", (await text(page, "#sum")).endsWith(chart.fingerprint));
check("an address for each build", page.url().endsWith(`#${first.code}`), page.url());

// ---- a build's address opens it; keys reach everything -----------------------------------------------------------------------
const last = chart.builds.findLast((b) => b.verdict !== "fail");
const direct = await open(`${address}#${last.code}`);
same("opened at a build", await text(direct, "#belt"), last.designation);
const spoken = last.code.toLowerCase().replaceAll("0", "o");
same("as it is said", await text(await open(`${address}#${spoken.slice(0, 3)}-${spoken.slice(3)}`), "#belt"), last.designation);
const stranger = await open(`${address}#ZZZZZZ`);
same("a build that is not here", [await text(stranger, "#belt"), await text(stranger, "#facts"), await stranger.locator("#steps").count(), await stranger.locator("#choose button[aria-pressed=true]").count()], ["", "", 0, 0]);
check("and says so", (await text(stranger, "#verdict")).includes("ZZZZZZ is not on this page"), await text(stranger, "#verdict"));
await direct.bringToFront();
await direct.keyboard.press("Tab");
const focused = await direct.evaluate(() => document.activeElement?.tagName);
same("the first stop is a choice", focused, "BUTTON");
await direct.keyboard.press("Enter");
check("a choice by key", (await direct.locator("#choose button[aria-pressed=true]").count()) === 3);

// ---- on paper ------------------------------------------------------------------------------------------------------------------
const printed = join(folder, "fitting.pdf");
await page.pdf({path: printed, format: "A4"});
const words = plain(execFileSync("pdftotext", ["-layout", printed, "-"], {encoding: "utf8"})).replace(/\s+/g, " ");
for (const want of [first.designation, "Engine off and cold", "Never pry a belt", first.code, "First full load", chart.fingerprint, "2026-11-28"])
  check(`printed: ${want}`, words.includes(want));
for (const not of ["Print the fitting page", "through the rev range", "low compressor", "grip used"]) check(`not printed: ${not}`, !words.includes(not));

// ---- for sales; German; dark ----------------------------------------------------------------------------------------------------
const sales = await open(share("sales.html", "--sales", "--no-steps", "--language", "de"), {width: 1280, height: 900}, {colorScheme: "dark"});
same("sold, not judged", await text(sales, "#verdict"), "im Angebot");
same("no engineering", [await sales.locator("#figures").isVisible(), await sales.locator("#findings").isVisible(), await sales.locator("#steps").count()], [false, false, 0]);
check("its cautions all the same", (await sales.locator("#cautions .caution").count()) > 10);
same("language", await sales.evaluate(() => document.documentElement.lang), "de");
check("German words", (await text(sales, "#facts")).includes("Ladedruck") && /\d,\d kPa/.test(await text(sales, "#facts")), await text(sales, "#facts"));
const contrast = await sales.evaluate(() => {
  const lum = (c) => { const v = c.match(/\d+/g).slice(0, 3).map((x) => { const s = Number(x) / 255; return s <= 0.03928 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4; }); return 0.2126 * v[0] + 0.7152 * v[1] + 0.0722 * v[2]; };
  const back = lum(getComputedStyle(document.body).backgroundColor);
  return [...document.querySelectorAll("p, dt, dd, h1, h2, button, #verdict")].filter((e) => e.getClientRects().length).map((e) => {
    const b = e.tagName === "BUTTON" ? lum(getComputedStyle(e).backgroundColor) : back, f = lum(getComputedStyle(e).color);
    return (Math.max(b, f) + 0.05) / (Math.min(b, f) + 0.05);
  });
});
check("dark is legible (WCAG 2, 4.5 to 1)", Math.min(...contrast) >= 4.5, Math.min(...contrast));

check("the page without a kit is small", readFileSync("app/share/page.html").length < 40000);
await browser.close();
rmSync(folder, {recursive: true});
await tidyUp();
process.exit(sum());
