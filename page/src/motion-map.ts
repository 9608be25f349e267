// Engine speed against the engine's orders: how far the worst span swings, and where the natural frequencies run through.
import {em, h, put, renew, s} from "./dom";
import type {Host, MotionMap, OrderAt} from "./motion-types";
import {say} from "./motion-words";

/** An order at a speed with the span that swings most for what it carries. */
export interface Point { at: OrderAt; span: string; swing: number; mean: number | null; share: number; slack: boolean }

export function pointsOf(map: MotionMap): Point[] {
  const means = new Map(map.spans.flatMap((span) => span.tension_N.map(([rpm, tension]): [string, number] => [`${span.from} - ${span.to} ${rpm}`, tension])));
  return map.orders.map((at) => {
    const all = Object.entries(at.tension_N).map(([span, swing]) => { const mean = means.get(`${span} ${at.rpm}`) ?? null; return {span, swing, mean, share: mean ? swing / mean : 0}; });
    const worst = all.reduce((a, b) => (b.share > a.share ? b : a));
    return {at, ...worst, slack: at.slack.length > 0};
  });
}
const orderText = (order: number): string => String(Number(order.toFixed(2)));

export class OrderMap {
  readonly element = h("section", {"aria-labelledby": "motion-map"});
  private map: MotionMap | null = null;
  private points: Point[] = [];
  private current = 0;
  private readonly svg = s("svg", {class: "m-map", tabindex: 0, role: "listbox", "aria-label": ""});
  private readonly said = h("p", {class: "m-said", role: "status"});
  private places: [number, number][] = [];
  private width = 0;
  constructor(private readonly host: Host) {
    this.svg.addEventListener("keydown", (event) => this.key(event));
    this.svg.addEventListener("pointermove", (event) => this.aim(event));
    this.svg.addEventListener("pointerdown", (event) => this.aim(event));
    this.svg.addEventListener("click", () => { const point = this.points[this.current]; if (point) this.host.setSpeed(point.at.rpm); });
    this.svg.addEventListener("focus", () => this.choose(this.current));
    new ResizeObserver(() => { if (this.element.clientWidth && this.element.clientWidth !== this.width) this.drawMap(); }).observe(this.element);
  }

  show(map: MotionMap | null): void {
    this.map = map;
    this.points = map ? pointsOf(map) : [];
    this.current = this.points.reduce((best, one, i) => (one.share > this.points[best].share ? i : best), 0);
    if (!map) { renew(this.element); return; }
    const head = h("h2", {id: "motion-map"}, say("map"));
    if (!this.points.length) { renew(this.element, head, h("p", {class: "hint"}, map.irregularity.missing ? say("noOrders", {why: map.irregularity.missing}) : `${say("noOrdersAt")} ${map.no_equilibrium[0]?.why ?? ""}`)); return; }
    const {source, assumed} = map.irregularity;
    put(this.svg, "aria-label", say("mapLabel"));
    renew(this.element, head, h("p", {class: "hint"}, say("mapWords")), this.svg as unknown as HTMLElement, this.said, legend(),
      h("p", {class: "hint"}, say("source", {source: source?.startsWith("measured") ? say("measured") : say("cylinders")}), assumed.length ? h("span", {lang: "en"}, ` ${say("assumed", {list: assumed.join("; ")})}`) : null), this.table());
    this.drawMap();
    this.choose(this.current);
  }

