// Which part of the plane is on screen: pan and zoom, and the engraved scales along two edges.
import {s} from "./dom";
import {MM_PER_INCH, unit, unitSystem} from "./units";
import type {Vec} from "./types";

export class View {
  k = 1;          // screen pixels per mm
  tx = 0; ty = 0; // screen place of the world's origin
  width = 100; height = 100;
  em = 1;         // size of the type
  fitted = false;
  toScreen(p: Vec): Vec { return [this.tx + p[0] * this.k, this.ty - p[1] * this.k]; }
  toWorld(p: Vec): Vec { return [(p[0] - this.tx) / this.k, (this.ty - p[1]) / this.k]; }
  get matrix(): string { return `matrix(${this.k} 0 0 ${-this.k} ${this.tx} ${this.ty})`; }
  /** `top`: what is covered there, px. */
  fit(low: Vec, high: Vec, margin: number, top: number): void {
    const w = Math.max(1, high[0] - low[0]), hgt = Math.max(1, high[1] - low[1]);
    this.k = Math.min((this.width - 2 * margin) / w, (this.height - 2 * margin - Math.max(0, top - margin + 8)) / hgt);
    this.k = Math.min(60, Math.max(0.02, this.k));
    this.tx = this.width / 2 - (low[0] + high[0]) / 2 * this.k;
    this.ty = (this.height + Math.max(0, top - margin + 8)) / 2 + (low[1] + high[1]) / 2 * this.k;
    this.fitted = true;
  }
  zoom(factor: number, at: Vec): void {
    const next = Math.min(60, Math.max(0.02, this.k * factor)), ratio = next / this.k;
    this.tx = at[0] - (at[0] - this.tx) * ratio;
    this.ty = at[1] - (at[1] - this.ty) * ratio;
    this.k = next;
    this.fitted = false;
  }
  pan(dx: number, dy: number): void { this.tx += dx; this.ty += dy; this.fitted = false; }
}

/** A step of 1, 2 or 5 times a power of ten that is at least `least` pixels wide. */
export function niceStep(pixels: number, least: number): number {
  const power = 10 ** Math.floor(Math.log10(least / pixels));
  for (const m of [1, 2, 5, 10]) if (m * power * pixels >= least) return m * power;
  return 10 * power;
}

/** Width of the scales, in px for type of size 1. */
export const BAND = 26;
/** And of one of their digits. */
const DIGIT = 6.2;
/** Engraved scales at the left and the lower edge of a view, in the unit shown; engraved anew only when the view has changed. */
export class Scales {
  private drawn = "";
  private readonly cursor = s("path", {class: "mark"});
  constructor(private readonly group: SVGGElement) {}
  draw(view: View, mark: Vec | null): void {
    const key = `${view.k} ${view.tx} ${view.ty} ${view.width} ${view.height} ${view.em} ${unitSystem()}`, band = BAND * view.em;
    if (key !== this.drawn) { this.drawn = key; engrave(this.group, this.cursor, view); }
    const [x, y] = mark ? view.toScreen(mark) : [0, 0];
    this.cursor.setAttribute("d", mark ? `M${x} ${view.height - band}l-5 9h10zM${band} ${y}l-9 -5v10z` : "");
  }
}

function engrave(group: SVGGElement, cursor: SVGPathElement, view: View): void {
  const {em} = view, band = BAND * em;
  const per = unitSystem() === "in" ? MM_PER_INCH : 1, major = niceStep(view.k * per, 64 * em), minor = major / 10;
  const parts: {d: string; texts: SVGTextElement[]} = {d: "", texts: []};
  const low = view.toWorld([band, view.height - band]), high = view.toWorld([view.width, 0]);
  const label = (value: number): string => String(Number(value.toFixed(6))).replace("-", "−");
  /** A number that is cut off is another one: 500 reads as 50, and −400 as 400. */
  const whole = (words: string, at: number, from: number, to: number): boolean => { const half = words.length * DIGIT * em / 2; return at - half >= from && at + half <= to; };
  for (let i = Math.ceil(low[0] / per / minor); i * minor * per <= high[0]; i++) {
    const x = view.tx + i * minor * per * view.k, length = i % 10 === 0 ? 12 : i % 5 === 0 ? 8 : 4;
    parts.d += `M${x.toFixed(1)} ${view.height - band}v${length}`;
    if (i % 10 === 0 && whole(label(i * minor), x, band, view.width)) parts.texts.push(s("text", {x: x.toFixed(1), y: view.height - 4 * em, "text-anchor": "middle"}, label(i * minor)));
  }
  for (let i = Math.ceil(low[1] / per / minor); i * minor * per <= high[1]; i++) {
    const y = view.ty - i * minor * per * view.k, length = i % 10 === 0 ? 12 : i % 5 === 0 ? 8 : 4;
    parts.d += `M${band} ${y.toFixed(1)}h${-length}`;
    if (i % 10 === 0 && whole(label(i * minor), y, 0, view.height - band)) parts.texts.push(s("text", {x: 0, y: 0, transform: `translate(${10 * em} ${y.toFixed(1)}) rotate(-90)`, "text-anchor": "middle"}, label(i * minor)));
  }
  group.replaceChildren(
    s("path", {class: "band", d: `M0 0H${band}V${view.height - band}H${view.width}V${view.height}H0Z`}),
    s("path", {class: "ticks", d: parts.d}), ...parts.texts,
    cursor,
    s("rect", {class: "corner", x: 0, y: view.height - band, width: band, height: band}),
    s("text", {class: "corner-unit", x: band / 2, y: view.height - 9 * em, "text-anchor": "middle"}, unit("length").name));
}
