// Curves of a run over time: one strip for each quantity, a line at the moment that is shown, and what happens above them.
import {em, put, s} from "./dom";
import type {RunEvent} from "./motion-types";

/** A strip: the values of its rows, and where it has them, their least and greatest since the row before. */
export interface Strip { name: string; values: (number | null)[]; low?: number[]; high?: number[]; beside?: number[]; show: (value: number | null) => string }
/** Kinds of events, in their lanes, each with a sign of its own. */
export const signs: Record<string, string> = {slack: "∿", slips: "≫", freewheels: "↻", "arm at free end": "⊢", "arm at stop": "⊣", "arm sticks": "▪", thrown: "✕"};

export class RunPlot {
  readonly svg = s("svg", {class: "m-plot", role: "img", "aria-label": ""});
  private times: number[] = [];
  private strips: Strip[] = [];
  private events: {event: RunEvent; thrown: boolean}[] = [];
  private extremes = new Map<Strip, [number, number]>();
  private from = 0;
  private until = 1;
  private at = 0;
  private x: (time: number) => number = () => 0;
  private left = 0;
  private right = 0;
  private readonly line = s("path", {class: "m-cursor"});
  private readonly numbers: SVGTextElement[] = [];
  private dragging = false;
  constructor(private readonly moved: (time: number) => void) {
    this.svg.addEventListener("pointerdown", (event) => { this.dragging = true; this.svg.setPointerCapture(event.pointerId); this.point(event); });
    this.svg.addEventListener("pointermove", (event) => { if (this.dragging) this.point(event); });
    for (const name of ["pointerup", "pointercancel"]) this.svg.addEventListener(name, () => { this.dragging = false; });
  }
  private point(event: PointerEvent): void {
    const box = this.svg.getBoundingClientRect(), share = (event.clientX - box.left - this.left) / Math.max(1, this.right - this.left);
    this.moved(this.from + Math.min(1, Math.max(0, share)) * (this.until - this.from));
  }
  take(times: number[], strips: Strip[], events: {event: RunEvent; thrown: boolean}[]): void { this.times = times; this.strips = strips; this.events = events; this.extremes = new Map(strips.map((one) => [one, extremesOf(one)])); }
  /** What is in sight, s. */
  sight(from: number, until: number): void { this.from = from; this.until = Math.max(until, from + 1e-6); }
  get range(): [number, number] { return [this.from, this.until]; }

