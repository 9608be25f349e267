// A page as a person has it open: opened on a file, at rest, its text read back, and without an axe violation.
import AxeSource from "axe-core";
import {mkdirSync} from "node:fs";
import {browse, check, serve} from "./bench.mjs";

/** Folder for pictures of what is tested; null: none. */
export const pictures = process.env.SNUB_SEE ?? null;
if (pictures) mkdirSync(pictures, {recursive: true});
const {address} = await serve(0);
export const browser = await browse();

export async function settled(page) {
  await page.waitForTimeout(60);
  await page.waitForFunction(() => document.body.dataset.rest === "true", null, {timeout: 20000, polling: 25}).catch(() => undefined);
  await page.waitForTimeout(60);
}
/** @param {string} tab  "entries" */
export async function openFile(file, options = {}, tab = "entries") {
  const context = await browser.newContext({viewport: {width: 1280, height: 720}, ...options});
  const page = await context.newPage();
  page.setDefaultTimeout(15000);
  page.on("pageerror", (error) => check("no error in the page", false, error.stack));
  page.on("console", (message) => { if (message.type() === "error" && !/Failed to load resource|net::ERR/.test(message.text())) check("no error on the console", false, message.text()); });
  await page.goto(address);
  await page.waitForSelector(".handle");
  if (file !== "sedgemere.yaml") { await page.selectOption("#file", file); await page.waitForFunction((name) => decodeURIComponent(location.hash).includes(name), file); }
  await settled(page);
  await page.click(`#tab-${tab}`);
  if (tab === "entries") await page.waitForSelector("[data-section='belt']");
  return page;
}
export async function axe(page, name) {
  await page.evaluate(AxeSource.source);
  const result = await page.evaluate(async () => (await /** @type {any} */ (window).axe.run(document, {resultTypes: ["violations"]})).violations.map((v) => `${v.id} (${v.impact}): ${v.nodes.slice(0, 3).map((n) => `${n.target.join(" ")} ${n.any[0]?.message ?? n.none[0]?.message ?? ""}`).join(" | ")}`));
  check(`axe: ${name}`, result.length === 0, result);
}
/** The file's text as Save would write it; the page is then on `tab`. */
export async function words(page, tab = "entries") {
  await page.click("#tab-text");
  await page.waitForTimeout(250);
  await page.waitForFunction(() => /** @type {HTMLTextAreaElement} */ (document.querySelector("#panel-text textarea")).value.length > 50);
  const text = await page.evaluate(() => /** @type {HTMLTextAreaElement} */ (document.querySelector("#panel-text textarea")).value);
  await page.click(`#tab-${tab}`);
  if (tab === "entries") await page.waitForSelector("[data-section]");
  // the drawing is another one where the panel beside it is of another width
  await page.waitForFunction(() => { const svg = /** @type {SVGSVGElement} */ (document.querySelector("#drawing")); return Math.abs(svg.viewBox.baseVal.width - svg.getBoundingClientRect().width) < 1; });
  await page.waitForTimeout(60);
  return text;
}
export async function find(page, text) { await page.fill("#entries-filter", text); await page.waitForTimeout(80); }
