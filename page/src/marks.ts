// What is wrong where it is: pulleys, seats and bearings, spans, pulleys that overlap, what is near an obstacle, and a belt
// that fits nowhere. Never by colour alone: each has a glyph, a dash pattern of its own and words.
import {s} from "./dom";
import type {Picture} from "./drawing";
import type {Label} from "./labels";
import type {Finding, Level, Shape, Vec} from "./types";
import {showUnit} from "./units";
import type {View} from "./view";

type Hot = "fail" | "marginal";
const signs: Record<Hot, string> = {fail: "✕", marginal: "◐"};
const words = (f: Finding): string => f.rule.replaceAll("_", " ");
const isHot = (level: Level): level is Hot => level === "fail" || level === "marginal";

/** What findings speak of, worst first as they come: pulleys by name, spans by the number of the pulley before them. */
export interface Places { pulleys: Map<string, Finding[]>; seats: Map<string, Finding[]>; spans: Map<number, Finding[]> }

function placesOf(shape: Shape, findings: Finding[]): Places {
  const places: Places = {pulleys: new Map(), seats: new Map(), spans: new Map()}, {pulleys} = shape;
  const add = <K>(map: Map<K, Finding[]>, key: K, f: Finding): void => { map.set(key, [...(map.get(key) ?? []), f]); };
  const spanNames = pulleys.map((p, i) => `${p.name} - ${pulleys[(i + 1) % pulleys.length].name}`);
  for (const f of findings.filter((one) => isHot(one.level))) {
    if (f.span) add(places.spans, pulleys.findIndex((p) => p.name === f.span?.[0]), f);
    for (const name of new Set([f.pulley, f.other ?? null])) {
      if (name === null) continue;
      const span = f.span ? -1 : spanNames.indexOf(name);
      if (span >= 0) add(places.spans, span, f);
      else if (pulleys.some((p) => p.name === name)) add(f.area === "hardware" ? places.seats : places.pulleys, name, f);
    }
  }
  return places;
}

export class Marks {
  readonly world = s("g", {class: "marks"});
  private places: Places = {pulleys: new Map(), seats: new Map(), spans: new Map()};
  private noted: Shape | null = null;
  private old = false;

  /** `shape` is of the last answer, also while a hand moves; `old`: the findings are of before. */
  note(shape: Shape, findings: Finding[], old: boolean): void {
    this.noted = shape;
    this.old = old;
    this.places = placesOf(shape, findings);
  }
  /** The worst rule that speaks of a pulley; "" where none does. */
  ruleOf(name: string): string {
    const all = [...(this.places.pulleys.get(name) ?? []), ...(this.places.seats.get(name) ?? [])];
    const worst = all.find((f) => f.level === "fail") ?? all[0];
    return worst ? words(worst) : "";
  }

  /** @return what is to be written, and where */
  draw(picture: Picture, view: View): Label[] {
    const {shape, at, path} = picture, world: SVGElement[] = [], words_: Label[] = [];
    shape.pulleys.forEach((p, i) => {
      world.push(...ring(this.places.pulleys.get(p.name), at[i], p.rim_radius_mm + 7 / view.k, "pulley"), ...ring(this.places.seats.get(p.name), at[i], Math.min(p.rim_radius_mm * 0.45, 14 / view.k), "seat"));
    });
    for (const [i, all] of this.places.spans) {
      const to = (i + 1) % at.length;
      if (!path || i < 0 || i >= at.length) continue;
      const level = all[0].level as Hot, a = path.leave[i], b = path.enter[to], middle = view.toScreen([(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]);
      world.push(s("path", {class: `span ${level}`, d: `M${a.join(" ")}L${b.join(" ")}`}, s("title", {}, all.map(words).join(", "))));
      words_.push(label(`span ${i}`, level, middle, words(all[0])));
    }
    if (this.noted) this.touching(this.noted, picture, view, world, words_);
    this.world.setAttribute("class", this.old ? "marks old" : "marks");
    this.world.replaceChildren(...world);
    return words_;
  }

  /** What the last answer says of the place itself: it is of now, judged or not. */
  private touching(noted: Shape, picture: Picture, view: View, world: SVGElement[], words_: Label[]): void {
    for (const o of noted.overlaps) {
      const r = Math.max(o.by_mm / 2, 5 / view.k), [x, y] = o.at_mm;
      world.push(s("path", {class: "overlap", d: `M${x - r} ${y - r}L${x + r} ${y + r}M${x - r} ${y + r}L${x + r} ${y - r}`}));
      words_.push(label(`overlap ${o.pulleys.join("\n")}`, "fail", view.toScreen(o.at_mm), `${o.pulleys.join(" and ")} overlap by ${showUnit("length", o.by_mm, 1)}`));
    }
    const told = new Set<string>();
    for (const n of noted.near) {
      const key = `${n.obstacle}\n${n.what}`;
      if (told.has(key)) continue; // the worst of the two stands first
      told.add(key);
      const of = n.gap_mm < 0 ? `${n.what} runs into ${n.obstacle} by ${showUnit("length", -n.gap_mm, 1)}` : `${n.what} and ${n.obstacle}: ${showUnit("length", n.gap_mm, 1)}, ${showUnit("length", n.needed_mm, 1)} needed`;
      words_.push(label(key, n.level, view.toScreen(n.to_mm), of));
    }
    const end = endWords(noted, picture), i = picture.shape.pulleys.findIndex((p) => p.name === noted.end?.pulley);
    if (end && i >= 0) words_.push({...label("end", "fail", view.toScreen(picture.at[i]), end), r: picture.shape.pulleys[i].rim_radius_mm * view.k});
  }
}

/** "belt too short by 12.3 mm"; "" for a belt that the tensioner takes up. */
function endWords(noted: Shape, picture: Picture): string {
  const {end} = noted;
  if (!end || !picture.off) return "";
  return `belt too ${end.too_long ? "long" : "short"}${end.by_mm === null ? "" : ` by ${showUnit("length", end.by_mm, 1)}`}`;
}

function ring(all: Finding[] | undefined, [x, y]: Vec, r: number, what: string): SVGElement[] {
  if (!all) return [];
  const level = all.some((f) => f.level === "fail") ? "fail" : "marginal";
  return [s("circle", {class: `${what} ${level}`, cx: x, cy: y, r}, s("title", {}, all.map((f) => `${f.level}: ${words(f)}`).join(", ")))];
}

const LONG = 30;
/** A sentence is on two lines. */
function label(key: string, level: Hot, at: Vec, text: string): Label {
  const all = `${signs[level]} ${text}`, half = all.length > LONG ? all.indexOf(" ", all.length / 2 - 4) + 1 : 0;
  return {key: `mark ${key}`, at, r: 0, inside: false, rank: level === "fail" ? 8 : 5, lines: (half ? [all.slice(0, half), all.slice(half)] : [all]).map((line) => ({text: line, class: `mark ${level}`}))};
}