  draw(width: number): void {
    const e = em(), W = Math.max(240, width), lanes = [...new Set(this.events.map(({event}) => event.what))], lane = 13 * e, strip = 62 * e, top = 6 * e + lanes.length * lane, foot = 18 * e, H = top + this.strips.length * strip + foot;
    this.left = 22 * e;
    this.right = W - 8 * e;
    this.x = (time) => this.left + (time - this.from) / (this.until - this.from) * (this.right - this.left);
    put(this.svg, "viewBox", `0 0 ${W} ${H}`);
    put(this.svg, "width", W);
    put(this.svg, "height", H);
    this.numbers.length = 0;
    const parts: SVGElement[] = [];
    lanes.forEach((what, i) => {
      const y = 6 * e + i * lane;
      parts.push(s("text", {class: "m-sign", x: 2 * e, y: y + 9 * e}, signs[what] ?? what));
      for (const {event, thrown} of this.events) {
        if (event.what !== what || event.to_s < this.from || event.from_s > this.until) continue;
        const a = this.x(Math.max(this.from, event.from_s)), b = this.x(Math.min(this.until, event.to_s));
        parts.push(s("rect", {class: `m-event${thrown ? " thrown" : ""}`, x: a.toFixed(1), y: y + 2 * e, width: Math.max(2.5, b - a).toFixed(1), height: 7 * e}));
      }
    });
    const [first, last] = this.rows();
    this.strips.forEach((one, i) => parts.push(...this.strip(one, top + i * strip, strip, first, last, e)));
    const span = this.until - this.from, step = nice(span / Math.max(3, (this.right - this.left) / (70 * e)));
    for (let k = Math.ceil(this.from / step); k * step <= this.until + 1e-12; k++)
      parts.push(s("path", {class: "m-tick", d: `M${this.x(k * step).toFixed(1)} ${H - foot}v4`}), s("text", {x: this.x(k * step).toFixed(1), y: H - 4 * e, "text-anchor": "middle"}, `${Number((k * step).toFixed(6))}${k * step + step > this.until ? " s" : ""}`));
    this.svg.replaceChildren(...parts, this.line);
    this.height = H - foot;
    this.cursor(this.at);
  }
  private height = 0;
  /** Rows in sight, with one more at each side. */
  private rows(): [number, number] {
    const {times} = this;
    let first = times.findIndex((t) => t >= this.from), last = times.length - 1;
    if (first < 0) first = times.length - 1;
    while (last > first && times[last] > this.until) last--;
    return [Math.max(0, first - 1), Math.min(times.length - 1, last + 1)];
  }
  private strip(one: Strip, y: number, tall: number, first: number, last: number, e: number): SVGElement[] {
    let [low, high] = this.extremes.get(one) ?? [0, 0];
    const bottom = low, peak = high;
    if (high - low < 1e-9 * Math.max(1, Math.abs(high))) { low -= 1; high += 1; }
    const pad = 18 * e, py = (v: number): number => y + tall - 4 * e - (v - low) / (high - low) * (tall - pad - 4 * e);
    const name = s("text", {class: "m-strip-name", x: this.left + 3 * e, y: y + 11 * e}, one.name, s("tspan", {class: "m-range"}, `  ${one.show(bottom)} – ${one.show(peak)}`)), number = s("text", {class: "m-number", x: this.right - 2 * e, y: y + 11 * e, "text-anchor": "end"});
    this.numbers.push(number);
    const lines = [s("path", {class: "m-line", d: this.path(one.values, py, first, last)})];
    if (one.beside) lines.unshift(s("path", {class: "m-beside", d: this.path(one.beside, py, first, last)}));
    const area = one.low && one.high ? s("path", {class: "m-band", d: this.band(one.low, one.high, py, first, last)}) : null;
    return [s("path", {class: "m-grid", d: `M${this.left} ${(y + tall - 2 * e).toFixed(1)}H${this.right}`}), ...(area ? [area] : []), ...lines, name, number];
  }
  /** At most two points for a pixel: the least and the greatest there. */
  private path(values: (number | null)[], py: (v: number) => number, first: number, last: number): string {
    let d = "", column = NaN, low = Infinity, high = -Infinity, pen = "M";
    const close = (): void => { if (low <= high) { d += `${pen}${column} ${py(low).toFixed(1)}${high > low ? `L${column} ${py(high).toFixed(1)}` : ""}`; pen = "L"; } };
    for (let i = first; i <= last; i++) {
      const v = values[i], x = Math.round(this.x(Math.min(this.until, Math.max(this.from, this.times[i]))) * 2) / 2;
      if (v === null) continue;
      if (x !== column) { close(); column = x; low = high = v; } else { low = Math.min(low, v); high = Math.max(high, v); }
    }
    close();
    return d;
  }
  private band(low: number[], high: number[], py: (v: number) => number, first: number, last: number): string {
    const columns = new Map<number, [number, number]>();
    for (let i = first; i <= last; i++) {
      const x = Math.round(this.x(Math.min(this.until, Math.max(this.from, this.times[i]))) * 2) / 2, was = columns.get(x);
      columns.set(x, was ? [Math.min(was[0], low[i]), Math.max(was[1], high[i])] : [low[i], high[i]]);
    }
    const all = [...columns];
    return all.length ? `M${all.map(([x, [, b]]) => `${x} ${py(b).toFixed(1)}`).join("L")}L${all.reverse().map(([x, [a]]) => `${x} ${py(a).toFixed(1)}`).join("L")}Z` : "";
  }
  /** The line, and the numbers of its moment. */
  cursor(time: number, row = this.rowAt(time)): void {
    this.at = time;
    const seen = time >= this.from - 1e-9 && time <= this.until + 1e-9;
    put(this.line, "d", seen ? `M${this.x(time).toFixed(1)} 2V${this.height.toFixed(1)}` : "");
    this.strips.forEach((one, i) => { const text = one.show(one.values[row] ?? null); if (this.numbers[i] && this.numbers[i].textContent !== text) this.numbers[i].textContent = text; });
  }
  /** The last row not after it. */
  rowAt(time: number): number {
    let low = 0, high = this.times.length - 1;
    while (low < high) { const middle = (low + high + 1) >> 1; if (this.times[middle] <= time + 1e-9) low = middle; else high = middle - 1; }
    return low;
  }
}

function extremesOf(one: Strip): [number, number] {
  let low = Infinity, high = -Infinity;
  for (const list of [one.low, one.high, one.values, one.beside]) for (const v of list ?? []) if (v !== null) { if (v < low) low = v; if (v > high) high = v; }
  return low <= high ? [low, high] : [0, 0];
}
function nice(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map((m) => m * power).find((step) => step >= least) ?? 10 * power;
}
