// What is marked in the photo, what of it is known, and what is to be marked next. No drawing here.
import {WIDE, type Item, type Known} from "./photo-fit";
import type {Assumed} from "./photo-assumed";
import type {Shape, ShapePulley, Vec} from "./types";

export type Part = "rim" | "pivot" | "from" | "to" | "distance" | "rectangle";
/** One thing to mark. `pulley` is "" for a distance or a rectangle. */
export interface Target { id: string; pulley: string; part: Part; title: string }
/** Half-widths of 95 %, in mm, beside their values: as people say them. */
export interface Entry {
  target: Target; marks: {at: Vec; sigma: number}[];
  z: number; sized: boolean; size: number; sizeOff: number; high: number; placed: boolean;
}
/** Points of a rim after which the next pulley is asked for, and the fewest that make a circle. */
export const RIM_POINTS = 6, LEAST_RIM = 3;
/** A crank is where the drive is measured from; another place of the file was measured itself. Standard deviations, mm. */
const DATUM = 0.01, PLACE = 0.15;

export function mostOf(part: Part): number { return part === "rim" ? RIM_POINTS : part === "rectangle" ? 4 : part === "distance" ? 2 : 1; }
export function leastOf(part: Part): number { return part === "rim" ? LEAST_RIM : mostOf(part); }
const spoken: Record<Part, string> = {rim: "rim", pivot: "arm pivot", from: "slot, end “from”", to: "slot, end “to”", distance: "", rectangle: ""};

function target(pulley: string, part: Part): Target { return {id: `${pulley}.${part}`, pulley, part, title: `${pulley}: ${spoken[part]}`}; }
/** Everything of the drive that can be marked, in belt order. */
export function targetsOf(shape: Shape): Target[] {
  return shape.pulleys.flatMap((p) => [target(p.name, "rim"), ...(p.sits === "arm" ? [target(p.name, "pivot")] : []), ...(p.slot ? [target(p.name, "from"), target(p.name, "to")] : [])]);
}

export class Marks {
  entries: Entry[] = [];
  now: Target | null = null;
  private order: string[] = []; // of the points, by target
  private skipped = new Set<string>();

  entry(id: string): Entry | undefined { return this.entries.find((one) => one.target.id === id); }
  /** The one that gets the next point; made when it is first asked for. */
  begin(next: Target, shape: Shape | null, known: Partial<Entry> = {}): void {
    this.now = next;
    this.skipped.delete(next.id);
    if (this.entry(next.id)) return;
    const p = shape?.pulleys.find((one) => one.name === next.pulley);
    const z = p ? p.plane_mm + (next.part === "rim" ? p.width_mm / 2 : 0) : 0; // what is seen of a rim is its front edge
    this.entries.push({target: next, marks: [], z, sized: false, size: p ? tenth(2 * p.rim_radius_mm) : 0, sizeOff: 0.2, high: 0, placed: p?.role === "crank" && next.part === "rim", ...known});
  }
  add(at: Vec, sigma: number): void {
    const entry = this.now && this.entry(this.now.id);
    if (!entry || entry.marks.length >= mostOf(entry.target.part)) return;
    entry.marks.push({at, sigma});
    this.order.push(entry.target.id);
  }
  get full(): boolean { const entry = this.now && this.entry(this.now.id); return Boolean(entry && entry.marks.length >= mostOf(entry.target.part)); }
  get ready(): boolean { const entry = this.now && this.entry(this.now.id); return Boolean(entry && entry.marks.length >= leastOf(entry.target.part)); }
  get points(): number { return this.order.length; }
  /** Takes back the last point, wherever it went, and asks for it again. */
  undo(): boolean {
    const id = this.order.pop(), entry = id === undefined ? undefined : this.entry(id);
    if (!entry) return false;
    this.leave(entry.target.id);
    entry.marks.pop();
    this.now = entry.target;
    return true;
  }
  /** What was begun without a point goes. */
  private leave(but = ""): void { this.entries = this.entries.filter((one) => one.marks.length > 0 || one.target.id === but); }
  stop(): void { this.now = null; this.leave(); }
  skip(): void { if (this.now) { this.skipped.add(this.now.id); this.drop(this.now.id); } }
  drop(id: string): void {
    this.entries = this.entries.filter((one) => one.target.id !== id);
    this.order = this.order.filter((one) => one !== id);
    if (this.now?.id === id) this.now = null;
  }
  clear(id: string): void {
    const entry = this.entry(id);
    if (entry) entry.marks = [];
    this.order = this.order.filter((one) => one !== id);
  }
  /** What comes next in belt order after `from`, round to its start. null: all is marked or skipped. */
  after(from: Target | null, shape: Shape): Target | null {
    const all = targetsOf(shape), at = from ? all.findIndex((one) => one.id === from.id) : -1;
    for (let k = 1; k <= all.length; k++) {
      const one = all[(at + k) % all.length], entry = this.entry(one.id);
      if (!this.skipped.has(one.id) && !(entry && entry.marks.length >= leastOf(one.part))) return one;
    }
    return null;
  }
  /** The photo was turned or mirrored: so are its points. */
  move(by: (p: Vec) => Vec): void { for (const entry of this.entries) for (const mark of entry.marks) mark.at = by(mark.at); }

