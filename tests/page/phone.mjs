// A small phone: nothing of the drive lies under the rows of buttons, and the panel of distances leaves it in sight. Forced colours. Last line: `N passed, N failed`.
import {browse, check, killServer, same, serve, sum, tidyUp} from "./bench.mjs";
import {settled, shooter, watched} from "./pages.mjs";

const {address} = await serve(0);
const browser = await browse(), shoot = shooter(process.env.SNUB_PHONE_PICTURES);
const places = (page) => page.evaluate(() => {
  const box = (one) => { const {left, top, right, bottom} = one.getBoundingClientRect(); return {left, top, right, bottom}; };
  return {rows: [...document.querySelectorAll("#bench .corners > .corner")].map(box), rims: [...document.querySelectorAll("#world .rim")].map(box), drawing: box(document.querySelector("#drawing"))};
});
const under = ({rows, rims}) => rims.filter((rim) => rows.some((row) => rim.left < row.right && rim.right > row.left && rim.top < row.bottom && rim.bottom > row.top)).length;
const inside = ({rims, drawing}) => rims.every((rim) => rim.left >= drawing.left && rim.right <= drawing.right && rim.top >= drawing.top && rim.bottom <= drawing.bottom);
for (const [width, height] of [[360, 740], [360, 800], [390, 844]]) {
  const page = await watched(browser, {viewport: {width, height}, hasTouch: true, isMobile: true}, 20000), name = `${width} by ${height}`;
  await page.goto(address);
  await page.waitForSelector(".handle[data-pulley='2']");
  await settled(page);
  const open = await places(page);
  same(`${name}: pulleys under buttons`, under(open), 0);
  check(`${name}: all of the drive is in sight`, open.rims.length > 5 && inside(open), open);
  await shoot(page, `phone-${width}-${height}`);
  await page.tap("#measure");
  await page.waitForSelector("#ruler select");
  await page.waitForTimeout(200);
  const measuring = await places(page);
  check(`${name}: also with the panel of distances`, inside(measuring), measuring);
  // as large as the room over the panel lets it be, under the first row of buttons alone
  const tall = Math.max(...measuring.rims.map((rim) => rim.bottom)) - Math.min(...measuring.rims.map((rim) => rim.top)), room = measuring.drawing.bottom - measuring.drawing.top;
  check(`${name}: and not smaller than it need be`, tall > 0.3 * room, [tall, room]);
  await page.tap("#measure");
  await page.waitForTimeout(200);
  same(`${name}: and back where it was`, JSON.stringify((await places(page)).rims), JSON.stringify(open.rims));
  await page.context().close();
}

// ---- forced colours: the browser lays a ground of Canvas under words -----------------------------------------------------------

{
  const page = await watched(browser, {viewport: {width: 1280, height: 720}, forcedColors: "active"}, 20000);
  await page.goto(address);
  await page.waitForSelector(".handle[data-pulley='2']");
  await page.click("#tab-chart");
  const [ink, ground, canvas] = await page.locator("#panel-chart button.main").evaluate((one) => { const probe = document.createElement("i"); probe.style.cssText = "forced-color-adjust: none; color: Canvas"; document.body.append(probe); return [getComputedStyle(one).color, getComputedStyle(one).backgroundColor, getComputedStyle(probe).color]; });
  check("forced colours: the words of the main button can be read", ink !== ground && ink !== canvas, [ink, ground, canvas]);
  await shoot(page, "forced-main");
  await page.context().close();
}

await browser.close();
await killServer("SIGTERM");
await tidyUp();
process.exit(sum());
