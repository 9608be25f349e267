// The distance of two things that a hand chose: which they are, the line between them, and what the program says of it.
import "./shared";
import {announce, byId, h, s} from "./dom";
import type {Picture} from "./drawing";
import {circle, fromSegment} from "./geometry";
import {valueAgainstLimit} from "./panels";
import type {Finding, Measure, Measured, Shape, Thing, Vec} from "./types";
import {showUnit} from "./units";
import type {View} from "./view";

/** Where a thing reaches no farther than this from a finger or the pointer, it is meant, px. */
const NEAR = 9;
const same = (a: Thing, b: Thing): boolean => JSON.stringify(a) === JSON.stringify(b);
const spanName = (shape: Shape, from: string): string => {
  const i = shape.pulleys.findIndex((p) => p.name === from);
  return `${from} - ${shape.pulleys[(i + 1) % shape.pulleys.length]?.name ?? ""}`;
};
export function nameOf(shape: Shape, t: Thing): string {
  if (t.at) return `point ${showUnit("length", t.at[0], 1)}, ${showUnit("length", t.at[1], 1)}`;
  if (t.span) return `span ${spanName(shape, t.span)}`;
  return [t.part, t.pulley ?? t.mount ?? t.obstacle].filter(Boolean).join(" of ");
}

/** All that can be measured in a view, by kinds. */
function choices(shape: Shape, side: boolean): [string, Thing[]][] {
  const parts = new Map<string, Thing>();
  for (const b of shape.side.blocks) if (b.name !== null && b.what !== "flange") parts.set(`${b.of}\n${b.name}`, {[b.on_mount ? "mount" : "pulley"]: b.of, part: b.name});
  const bolts = shape.mounts.flatMap((m) => m.bolts.map((b): Thing => ({mount: m.name, part: b.name})));
  const brackets = shape.mounts.filter((m) => side ? shape.side.blocks.some((b) => b.on_mount && b.of === m.name && b.what === "bracket") : m.corners_mm.length).map((m): Thing => ({mount: m.name}));
  return [["Pulleys", shape.pulleys.map((p) => ({pulley: p.name}))], ["Spans", shape.path ? shape.pulleys.map((p) => ({span: p.name})) : []],
    ["Obstacles", shape.obstacles.filter((o) => !side || o.low_mm !== null).map((o) => ({obstacle: o.name}))], ["Brackets", brackets], ["Bolts and parts", side ? [...parts.values()] : bolts]];
}

/** What of the drawing is at a point, the smallest first; else the point itself. */
function thingAt({shape, at, path}: Picture, p: Vec, reach: number): Thing {
  const far = ([x, y]: Vec): number => Math.hypot(p[0] - x, p[1] - y);
  const along = (a: Vec, b: Vec): number => fromSegment(p, [a, b]);
  const edge = (corners: Vec[]): number => Math.min(...corners.map((c, i) => along(c, corners[(i + 1) % corners.length])));
  const within = (corners: Vec[]): boolean => corners.reduce((odd, a, i) => { const b = corners[(i + 1) % corners.length]; return (a[1] > p[1]) !== (b[1] > p[1]) && p[0] < a[0] + (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1]) ? !odd : odd; }, false);
  for (const m of shape.mounts) for (const b of m.bolts) if (far(b.at_mm) < Math.max(b.head_mm / 2, reach)) return {mount: m.name, part: b.name};
  const spans = path ? path.leave.map((a, i) => along(a, path.enter[(i + 1) % at.length])) : [], span = spans.indexOf(Math.min(...spans));
  if (span >= 0 && spans[span] < shape.belt.thickness_mm + reach) return {span: shape.pulleys[span].name};
  const pulley = shape.pulleys.map((one, i) => [far(at[i]) - one.rim_radius_mm, i]).sort((a, b) => a[0] - b[0])[0];
  if (pulley && pulley[0] < reach) return {pulley: shape.pulleys[pulley[1]].name};
  for (const o of shape.obstacles) {
    if (o.shape === "polygon" ? within(o.corners_mm) || edge(o.corners_mm) < reach : along(o.from_mm, o.to_mm) < o.radius_mm + reach) return {obstacle: o.name};
  }
  for (const m of shape.mounts) if (m.corners_mm.length && edge(m.corners_mm) < reach) return {mount: m.name};
  return {at: [p[0], p[1]]};
}

interface Hooks { ask(): void; ended(): void; side(): boolean }

