// A page as a person has it open: opened on a file, at rest, its text read back, and without an axe violation.
import {browse, serve} from "./bench.mjs";
import {settled, shooter, watched} from "./pages.mjs";

export const shoot = shooter(process.env.SNUB_SEE);
const {address} = await serve(0);
export const browser = await browse();

/** @param {string} tab  "entries" */
export async function openFile(file, options = {}, tab = "entries") {
  const page = await watched(browser, options);
  await page.goto(address);
  await page.waitForSelector(".handle");
  if (file !== "sedgemere.yaml") { await page.selectOption("#file", file); await page.waitForFunction((name) => decodeURIComponent(location.hash).includes(name), file); }
  await settled(page);
  await page.click(`#tab-${tab}`);
  if (tab === "entries") await page.waitForSelector("[data-section='belt']");
  return page;
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
