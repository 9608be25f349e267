// A page as the tests watch it: what goes wrong in it counts, and what is asked of each: at rest, without an axe violation, a picture.
import AxeSource from "axe-core";
import {mkdirSync} from "node:fs";
import {join} from "node:path";
import {check, long} from "./bench.mjs";

/** A page of a context of its own, in which each error counts.  @param {any} browser */
export async function watched(browser, options = {}, patience = 15000) {
  const context = await browser.newContext({viewport: {width: 1280, height: 720}, ...options});
  return watch(await context.newPage(), patience);
}
/** @param {import("playwright-core").Page} page */
export function watch(page, patience = 15000) {
  page.setDefaultTimeout(patience);
  page.on("pageerror", (error) => check("no error in the page", false, error.stack));
  page.on("console", (message) => { if (message.type() === "error" && !/Failed to load resource|net::ERR/.test(message.text())) check("no error on the console", false, message.text()); });
  return page;
}
/** The same page as if it were opened for the first time, at half the cost of one in a context of its own.  @param {import("playwright-core").Page} page */
export async function again(page, address) {
  await page.goto(new URL("/nothing", address).href);
  await page.evaluate(() => { localStorage.clear(); sessionStorage.clear(); });
  await page.goto(address);
}
/** The page has asked all it wants to and shows the answer. */
export async function settled(page) {
  await page.waitForTimeout(60);
  await page.waitForFunction(() => document.body.dataset.rest === "true", null, {timeout: 20000, polling: 25}).catch(() => undefined);
  await page.waitForTimeout(60);
}
/** The same, and the verdict is of now. */
export const judged = (page) => page.waitForFunction(() => document.body.dataset.rest === "true" && document.querySelector("#glance").getAttribute("data-of") === "now", null, {timeout: 20000, polling: 25});
/** Another file of the folder, judged. */
export async function openFile(page, file) {
  if (await page.inputValue("#file") === file) return;
  await page.evaluate(() => { document.body.dataset.rest = "false"; });
  await page.selectOption("#file", file);
  await page.waitForFunction((name) => decodeURIComponent(location.hash) === `#${name}`, file, {polling: 25});
  await judged(page);
}
/** Sizes, themes and languages at which the whole page has been looked at. */
const whole = new Set();
/** The whole page the first time at a size, in a theme and a language; then what has changed, an open dialog or the panel, and what stands over both, for
 *  the rules of a page (landmarks, headings) say nothing new. SNUB_LONG=1: the whole page each time.
 *  @param {"all" | "colours" | "no colours"} rules  contrast takes most of the time, and is that of every size
 *  @param {string} [inside]  one part; "html": all of it */
export async function axe(page, where, rules = "all", inside) {
  if (!await page.evaluate(() => "axe" in window)) await page.evaluate(AxeSource.source);
  if (!inside) {
    const kind = await page.evaluate(() => [innerWidth, matchMedia("(prefers-color-scheme: dark)").matches, matchMedia("(forced-colors: active)").matches, document.documentElement.lang, document.querySelector("#panels")?.getClientRects().length].join());
    if (long || !whole.has(kind)) inside = "html";
    else inside = await page.evaluate(() => (document.querySelector("dialog[open]") ? "dialog[open]" : ["#panels", "#bars", "#glance", "#shown"].filter((one) => document.querySelector(one)?.getClientRects().length).join()));
    whole.add(kind);
  }
  const found = await page.evaluate(async ([which, part]) => {
    const some = which === "colours" ? {runOnly: ["color-contrast"]} : which === "no colours" ? {rules: {"color-contrast": {enabled: false}}} : {};
    const answer = await /** @type {any} */ (window).axe.run(part === "html" ? document : part, {resultTypes: ["violations"], ...some});
    return answer.violations.map((v) => `${v.id} (${v.impact}): ${v.nodes.slice(0, 3).map((n) => `${n.target.join(" ")} ${n.any[0]?.message ?? n.none[0]?.message ?? ""}`).join(" | ")}`);
  }, /** @type {const} */ ([rules, inside]));
  check(`axe: ${where}`, found.length === 0, found);
}
/** @param {string | undefined} folder  of pictures; undefined: none are made */
export function shooter(folder) {
  if (folder) mkdirSync(folder, {recursive: true});
  return async (page, name) => { if (folder) await page.screenshot({path: join(folder, `${name}.png`)}); };
}
/** Asks the server itself.  @param {{address: string, port: number}} server  @returns {(method: string, path: string, body?: any) => Promise<any>} */
export function asker({address, port}) {
  const key = /key=([^&]+)/.exec(address)?.[1];
  return async (method, path, body) => {
    const answer = await fetch(`http://127.0.0.1:${port}${path}`, {method, headers: {Authorization: `Bearer ${key}`, "Content-Type": "application/json"}, body: body && JSON.stringify(body)});
    return answer.json();
  };
}
/** The server's chart of a file's text, once it is there.  @returns {Promise<any>} */
export async function charted(ask, file, text, more) {
  const {job} = await ask("POST", "/api/chart", {file, text, changes: [], ...more});
  for (;;) {
    const look = await ask("GET", `/api/job?id=${job}`);
    if (look.state !== "running") return look.result;
    await new Promise((done) => setTimeout(done, 5));
  }
}
