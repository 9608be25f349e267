// The live picture between two answers of the server: tangents and the arm's place for a belt that does not stretch.
// Numbers that the page prints come from the server; this only keeps the drawing under the hand. Signs as in
// docs/theory/layout.md: x right, y up, signed radius positive where the pulley turns clockwise.
import type {ArmShape, Shape, ShapePulley, SlotShape, Vec} from "./types";

export interface Path { u: Vec[]; span: number[]; wrap: number[]; enter: Vec[]; leave: Vec[]; length: number; good: boolean }

const RAD = Math.PI / 180;

/** Lay the belt; null where two circles overlap so far that there is no tangent. */
export function lay(centres: Vec[], radii: number[], turn: number): Path | null {
  const n = centres.length;
  const u: Vec[] = [], span: number[] = [];
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    const dx = centres[j][0] - centres[i][0], dy = centres[j][1] - centres[i][1];
    const offset = radii[i] - radii[j], square = dx * dx + dy * dy - offset * offset;
    if (!(square > 0)) return null;
    const length = Math.sqrt(square), whole = dx * dx + dy * dy;
    // d = L u + h n with n = u turned +90 deg
    u.push([(length * dx + offset * dy) / whole, (length * dy - offset * dx) / whole]);
    span.push(length);
  }
  const wrap: number[] = [], enter: Vec[] = [], leave: Vec[] = [];
  let total = 0, turned = 0;
  for (let i = 0; i < n; i++) {
    const before = u[(i + n - 1) % n], after = u[i], r = radii[i], sense = r > 0 ? 1 : -1;
    const cross = before[0] * after[1] - before[1] * after[0], dot = before[0] * after[0] + before[1] * after[1];
    let angle = -sense * Math.atan2(cross, dot);
    if (angle < 0) angle += 2 * Math.PI;
    wrap.push(angle);
    enter.push([centres[i][0] - r * before[1], centres[i][1] + r * before[0]]);
    leave.push([centres[i][0] - r * after[1], centres[i][1] + r * after[0]]);
    total += span[i] + Math.abs(r) * angle;
    turned += sense * angle;
  }
  return {u, span, wrap, enter, leave, length: total, good: Math.abs(turned * turn - 2 * Math.PI) < 1e-6};
}

export function armPoint(arm: ArmShape, wind_deg: number): Vec {
  const angle = (arm.rest_deg + arm.winds * wind_deg) * RAD;
  return [arm.pivot_mm[0] + arm.length_mm * Math.cos(angle), arm.pivot_mm[1] + arm.length_mm * Math.sin(angle)];
}

export function slotPoint(slot: SlotShape, setting: number): Vec {
  const t = slot.length_mm > 0 ? setting / slot.length_mm : 0;
  if (!slot.curved) return [slot.from_mm[0] + t * (slot.to_mm[0] - slot.from_mm[0]), slot.from_mm[1] + t * (slot.to_mm[1] - slot.from_mm[1])];
  const angle = (slot.start_deg + t * slot.sweep_deg) * RAD;
  return [slot.centre_mm[0] + slot.radius_mm * Math.cos(angle), slot.centre_mm[1] + slot.radius_mm * Math.sin(angle)];
}

/** Place along the slot that is nearest to a point, mm. */
export function slotNearest(slot: SlotShape, point: Vec): number {
  let best = 0;
  if (!slot.curved) {
    const dx = slot.to_mm[0] - slot.from_mm[0], dy = slot.to_mm[1] - slot.from_mm[1], square = dx * dx + dy * dy;
    best = square > 0 ? ((point[0] - slot.from_mm[0]) * dx + (point[1] - slot.from_mm[1]) * dy) / square * slot.length_mm : 0;
  } else {
    let angle = Math.atan2(point[1] - slot.centre_mm[1], point[0] - slot.centre_mm[0]) / RAD - slot.start_deg;
    const middle = slot.sweep_deg / 2;
    while (angle - middle > 180) angle -= 360;
    while (angle - middle < -180) angle += 360;
    best = angle / slot.sweep_deg * slot.length_mm;
  }
  return Math.min(slot.length_mm, Math.max(0, best));
}

export function signedRadii(shape: Shape): number[] { return shape.pulleys.map((p) => p.pitch_radius_mm); }

export function armIndex(shape: Shape): number { return shape.pulleys.findIndex((p) => p.arm); }

function lengthAt(shape: Shape, centres: Vec[], radii: number[], arm: ShapePulley, index: number, wind: number): number {
  centres[index] = armPoint(arm.arm as ArmShape, wind);
  const path = lay(centres, radii, shape.turn);
  return path && path.good ? path.length : NaN;
}

/** Wind at which the path has the wanted length, near the present wind; null where there is none in the travel. */
export function windFor(shape: Shape, centres: Vec[], length: number): number | null {
  const index = armIndex(shape), arm = shape.pulleys[index];
  if (!arm?.arm) return null;
  const radii = signedRadii(shape), trial = centres.map((c): Vec => [c[0], c[1]]);
  const miss = (wind: number): number => lengthAt(shape, trial, radii, arm, index, wind) - length;
  const from = shape.wind_deg ?? 0, travel = arm.arm.travel_deg, STEPS = 48;
  let best: number | null = null;
  for (let i = 0; i < STEPS; i++) {
    let low = travel * i / STEPS, high = travel * (i + 1) / STEPS, atLow = miss(low);
    if (!(atLow * miss(high) <= 0)) continue;
    for (let k = 0; k < 30; k++) {
      const middle = (low + high) / 2, at = miss(middle);
      if (atLow * at <= 0) high = middle; else { low = middle; atLow = at; }
    }
    if (best === null || Math.abs(low - from) < Math.abs(best - from)) best = low;
  }
  return best;
}

/** The end of the arm's travel that a belt of this length drives it to; null where it has a place between. */
export function endFor(shape: Shape, at: Vec[], length: number): number | null {
  const index = armIndex(shape), arm = shape.pulleys[index];
  if (!arm?.arm) return null;
  const radii = signedRadii(shape), trial = at.map((c): Vec => [c[0], c[1]]), travel = arm.arm.travel_deg;
  if (length > lengthAt(shape, trial, radii, arm, index, 0)) return 0;
  return length < lengthAt(shape, trial, radii, arm, index, travel) ? travel : null;
}

export function centres(shape: Shape): Vec[] { return shape.pulleys.map((p): Vec => [p.centre_mm[0], p.centre_mm[1]]); }

/** Outline of the belt moved `outwards` mm from the pitch line towards the back, as an SVG path with y up. */
export function beltOutline(path: Path, at: Vec[], radii: number[], outwards: number, turn: number): string {
  const parts: string[] = [];
  const n = at.length, f = (x: number): string => x.toFixed(3);
  for (let i = 0; i < n; i++) {
    const before = path.u[(i + n - 1) % n], after = path.u[i];
    const r = radii[i] + outwards * turn;
    const a: Vec = [at[i][0] - r * before[1], at[i][1] + r * before[0]];
    const b: Vec = [at[i][0] - r * after[1], at[i][1] + r * after[0]];
    parts.push(`${i ? "L" : "M"}${f(a[0])} ${f(a[1])}`);
    // In y-up coordinates a clockwise arc has sweep flag 0.
    parts.push(`A${f(Math.abs(r))} ${f(Math.abs(r))} 0 ${path.wrap[i] > Math.PI ? 1 : 0} ${r > 0 ? 0 : 1} ${f(b[0])} ${f(b[1])}`);
  }
  return parts.join("") + "Z";
}