  /** What is complete, as the fit takes it. */
  items(shape: Shape, assumed: Assumed): Item[] {
    return this.entries.filter((one) => one.marks.length >= leastOf(one.target.part)).map((one): Item => {
      const p = shape.pulleys.find((each) => each.name === one.target.pulley), size: Known = {value: one.size, sigma: one.sizeOff / WIDE};
      const item: Item = {id: one.target.id, kind: one.target.part === "rim" ? "circle" : one.target.part === "distance" ? "span" : one.target.part === "rectangle" ? "rectangle" : "point", marks: one.marks, z: {value: one.z, sigma: assumed.depth}};
      if (item.kind === "circle" && one.sized) item.diameter = size;
      if (item.kind === "span") item.length = size;
      if (item.kind === "rectangle") { item.wide = size; item.high = {value: one.high, sigma: size.sigma}; }
      if (p && one.placed && one.target.part === "rim") item.place = p.role === "crank" ? {at: p.centre_mm, sigma: DATUM, datum: true} : {at: p.centre_mm, sigma: PLACE};
      return item;
    });
  }
}

function tenth(value: number): number { return Math.round(value * 10) / 10; }

/** Middle of an entry's marks, in pixels with v up. */
function middleOf(entry: Entry): Vec { const n = entry.marks.length; return [entry.marks.reduce((t, m) => t + m.at[0], 0) / n, -entry.marks.reduce((t, m) => t + m.at[1], 0) / n]; }

export interface Held { mirrored: boolean; turned: number } // turned: rad, of the photo against the drawing
/** How the photo is held against the file's places: least squares of a similar picture, as it is and mirrored. null: too little is marked to tell. */
export function heldAs(entries: Entry[], shape: Shape): Held | null {
  const pairs = entries.filter((one) => one.target.part === "rim" && one.marks.length >= LEAST_RIM).map((one) => ({entry: one, p: shape.pulleys.find((each) => each.name === one.target.pulley)})).filter((one): one is {entry: Entry; p: ShapePulley} => one.p !== undefined);
  if (pairs.length < 2) return null;
  const from = pairs.map(({entry}) => middleOf(entry)), to = pairs.map(({p}) => p.centre_mm);
  const mean = (list: Vec[]): Vec => [list.reduce((t, v) => t + v[0], 0) / list.length, list.reduce((t, v) => t + v[1], 0) / list.length];
  const [fx, fy] = mean(from), [tx, ty] = mean(to), spread = to.reduce((t, v) => t + (v[0] - tx) ** 2 + (v[1] - ty) ** 2, 0);
  const match = (sign: 1 | -1): {angle: number; left: number} => {
    let dot = 0, cross = 0, size = 0;
    from.forEach((v, i) => { const x = sign * (v[0] - fx), y = v[1] - fy, u = to[i][0] - tx, w = to[i][1] - ty; dot += x * u + y * w; cross += x * w - y * u; size += x * x + y * y; });
    return {angle: Math.atan2(cross, dot), left: 1 - (dot * dot + cross * cross) / ((size * spread) || 1)};
  };
  const plain = match(1), mirror = match(-1);
  // Two points fit either way. A photo that fits badly as it is and well in the mirror is mirrored.
  return {mirrored: pairs.length > 2 && plain.left > 0.05 && mirror.left < 0.02, turned: plain.angle};
}