  words({at, span, swing, mean, share, slack}: Point): string {
    const {show, showUnit} = this.host;
    return say("point", {rpm: show("rpm", at.rpm), order: orderText(at.order), hz: (at.order * at.rpm / 60).toFixed(0), span: span.replace(" - ", " – "), swing: showUnit("force", swing), mean: showUnit("force", mean), share: (100 * share).toFixed(0), slack: slack ? say("pointSlack") : "",
      arm: at.arm_deg === null ? "" : say("pointArm", {arm: `${show("angle", at.arm_deg)}°`, sticks: at.arm_sticks ? say("pointSticks") : ""})});
  }
  private choose(index: number): void {
    const point = this.points[index];
    if (!point) return;
    this.svg.querySelector('[aria-selected="true"]')?.setAttribute("aria-selected", "false");
    this.current = index;
    const option = this.svg.querySelector(`#motion-point-${index}`), place = this.places[index];
    option?.setAttribute("aria-selected", "true");
    put(this.svg, "aria-activedescendant", `motion-point-${index}`);
    const words = this.words(point);
    if (this.said.textContent !== words) this.said.textContent = words;
    const ring = this.svg.querySelector(".m-ring");
    if (ring && place) { put(ring, "cx", place[0]); put(ring, "cy", place[1]); }
  }
  private aim(event: PointerEvent): void {
    const box = this.svg.getBoundingClientRect(), x = event.clientX - box.left, y = event.clientY - box.top;
    let best = -1, least = Infinity;
    this.places.forEach(([px, py], i) => { const far = Math.hypot(px - x, py - y); if (far < least) { least = far; best = i; } });
    if (best >= 0 && best !== this.current) this.choose(best);
  }
  private key(event: KeyboardEvent): void {
    const here = this.points[this.current]?.at;
    if (!here) return;
    if (event.key === "Enter" || event.key === " ") { event.preventDefault(); this.host.setSpeed(here.rpm); return; }
    const along = {ArrowLeft: -1, ArrowRight: 1, Home: -Infinity, End: Infinity}[event.key], across = {ArrowUp: 1, ArrowDown: -1}[event.key];
    if (along === undefined && across === undefined) return;
    event.preventDefault();
    const row = this.points.map((point, i) => ({i, at: point.at})).filter(({at}) => (along !== undefined ? at.order === here.order : at.rpm === here.rpm)).sort((a, b) => a.at.rpm - b.at.rpm || a.at.order - b.at.order);
    const next = row[Math.min(row.length - 1, Math.max(0, row.findIndex(({i}) => i === this.current) + (along ?? across ?? 0)))];
    if (next) this.choose(next.i);
  }

  private drawMap(): void {
    const {map, points} = this;
    if (!map || !points.length) return;
    this.width = this.element.clientWidth;
    const e = em(), W = Math.max(260, this.width - 24), H = 300 * e, left = 38 * e, right = 44 * e, top = 12 * e, bottom = 34 * e;
    const speeds = [...new Set(points.map((p) => p.at.rpm))].sort((a, b) => a - b), orders = [...new Set(points.map((p) => p.at.order))].sort((a, b) => a - b);
    const lo = speeds[0], hi = speeds.length > 1 ? speeds[speeds.length - 1] : lo + 1, highest = orders[orders.length - 1] * 1.12;
    const x = (rpm: number): number => left + 14 * e + (rpm - lo) / (hi - lo) * (W - left - right - 28 * e), y = (order: number): number => H - bottom - order / highest * (H - top - bottom);
    const rowGap = Math.min(...orders.map((one, i) => y(i ? orders[i - 1] : 0) - y(one))), most = Math.max(3 * e, Math.min(13 * e, 0.48 * (x(hi) - x(lo)) / Math.max(1, speeds.length - 1), 0.48 * rowGap));
    put(this.svg, "viewBox", `0 0 ${W} ${H}`);
    put(this.svg, "width", W);
    put(this.svg, "height", H);
    const step = (hi - lo) > 4000 && W < 480 ? 2000 : hi - lo > 2000 ? 1000 : 500, ticks = Array.from({length: Math.floor(hi / step) - Math.ceil(lo / step) + 1}, (_, i) => (Math.ceil(lo / step) + i) * step);
    this.places = points.map(({at}) => [x(at.rpm), y(at.order)]);
    const ends: {y: number; text: string}[] = [];
    const curve = (hz: number, cls: string): SVGElement | null => {
      const from = Math.max(lo, 60 * hz / highest);
      if (from >= hi) return null;
      const d = Array.from({length: 41}, (_, i) => from + (hi - from) * i / 40).map((rpm, i) => `${i ? "L" : "M"}${x(rpm).toFixed(1)} ${y(60 * hz / rpm).toFixed(1)}`).join("");
      if (cls === "held") ends.push({y: y(60 * hz / hi), text: hz.toFixed(0)});
      return s("path", {class: `m-mode ${cls}`, d});
    };
    const curves = map.modes.map((mode) => curve(mode.frequency_Hz, mode.crank));
    let last = Infinity;
    const names = ends.sort((a, b) => b.y - a.y).map((end) => { last = Math.min(end.y, last - 11 * e); return s("text", {class: "m-hz", x: W - right - 8 * e, y: last + 4 * e}, `${end.text} Hz`); });
    this.svg.replaceChildren(hatch(), s("g", {"aria-hidden": "true", role: "presentation"},
      ...orders.map((order) => s("path", {class: "m-order", d: `M${left} ${y(order)}H${W - right}`})), ...orders.map((order) => s("text", {x: left - 5 * e, y: y(order) + 4 * e, "text-anchor": "end"}, orderText(order))),
      ...ticks.map((rpm) => s("text", {x: x(rpm), y: H - bottom + 15 * e, "text-anchor": "middle"}, String(rpm))), ...ticks.map((rpm) => s("path", {class: "m-tick", d: `M${x(rpm)} ${H - bottom}v4`})), s("path", {class: "m-axis", d: `M${left} ${top}V${H - bottom}H${W - right}`}),
      s("text", {x: W - right, y: H - 4 * e, "text-anchor": "end"}, say("rpm")), s("text", {x: 2, y: top - 2 * e}, say("order")), ...curves.filter((one) => one !== null), ...names),
      ...points.map((point, i) => s("g", {id: `motion-point-${i}`, class: `m-point ${point.slack ? "slack" : point.share >= 0.5 ? "over" : "under"}`, role: "option", "aria-selected": "false", "aria-label": this.words(point)}, mark(this.places[i], Math.max(1.2, Math.min(1, Math.sqrt(point.share)) * most), point.slack))),
      s("circle", {class: "m-ring", r: most + 3 * e, cx: -99, cy: -99, role: "presentation"}));
    this.choose(this.current);
  }

