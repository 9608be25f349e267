// Camera and measured things together, by weighted least squares: docs/theory/photo.md, eq. 4 to 9.
import {BEND, CAMERA, LOG_FOCAL, LOG_SCALE, LOOK_X, LOOK_Y, MIDDLE_U, MIDDLE_V, ROLL, seenAt, seenBy, TILT_X, TILT_Y, viewOf, type Camera, type View} from "./photo-camera";
import {circleOf} from "./photo-geometry";
import type {Vec} from "./types";

/** A value and its standard deviation. */
export interface Known { value: number; sigma: number }
export interface Mark { at: Vec; sigma: number } // pixels of the photo
export interface Item {
  id: string; kind: "circle" | "point" | "span" | "rectangle"; marks: Mark[];
  z: Known;                    // its plane
  diameter?: Known;            // circle
  place?: {at: Vec; sigma: number; datum?: boolean}; // circle, point: where its centre is known to be; the datum is so by definition
  length?: Known;              // span
  wide?: Known; high?: Known;  // rectangle, its corners clockwise in the drawing from the upper left
}
/** What is known of the photo before anything is marked. Sigmas; `focal` is ln of the focal length in pixels. */
export interface Before { size: Vec; focal: Known; middle: number; bend: number; tilt: number; roll: number; turned: number }

export const GROUPS = ["marks", "depth", "sizes", "places", "tilt", "focal", "lens", "level"] as const;
export type Group = typeof GROUPS[number];
export interface Value { value: number; wide: number; shares: Record<Group, number> } // 95 %: value +- wide; shares of its square
export interface Found { x: Value; y: Value; diameter?: Value; per: number } // per: mm of one pixel there
export interface Check { id: string; what: "diameter" | "length" | "wide" | "high" | "place" | "mark"; known: number; others: number; off: number } // off: in sigmas
export interface Fit {
  camera: Camera; sigma: number[]; found: Map<string, Found>; checks: Check[];
  noise: number;   // how much wider the residuals are than was said; >= 1
  spare: number;   // measurements beyond those needed
  cost: number;    // sum of the squares
  other: number;   // weight of the second best tilt that fits as well, 0 to 0.5
}

interface Row { group: Group; id: string; what: Check["what"] | ""; known: number; per: number }
interface Block { item: Item; first: number; count: number; rows: Row[] }
/** Two-sided 95 % of the normal distribution. */
export const WIDE = 1.96;
/** Where nothing fixes place or scale, so far as to be no answer yet not singular [mm, ln]. */
const NOWHERE = 1e4, ANY_SCALE = 3;
/** A step of each kind of number for derivatives by differences: far under what matters, far over rounding. */
const STEP_ANGLE = 1e-6, STEP_MM = 1e-4;
const LIFT = [1e-6, 1e-6, 1e-6, 1e-6, STEP_ANGLE, STEP_ANGLE, STEP_ANGLE, STEP_MM, STEP_MM, 1e-6];
const SECOND = 0.02; // a tilt that weighs less is not spoken of

/** Cholesky's factor in place of a; false where a is not positive. */
function factor(a: number[][]): boolean {
  for (let i = 0; i < a.length; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = a[i][j];
      for (let k = 0; k < j; k++) sum -= a[i][k] * a[j][k];
      if (i !== j) a[i][j] = sum / a[j][j];
      else if (sum > 0) a[i][i] = Math.sqrt(sum); else return false;
    }
  }
  return true;
}
function solveWith(l: number[][], right: number[]): number[] {
  const n = l.length, x = [...right];
  for (let i = 0; i < n; i++) { for (let k = 0; k < i; k++) x[i] -= l[i][k] * x[k]; x[i] /= l[i][i]; }
  for (let i = n - 1; i >= 0; i--) { for (let k = i + 1; k < n; k++) x[i] -= l[k][i] * x[k]; x[i] /= l[i][i]; }
  return x;
}