export class Distance {
  asking = false;
  private of: (Thing | null)[] = [null, null];
  private listed = "";
  private shape: Shape | null = null;
  private measured: Measured | null = null;
  private readonly box = byId("ruler");
  private readonly button = byId<HTMLButtonElement>("measure");
  private readonly selects = ["From", "To"].map((name, i) => h("select", {"aria-label": `Distance ${name.toLowerCase()}`, onchange: (event: Event) => this.choose(i, JSON.parse((event.target as HTMLSelectElement).value || "null") as Thing | null)}));
  private readonly said = h("output", {"aria-live": "polite", tabindex: 0});
  constructor(private readonly hooks: Hooks) {
    this.box.append(this.selects[0], h("span", {"aria-hidden": "true"}, "–"), this.selects[1], h("button", {type: "button", "aria-label": "End measuring", title: "End measuring (Esc)", onclick: () => this.end()}, "✕"), this.said);
  }
  toggle(): void { if (this.asking) this.end(); else this.begin(); }
  private begin(): void {
    this.asking = true;
    this.again();
    announce("Choose two things or points");
  }
  end(): void {
    this.asking = false;
    this.again();
    this.button.focus({preventScroll: true});
    this.hooks.ended();
  }
  /** Nothing is chosen: the mode, the view or the file is another. */
  again(): void {
    this.of = [null, null];
    this.measured = null;
    this.listed = "";
    this.box.hidden = !this.asking;
    this.button.setAttribute("aria-pressed", String(this.asking));
    document.body.classList.toggle("measuring", this.asking);
    this.draw();
    this.hooks.ask();
  }
  private choose(i: number, thing: Thing | null): void { this.of[i] = thing; this.measured = null; this.draw(); this.hooks.ask(); }
  /** A click: the first thing, the second, and then the first of another two. */
  take(thing: Thing): void {
    if (this.of[1]) this.of = [null, null];
    this.choose(this.of[0] ? 1 : 0, thing);
    if (this.shape && !this.of[1]) announce(`From ${nameOf(this.shape, thing)}`);
  }
  /** @return taken */
  pick(picture: Picture | null, point: Vec, view: View): boolean {
    if (!this.asking || !picture) return false;
    this.take(thingAt(picture, point, NEAR / view.k));
    return true;
  }
  question(): Measure | null {
    const [a, b] = this.of;
    return this.asking && a && b ? {view: this.hooks.side() ? "side" : "front", of: [a, b]} : null;
  }

  /** What the last answer says; `asked` is what it was asked. */
  answer(shape: Shape, asked: Measure | null, findings: Finding[]): void {
    this.shape = shape;
    if (!this.asking) return;
    this.measured = JSON.stringify(asked) === JSON.stringify(this.question()) ? shape.measured : null;
    this.draw();
    const [a, b] = this.of;
    const text = !a || !b ? (a ? "Choose the second." : "Choose two things or points.") : asked ? words(shape, [a, b], this.measured, findings, this.hooks.side()) : "…";
    if (this.said.textContent !== text) this.said.textContent = text;
  }
  private draw(): void {
    if (!this.shape || !this.asking) return;
    const groups = choices(this.shape, this.hooks.side()), key = JSON.stringify([groups, this.of]);
    if (key === this.listed) return;
    this.listed = key;
    const {shape, of} = this;
    this.selects.forEach((select, i) => {
      const chosen = of[i], option = (t: Thing): HTMLElement => h("option", {value: JSON.stringify(t), selected: chosen !== null && same(t, chosen)}, nameOf(shape, t));
      const own = chosen && !groups.some(([, list]) => list.some((t) => same(t, chosen))) ? [option(chosen)] : [];
      select.replaceChildren(h("option", {value: ""}, i ? "to …" : "from …"), ...own, ...groups.filter(([, list]) => list.length).map(([label, list]) => h("optgroup", {label}, ...list.map(option))));
    });
  }
  /** The line, in the world of a view. */
  line(group: SVGGElement, view: View): void {
    const m = this.asking ? this.measured : null;
    if (!m) { if (group.firstChild) group.replaceChildren(); return; }
    const [a, b] = [m.from_mm, m.to_mm], r = 4 / view.k;
    const middle = view.toScreen([(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]);
    group.replaceChildren(s("path", {d: `M${a.join(" ")}L${b.join(" ")}${circle(a, r)}${circle(b, r)}`}),
      s("text", {transform: `translate(${(middle[0] - view.tx) / view.k} ${(view.ty - middle[1]) / view.k}) scale(${1 / view.k} ${-1 / view.k})`, x: 8, y: -6}, showUnit("length", m.distance_mm)));
  }
}

/** Nothing under this is shown as a depth, mm: the program's own outlines meet in rounding. */
const TOUCH = 5e-4;
function words(shape: Shape, [a, b]: [Thing, Thing], m: Measured | null, findings: Finding[], side: boolean): string {
  if (!m) return "Of one of them nothing is known in this view.";
  const [dx, dy] = [0, 1].map((i) => showUnit("length", Math.abs(m.to_mm[i] - m.from_mm[i])));
  const apart = m.distance_mm > TOUCH ? `${showUnit("length", m.distance_mm)} apart: ${dx} ${side ? "along the crank" : "across"}, ${dy} up.` : m.distance_mm < -TOUCH ? `They overlap by ${showUnit("length", -m.distance_mm)} in this view.` : "They meet or overlap in this view.";
  const said = findings.filter((f) => between(shape, f, a, b)).map((f) => `${f.level}: ${f.rule.replaceAll("_", " ")} ${valueAgainstLimit(f)}.`);
  const j = m.judged, judged = j ? [`Clearance as drawn: ${showUnit("length", j.value_mm)} in space, limit ${showUnit("length", j.limit_mm)}${j.flap_mm > TOUCH ? `, ${showUnit("length", j.flap_mm)} of belt flap counted` : ""}.`] : said.length ? [] : ["No clearance is judged between the two."];
  return [apart, ...judged, ...said].join(" ");
}

/** Does a finding speak of these two, by the names that it has for them? */
function between(shape: Shape, f: Finding, a: Thing, b: Thing): boolean {
  const plain = (t: Thing): string => t.part ? "" : t.span ? spanName(shape, t.span) : t.pulley ?? t.obstacle ?? "";
  const beside = (span: Thing, o: Thing): boolean => Boolean(span.span && o.obstacle) && f.pulley === span.span && f.other === plain(span).replace(`${span.span} - `, `${o.obstacle} - `);
  const both = (one: Thing, two: Thing): boolean => plain(one) !== "" && f.pulley === plain(one) && f.other === plain(two);
  return both(a, b) || both(b, a) || beside(a, b) || beside(b, a);
}