  private table(): HTMLElement {
    const orders = [...new Set(this.points.map((p) => p.at.order))].sort((a, b) => a - b), speeds = [...new Set(this.points.map((p) => p.at.rpm))].sort((a, b) => a - b);
    const cell = (rpm: number, order: number): HTMLElement => {
      const point = this.points.find((p) => p.at.rpm === rpm && p.at.order === order);
      return h("td", {}, point ? `${(100 * point.share).toFixed(0)} %` : "–", point ? h("small", {}, ` ${point.span.replace(" - ", " – ")}${point.slack ? `, ${say("slack")}` : ""}${point.at.arm_sticks ? `, ${say("sticks")}` : ""}`) : null);
    };
    return h("details", {class: "m-table"}, h("summary", {}, say("asTable")), h("div", {class: "scroll", tabindex: 0, role: "region", "aria-label": say("mapLabel")}, h("table", {class: "ledger"}, h("caption", {class: "hidden"}, say("mapLabel")),
      h("thead", {}, h("tr", {}, h("th", {scope: "col"}, say("rpm")), ...orders.map((order) => h("th", {scope: "col"}, `${say("order")} ${orderText(order)}`)))), h("tbody", {}, ...speeds.map((rpm) => h("tr", {}, h("th", {scope: "row"}, this.host.show("rpm", rpm)), ...orders.map((order) => cell(rpm, order))))))));
  }
}

function hatch(): SVGElement { return s("defs", {}, s("pattern", {id: "m-hatch", width: 5, height: 5, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)"}, s("path", {class: "m-hatching", d: "M0 0V5"}))); }
function mark([x, y]: [number, number], r: number, slack: boolean): SVGElement {
  return s("g", {}, s("circle", {cx: x.toFixed(1), cy: y.toFixed(1), r: r.toFixed(1)}), slack ? s("path", {class: "m-cross", d: `M${(x - 0.7 * r).toFixed(1)} ${(y - 0.7 * r).toFixed(1)}l${(1.4 * r).toFixed(1)} ${(1.4 * r).toFixed(1)}m0 ${(-1.4 * r).toFixed(1)}l${(-1.4 * r).toFixed(1)} ${(1.4 * r).toFixed(1)}`}) : null);
}
function legend(): HTMLElement {
  const one = (kind: string, words: string): HTMLElement => h("li", {}, s("svg", {class: "m-map m-sample", viewBox: "0 0 20 20", "aria-hidden": "true"}, s("g", {class: `m-point ${kind}`}, mark([10, 10], kind === "under" ? 5 : 8, kind === "slack"))) as unknown as HTMLElement, words);
  return h("ul", {class: "m-legend"}, one("under", say("under")), one("over", say("over")), one("slack", say("legendSlack")));
}