/** The block's own numbers: circle x y z r; point x y z; span x y z x y z; rectangle x y z angle w h. */
const OWN = {circle: 4, point: 3, span: 6, rectangle: 6};

function rowsOf(item: Item): Row[] {
  const row = (group: Group, what: Row["what"] = "", known = 0, per = 1): Row => ({group, id: item.id, what, known, per});
  const rows = item.marks.flatMap((mark) => (item.kind === "circle" ? [row("marks", "mark", 0, mark.sigma)] : [row("marks"), row("marks")]));
  rows.push(row("depth"));
  if (item.kind === "span") rows.push(row("depth"));
  if (item.diameter) rows.push(row("sizes", "diameter", item.diameter.value, item.diameter.sigma));
  if (item.length) rows.push(row("sizes", "length", item.length.value, item.length.sigma));
  if (item.wide && item.high) rows.push(row("sizes", "wide", item.wide.value, item.wide.sigma), row("sizes", "high", item.high.value, item.high.sigma));
  if (item.place) rows.push(...item.place.at.map((v) => row("places", item.place?.datum ? "" : "place", v, item.place?.sigma)));
  return rows;
}

/** Residuals of one item, each over its standard deviation. null: a ray misses the plane. */
function residuals(item: Item, view: View, own: number[]): number[] | null {
  const out: number[] = [], depth = (z: number): void => { out.push((z - item.z.value) / item.z.sigma); };
  const point = (mark: Mark, x: number, y: number, z: number): boolean => {
    const seen = seenBy(view, mark.at, z);
    if (!seen) return false;
    const [a, b, c, d] = seen.per, det = a * d - b * c, dx = seen.at[0] - x, dy = seen.at[1] - y;
    out.push((d * dx - b * dy) / det / mark.sigma, (a * dy - c * dx) / det / mark.sigma);
    return true;
  };
  const [x, y, z] = own;
  if (item.kind === "circle") {
    for (const mark of item.marks) {
      const seen = seenBy(view, mark.at, z);
      if (!seen) return null;
      const dx = seen.at[0] - x, dy = seen.at[1] - y, far = Math.hypot(dx, dy) || 1e-9, [a, b, c, d] = seen.per;
      out.push((far - own[3]) / (Math.hypot(a * dx + c * dy, b * dx + d * dy) / far) / mark.sigma);
    }
    depth(z);
    if (item.diameter) out.push((2 * own[3] - item.diameter.value) / item.diameter.sigma);
  } else if (item.kind === "point") {
    if (!point(item.marks[0], x, y, z)) return null;
    depth(z);
  } else if (item.kind === "span") {
    if (!point(item.marks[0], x, y, z) || !point(item.marks[1], own[3], own[4], own[5])) return null;
    depth(z);
    depth(own[5]);
    const length = item.length as Known;
    out.push((Math.hypot(own[3] - x, own[4] - y, own[5] - z) - length.value) / length.sigma);
  } else {
    const [, , , angle, w, hgt] = own, c = Math.cos(angle), s = Math.sin(angle);
    for (const [i, [p, q]] of [[0, 0], [w, 0], [w, -hgt], [0, -hgt]].entries()) if (!point(item.marks[i], x + c * p - s * q, y + s * p + c * q, z)) return null;
    depth(z);
    const wide = item.wide as Known, high = item.high as Known;
    out.push((w - wide.value) / wide.sigma, (hgt - high.value) / high.sigma);
  }
  if (item.place) out.push((x - item.place.at[0]) / item.place.sigma, (y - item.place.at[1]) / item.place.sigma);
  return out;
}

