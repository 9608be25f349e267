// State at a glance: verdict, limits, hot parts, the case of a finding, remedies, the end of travel. Last line: `N passed, N failed`.
import AxeSource from "axe-core";
import {mkdirSync, readFileSync, writeFileSync} from "node:fs";
import {join} from "node:path";
import {browse, check, command, folder, kit, killServer, same as equal, serve, sum, tidyUp} from "./bench.mjs";

const same = (name, got, want) => equal(name, JSON.stringify(got), JSON.stringify(want));
const heads = {pass: "PASS", marginal: "WATCH", fail: "FAIL"};
const pictures = process.env.SNUB_GLANCE_PICTURES ?? null;
if (pictures) mkdirSync(pictures, {recursive: true});
const original = readFileSync(kit, "utf8");
writeFileSync(join(folder, "hot.yaml"), original.replace("diameter: {value: 88, over: outside}", "diameter: 70"));
const {address, port} = await serve(0);
const browser = await browse();

async function newPage(options = {}) {
  const context = await browser.newContext({viewport: {width: 1280, height: 720}, ...options});
  const page = await context.newPage();
  page.setDefaultTimeout(15000);
  page.on("pageerror", (error) => check("no error in the page", false, error.stack));
  page.on("console", (message) => { if (message.type() === "error" && !/Failed to load resource|net::ERR/.test(message.text())) check("no error on the console", false, message.text()); });
  return page;
}
const settled = (page) => page.waitForFunction(() => document.body.dataset.rest === "true" && document.querySelector("#glance").getAttribute("data-of") === "now", null, {timeout: 20000});
async function open(page, file = "sedgemere.yaml") {
  if (!page.url().startsWith("http")) { await page.goto(address); await page.waitForSelector(".handle[data-pulley='2']"); }
  await page.selectOption("#file", file);
  await page.waitForFunction((name) => decodeURIComponent(location.hash) === `#${name}`, file);
  await settled(page);
}
const text = (page, selector) => page.locator(selector).textContent();
const shoot = async (page, name) => { if (pictures) await page.screenshot({path: join(pictures, `${name}.png`)}); };
async function axe(page, where) {
  await page.evaluate(AxeSource.source);
  const found = await page.evaluate(() => /** @type {any} */ (window).axe.run(document, {resultTypes: ["violations"]}));
  same(`axe: ${where}`, found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(" ")).slice(0, 3)}`).join("; "), "");
}
/** Where a handle of the drawing is, in px. */
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

await page.close();
const two = await newPage();
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
  const path = join(folder, file), want = command("check", path, "--json").findings;
  for (const [i, f] of want.entries()) {
    if (!f.case || f.case.set.length) continue;
    const button = three.locator(".findings button").nth(i);
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

//NEXT

await browser.close();
await killServer("SIGTERM");
await tidyUp();
void port;
process.exit(sum());
