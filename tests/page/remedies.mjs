// "Try this" of bolts, standoffs, rims and the rev limit: what the program proposes is made, with before and after. Last line: `N passed, N failed`.
import {readFileSync, writeFileSync} from "node:fs";
import {join} from "node:path";
import {browse, check, command, folder, killServer, same as equal, serve, sum, tidyUp} from "./bench.mjs";
import {axe, judged, openFile, settled, shooter, watched} from "./pages.mjs";

const same = (name, got, want) => equal(name, JSON.stringify(got), JSON.stringify(want));
const heads = {pass: "PASS", marginal: "WATCH", fail: "FAIL"};
const shoot = shooter(process.env.SNUB_REMEDIES_PICTURES);
/** @type {[string, string, [string, string], string, string, string][]} name, file, what is spoilt, rule, path, value as the file has it after */
const spoilt = [
  ["bolt torque", "sedgemere.yaml", ["{name: left ear, at: [-116, 340], thread: M8, class: 10.9, length: 38, washer: 16, torque: 31", "{name: left ear, at: [-116, 340], thread: M8, class: 10.9, length: 38, washer: 16, torque: 45"], "bolt_proof", "mounts.idler bridge.bolts.left ear.torque", "torque: 33 N m"],
  ["standoff preload", "sedgemere.yaml", ["engagement: 14, torque: 110", "engagement: 14, preload: 9 kN"], "standoff_gap", "wrap idler.standoff.bolt.preload", "preload: "],
  ["standoff torque, inches", "ironbrook-v8.yaml", ["class: SAE 8, torque: 80 lbf ft", "class: SAE 8, torque: 8 lbf ft"], "standoff_gap", "wrap idler.standoff.bolt.torque", "24 lbf ft"],
  ["pulley width", "sedgemere.yaml", ["    max_speed: 11800 rpm", "    max_speed: 11800 rpm\n    width: 20"], "pulley_ribs", "blower.width", "width: 25.0 mm"],
  ["rev limit", "sedgemere.yaml", ["max_speed: 11800 rpm", "max_speed: 10000 rpm"], "pulley_speed", "engine.redline", "redline: 5595 rpm"],
];
const files = spoilt.map(([name, file, [old, text]]) => {
  const was = readFileSync(join(folder, file), "utf8"), to = `${name.replace(/\W+/g, "-")}.yaml`, now = was.replace(old, text);
  check(`${name}: the text was spoilt`, now !== was);
  writeFileSync(join(folder, to), now);
  return to;
});

const {address} = await serve(0);
const browser = await browse();
const page = await watched(browser);
await page.goto(address);
await page.waitForSelector(".handle[data-pulley='2']");
await judged(page);
const verdict = async () => (await page.locator("#verdict").textContent()).split(" ")[1];
for (const [i, [name, , , rule, path, after]] of spoilt.entries()) {
  await openFile(page, files[i]);
  await page.click("#tab-findings");
  const at = join(folder, files[i]), said = command("check", at, "--json"), found = said.findings.find((f) => f.rule === rule && f.changes.some((c) => c.path === path)), [change] = found?.changes ?? [{}];
  check(`${name}: the program proposes it`, found, said.findings?.map((f) => [f.rule, f.pulley, f.other, f.changes]));
  if (!found) continue;
  const button = page.locator(".findings .try").filter({hasText: `${path}: ${change.value}`}).first();
  same(`${name}: its finding has the button`, await button.count(), 1);
  await button.focus();
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelector(".tried") && !/being checked/.test(document.querySelector(".tried").textContent));
  await settled(page);
  const then = command("check", at, "--json", "--set", `${path}=${change.value}`), cells = await page.locator(".tried td").allTextContents();
  const same_ = then.findings.find((f) => f.rule === rule && f.pulley === found.pulley && f.other === found.other);
  same(`${name}: verdict before and after`, cells.slice(0, 2).map((t) => t.split(" ")[1]), [heads[said.verdict], heads[then.verdict]]);
  same(`${name}: and of now`, await verdict(), heads[then.verdict]);
  check(`${name}: the finding's value before and after`, cells[4] !== "" && (same_ ? /[\d]/.test(cells[5]) && cells[5] !== cells[4] : cells[5] === "not found any more" || then.findings.some((f) => f.rule === rule)), cells);
  check(`${name}: before and after differ`, cells[4] !== cells[5], cells);
  await axe(page, name);
  await shoot(page, name.replace(/\W+/g, "-"));
  await page.click("#tab-text");
  await page.waitForFunction((words) => words.every((one) => document.querySelector("textarea").value.includes(one)), [after, change.value], {timeout: 15000}).catch(() => undefined);
  const text = await page.locator("textarea").inputValue();
  check(`${name}: the file's text has it`, text.includes(after) && text.includes(change.value), after);
  await page.click("#undo");
  await judged(page);
  await page.click("#tab-findings");
  await page.waitForFunction(() => !document.querySelector(".tried"), null, {timeout: 5000}).catch(() => undefined);
  await settled(page);
  same(`${name}: one undo takes it back`, [await verdict(), await page.locator(".tried").count()], [heads[said.verdict], 0]);
}

await browser.close();
await killServer("SIGTERM");
await tidyUp();
process.exit(sum());