function startOf(item: Item, view: View): number[] | null {
  const on = (pixel: Vec): Vec | null => seenBy(view, pixel, item.z.value)?.at ?? null, z = item.z.value;
  if (item.kind === "circle") {
    const flat = item.marks.map((mark) => on(mark.at)), circle = flat.every((p) => p) ? circleOf(flat as Vec[]) : null;
    return circle && [...circle.centre, z, circle.radius];
  }
  const ends = item.marks.map((mark) => on(mark.at));
  if (!ends.every((p) => p)) return null;
  const [a, b] = ends as Vec[];
  if (item.kind === "point") return [...a, z];
  if (item.kind === "span") return [...a, z, ...b, z];
  return [...a, z, Math.atan2(b[1] - a[1], b[0] - a[0]), (item.wide as Known).value, (item.high as Known).value];
}

interface Equations { cost: number; normal: number[][]; gradient: number[]; rows: {row: Row; value: number; at: number[]; slope: number[]}[] }

class Problem {
  readonly blocks: Block[] = [];
  readonly priors: {at: number; mean: number; sigma: number; group: Group}[];
  count = CAMERA;
  readonly size: Vec;
  constructor(items: Item[], before: Before, readonly start: Camera) {
    this.size = before.size;
    for (const item of items) { const count = OWN[item.kind]; this.blocks.push({item, first: this.count, count, rows: rowsOf(item)}); this.count += count; }
    this.priors = [
      {at: LOG_FOCAL, mean: before.focal.value, sigma: before.focal.sigma, group: "focal"},
      {at: MIDDLE_U, mean: 0, sigma: before.middle, group: "lens"}, {at: MIDDLE_V, mean: 0, sigma: before.middle, group: "lens"}, {at: BEND, mean: 0, sigma: before.bend, group: "lens"},
      {at: TILT_X, mean: 0, sigma: before.tilt, group: "tilt"}, {at: TILT_Y, mean: 0, sigma: before.tilt, group: "tilt"}, {at: ROLL, mean: before.turned, sigma: before.roll, group: "level"},
      {at: LOOK_X, mean: start[LOOK_X], sigma: NOWHERE, group: "places"}, {at: LOOK_Y, mean: start[LOOK_Y], sigma: NOWHERE, group: "places"}, {at: LOG_SCALE, mean: start[LOG_SCALE], sigma: ANY_SCALE, group: "sizes"},
    ];
  }
  first(tilts: Vec): number[] | null {
    const all = [...this.start];
    all[TILT_X] = tilts[0];
    all[TILT_Y] = tilts[1];
    const view = viewOf(all, this.size);
    for (const {item} of this.blocks) {
      const own = startOf(item, view);
      if (!own) return null;
      all.push(...own);
    }
    return all;
  }
  cost(all: number[]): number {
    let sum = 0;
    for (const one of this.priors) sum += ((all[one.at] - one.mean) / one.sigma) ** 2;
    const view = viewOf(all, this.size);
    for (const {item, first, count} of this.blocks) {
      const r = residuals(item, view, all.slice(first, first + count));
      if (!r) return Infinity;
      for (const v of r) sum += v * v;
    }
    return sum;
  }
  equations(all: number[]): Equations | null {
    const rows: Equations["rows"] = this.priors.map((one) => ({row: {group: one.group, id: "", what: "", known: 0, per: 1}, value: (all[one.at] - one.mean) / one.sigma, at: [one.at], slope: [1 / one.sigma]}));
    const camera = all.slice(0, CAMERA), moved = (list: number[], i: number, by: number): number[] => list.map((v, k) => (k === i ? v + by : v));
    const view = viewOf(camera, this.size), [above, below] = [1, -1].map((sign) => LIFT.map((step, i) => viewOf(moved(camera, i, sign * step), this.size)));
    for (const {item, first, count, rows: tags} of this.blocks) {
      const own = all.slice(first, first + count), base = residuals(item, view, own);
      if (!base) return null;
      const places = Array.from({length: CAMERA + count}, (_, i) => (i < CAMERA ? i : first + i - CAMERA)), slopes = base.map((): number[] => []);
      for (let i = 0; i < CAMERA + count; i++) {
        const k = i - CAMERA, step = k < 0 ? LIFT[i] : item.kind === "rectangle" && k === 3 ? STEP_ANGLE : STEP_MM;
        const more = k < 0 ? residuals(item, above[i], own) : residuals(item, view, moved(own, k, step));
        const less = k < 0 ? residuals(item, below[i], own) : residuals(item, view, moved(own, k, -step));
        if (!more || !less) return null;
        base.forEach((_, r) => slopes[r].push((more[r] - less[r]) / (2 * step)));
      }
      base.forEach((value, r) => rows.push({row: tags[r], value, at: places, slope: slopes[r]}));
    }
    const normal = Array.from({length: this.count}, () => new Array<number>(this.count).fill(0)), gradient = new Array<number>(this.count).fill(0);
    let cost = 0;
    for (const {value, at, slope} of rows) {
      cost += value * value;
      for (let i = 0; i < at.length; i++) { // its lower half, which is all that `factor` reads; the places rise
        const row = normal[at[i]], of = slope[i];
        gradient[at[i]] += of * value;
        for (let j = 0; j <= i; j++) row[at[j]] += of * slope[j];
      }
    }
    return {cost, normal, gradient, rows};
  }
  /** Levenberg and Marquardt. null: no way down from there. */
  solve(from: number[]): {all: number[]; eq: Equations} | null {
    let all = from, eq = this.equations(all), damp = 1e-3;
    for (let k = 0; eq && k < 200; k++) {
      const a = eq.normal.map((row) => row.slice());
      a.forEach((row, i) => { row[i] *= 1 + damp; });
      const step = factor(a) ? solveWith(a, eq.gradient) : null, next = step && all.map((v, i) => v - step[i]), cost = next ? this.cost(next) : Infinity;
      if (next && cost <= eq.cost) {
        const gain = eq.cost - cost, settled = gain < 1e-6 * (1 + cost) && damp < 1;
        all = next;
        eq = this.equations(all);
        damp = Math.max(1e-9, damp / 8);
        if (settled && eq) return {all, eq};
      } else {
        damp *= 6;
        if (damp > 1e12) return {all, eq};
      }
    }
    return null;
  }
}

