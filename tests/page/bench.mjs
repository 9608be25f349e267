// What the page's tests share: a folder of kits, the server, the browser, and counting.
import {chromium} from "playwright-core";
import {execFileSync, spawn} from "node:child_process";
import {cpSync, mkdtempSync, rmSync} from "node:fs";
import {tmpdir} from "node:os";
import {dirname, join, resolve} from "node:path";
import {fileURLToPath} from "node:url";

export const root = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
export const snub = resolve(root, process.env.SNUB_BIN);
export const folder = mkdtempSync(join(tmpdir(), "snub-page-"));
cpSync(join(root, "examples"), folder, {recursive: true});
export const kit = join(folder, "sedgemere.yaml");

let passed = 0, failed = 0;
/** @param {string} name  @param {unknown} good  @param {unknown} [got]  @param {unknown} [want] */
export function check(name, good, got = "", want = "") {
  if (good) { passed++; return; }
  failed++;
  console.log(`FAILED ${name}: got ${JSON.stringify(got)}${want === "" ? "" : `, want ${JSON.stringify(want)}`}`);
}
export const same = (name, got, want) => check(name, got === want, got, want);
export function sum() { console.log(`${passed} passed, ${failed} failed`); return failed ? 1 : 0; }

let server = null;
process.on("exit", () => server?.kill("SIGKILL")); // also where a test falls over: whoever runs it waits for all that it started
/** @param {number} port  @param {string} [path]  a folder or a file  @param {string[]} [more]  options */
export async function serve(port, path = kit, more = []) {
  for (let tries = port ? 20 : 1; ; tries--) { // while its old one was free, a connection of another suite may have taken it for a moment
    const mine = server = spawn(snub, ["serve", path, "--port", String(port), ...more], {stdio: ["ignore", "pipe", "inherit"]});
    try {
      const address = await new Promise((ok, no) => {
        mine.stdout.once("data", (data) => ok(String(data).trim()));
        mine.once("exit", (code) => no(new Error(`snub serve ended with ${code}`)));
      });
      return {address, port: Number(new URL(address).port)};
    } catch (error) {
      if (tries === 1) throw error;
      await new Promise((done) => setTimeout(done, 250));
    }
  }
}
export function killServer(signal = "SIGKILL") {
  return new Promise((ok) => { if (!server || server.exitCode !== null || server.signalCode !== null) { ok(); return; } server.removeAllListeners("exit"); server.once("exit", ok); server.kill(signal); });
}
export async function browse() {
  return chromium.launch({executablePath: process.env.SNUB_CHROMIUM, args: ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"]});
}
export async function tidyUp() {
  await killServer("SIGTERM");
  rmSync(folder, {recursive: true, force: true, maxRetries: 5});
}
// A test that falls over says where, and what had passed until then.
process.on("uncaughtException", (error) => {
  check("the test runs to its end", false, `${error}\n${error?.stack}`); // the stack of an error that comes from within the driver is empty
  void tidyUp().catch(() => undefined).then(() => process.exit(sum()));
});
/** The whole product of what can be combined, where a suite by itself takes a part of it in which each value is seen. */
export const long = process.env.SNUB_LONG === "1";
/** Save as a hand does that does not read what will change: Ctrl+S shows it, and once more saves it. */
export async function save(page) {
  await page.keyboard.press("Control+s");
  await page.waitForSelector("#dialog-save:not([disabled])");
  await page.keyboard.press("Control+s");
  await page.waitForSelector("dialog[open]", {state: "hidden"});
}
/** The command line's own answer. */
export function command(...arguments_) {
  try { return JSON.parse(execFileSync(snub, arguments_, {encoding: "utf8", stdio: ["ignore", "pipe", "ignore"]})); } catch (error) { return JSON.parse(/** @type {{stdout: string}} */ (error).stdout); }
}