interface Mode { all: number[]; eq: Equations; cov: number[][]; logDet: number }

function modeOf(found: {all: number[]; eq: Equations}): Mode | null {
  const l = found.eq.normal.map((row) => [...row]);
  if (!factor(l)) return null;
  const cov = l.map((_, i) => solveWith(l, l.map((__, k) => (k === i ? 1 : 0))));
  return {...found, cov, logDet: -2 * l.reduce((t, row, i) => t + Math.log(row[i]), 0)};
}

/** A camera to begin with: square on, turned as given, its scale from what is known. */
function firstCamera(items: Item[], before: Before): Camera {
  const scales: number[] = [], flat = (m: Mark): Vec => [m.at[0] - before.size[0] / 2, before.size[1] / 2 - m.at[1]], c = Math.cos(before.turned), s = Math.sin(before.turned);
  const world = (p: Vec): Vec => [c * p[0] - s * p[1], s * p[0] + c * p[1]];
  const placed: {pixel: Vec; at: Vec}[] = [];
  for (const item of items) {
    const marks = item.marks.map((m) => world(flat(m))), circle = item.kind === "circle" ? circleOf(marks) : null, apart = (i: number, j: number): number => Math.hypot(marks[j][0] - marks[i][0], marks[j][1] - marks[i][1]);
    if (circle && item.diameter) scales.push(2 * circle.radius / item.diameter.value);
    if (item.length) scales.push(apart(0, 1) / item.length.value);
    if (item.wide) scales.push(apart(0, 1) / item.wide.value);
    if (item.place) placed.push({pixel: circle ? circle.centre : marks[0], at: item.place.at});
  }
  if (placed.length > 1) { const [a, b] = [placed[0], placed[placed.length - 1]]; scales.push(Math.hypot(a.pixel[0] - b.pixel[0], a.pixel[1] - b.pixel[1]) / (Math.hypot(a.at[0] - b.at[0], a.at[1] - b.at[1]) || 1)); }
  const scale = scales.sort((a, b) => a - b)[scales.length >> 1] ?? 1, anchor = placed[0];
  return [before.focal.value, 0, 0, 0, 0, 0, before.turned, anchor ? anchor.at[0] - anchor.pixel[0] / scale : 0, anchor ? anchor.at[1] - anchor.pixel[1] / scale : 0, Math.log(scale)];
}

/** Places, sizes and camera that the marks fit best, with what each is worth. null: they fit nothing. */
export function fit(items: Item[], before: Before): Fit | null {
  const problem = new Problem(items, before, firstCamera(items, before)), modes: Mode[] = [];
  const attempt = (tilts: Vec): void => {
    const from = problem.first(tilts), done = from && problem.solve(from), mode = done && modeOf(done);
    if (!mode || modes.some((one) => Math.hypot(one.all[TILT_X] - mode.all[TILT_X], one.all[TILT_Y] - mode.all[TILT_Y]) < 2e-3)) return;
    modes.push(mode);
  };
  for (const tilts of [[0, 0], [0.2, 0], [-0.2, 0], [0, 0.2], [0, -0.2]] as Vec[]) attempt(tilts);
  if (!modes.length) return null;
  const height = (m: Mode): number => m.logDet / 2 - m.eq.cost / 2;
  modes.sort((a, b) => height(b) - height(a));
  attempt([-modes[0].all[TILT_X], -modes[0].all[TILT_Y]]); // an ellipse alone is seen from either side
  modes.sort((a, b) => height(b) - height(a));
  return summary(problem, modes.map((mode) => ({mode, weight: Math.exp(height(mode) - height(modes[0]))})));
}

function summary(problem: Problem, list: {mode: Mode; weight: number}[]): Fit {
  const total = list.reduce((t, one) => t + one.weight, 0), best = list[0].mode;
  const spare = best.eq.rows.length - problem.count, noise = spare > 0 ? Math.max(1, Math.sqrt(best.eq.cost / spare)) : 1;
  // What each group of measurements brings to every number's variance: (J'J)^-1 (J_g'J_g) (J'J)^-1; they add up to it.
  const shareOf = (place: number, mode: Mode): Record<Group, number> => {
    const sums = Object.fromEntries(GROUPS.map((g) => [g, 0])) as Record<Group, number>;
    for (const {row, at: places, slope} of mode.eq.rows) sums[row.group] += places.reduce((t, p, i) => t + mode.cov[p][place] * slope[i], 0) ** 2;
    return sums;
  };
  const valueOf = (place: number, factor_ = 1): Value => {
    const shares = shareOf(place, best);
    const variance = list.reduce((t, {mode, weight}) => t + weight / total * (mode.cov[place][place] * noise * noise + (mode.all[place] - best.all[place]) ** 2), 0);
    const moved = variance - best.cov[place][place] * noise * noise;
    shares.tilt += Math.max(0, moved);
    const sum = GROUPS.reduce((t, g) => t + shares[g], 0) || 1;
    for (const g of GROUPS) shares[g] /= sum;
    return {value: best.all[place] * factor_, wide: WIDE * factor_ * Math.sqrt(variance), shares};
  };
  const found = new Map<string, Found>();
  for (const {item, first} of problem.blocks) {
    const per = seenAt(best.all, problem.size, item.marks[0].at, item.z.value)?.per ?? [1, 0, 0, 1];
    found.set(item.id, {x: valueOf(first), y: valueOf(first + 1), per: Math.sqrt(Math.abs(per[0] * per[3] - per[1] * per[2])), ...(item.kind === "circle" ? {diameter: valueOf(first + 3, 2)} : {})});
  }
  const sigma = Array.from({length: CAMERA}, (_, i) => noise * Math.sqrt(best.cov[i][i]));
  const other = list.slice(1).reduce((t, one) => t + one.weight, 0) / total;
  return {camera: best.all.slice(0, CAMERA), sigma, found, checks: checksOf(best, spare), noise, spare, cost: best.eq.cost, other: other > SECOND ? other : 0};
}

/** So few measurements to spare tell nothing of how well they were made. */
const FEW_SPARE = 4;
/** Each known value against what the others say it is: its residual over what that residual may be, by the scatter of the others. */
function checksOf(mode: Mode, spare: number): Check[] {
  const checks: Check[] = [];
  for (const {row, value, at, slope} of mode.eq.rows) {
    if (!row.what) continue;
    const lever = at.reduce((t, p, i) => t + slope[i] * at.reduce((u, q, j) => u + mode.cov[p][q] * slope[j], 0), 0), free = 1 - lever;
    if (free < 1e-3) continue; // nothing else tells
    const off = value / Math.sqrt(free), noise = spare > FEW_SPARE ? Math.max(1, Math.sqrt(Math.max(0, mode.eq.cost - off * off) / (spare - 1))) : 1;
    checks.push({id: row.id, what: row.what, known: row.known, others: row.known + value * row.per / free, off: off / noise});
  }
  return checks.sort((a, b) => Math.abs(b.off) - Math.abs(a.off));
}

/** A reference that lies further off than this, in standard deviations, disagrees: one in 10 000 does by chance. */
export const DISAGREES = 4;
/** From here on it is looked into, each reference being left out in turn. */
const DOUBTFUL = 3;
/** Sums of squares that are this near tell nothing of which of two is wrong. */
const ALIKE = 6;
/** A reference that counts for nothing, yet is still compared. */
const LOOSE = 1e4;

const KNOWN = ["diameter", "length", "wide", "place"] as const;
/** The items with one known value of one of them made loose. A rectangle's two go together. */
function loosened(items: Item[], id: string, what: typeof KNOWN[number]): Item[] {
  const loose = <T extends {sigma: number}>(k: T | undefined): T | undefined => k && {...k, sigma: k.sigma * LOOSE};
  return items.map((one) => (one.id !== id ? one : what === "wide" ? {...one, wide: loose(one.wide), high: loose(one.high)} : {...one, [what]: loose(one[what])}));
}

/** As `fit`, without the reference that disagrees with all the others, where there is one. `odd`: that one; two or more where it is
 *  not to be told which is wrong: then all of them still count. */
export function fitNaming(items: Item[], before: Before): {fit: Fit | null; odd: Check[]} {
  const all = fit(items, before);
  if (!all || !all.checks.some((one) => one.what !== "mark" && Math.abs(one.off) > DOUBTFUL)) return {fit: all, odd: []};
  const tries = items.flatMap((item) => KNOWN.filter((what) => item[what] && !(what === "place" && item.place?.datum)).map((what) => ({id: item.id, what, fit: fit(loosened(items, item.id, what), before)})))
    .filter((one): one is typeof one & {fit: Fit} => one.fit !== null).sort((a, b) => a.fit.cost - b.fit.cost);
  if (!tries.length || all.cost - tries[0].fit.cost < (DISAGREES * tries[0].fit.noise) ** 2) return {fit: all, odd: []};
  const odd = tries.filter((one) => one.fit.cost < tries[0].fit.cost + ALIKE).map((one) => {
    const mine = one.fit.checks.filter((c) => c.id === one.id && (c.what === one.what || (one.what === "wide" && c.what === "high"))).sort((a, b) => Math.abs(b.others - b.known) - Math.abs(a.others - a.known));
    const [worst] = mine, place = one.what === "place" ? {known: 0, others: Math.hypot(...mine.map((c) => c.others - c.known))} : {}; // of a place: how far off
    return {...worst, ...place, off: Math.sqrt(Math.max(0, all.cost - one.fit.cost))};
  });
  return {fit: odd.length === 1 ? tries[0].fit : all, odd};
}
