// What the drawing needs beside the places that the program gives: points along an arm's travel and a slot, and outlines. Signs as in
// docs/theory/layout.md: x right, y up, signed radius positive where the pulley turns clockwise.
import type {ArmShape, Shape, SlotShape, Vec} from "./types";

/** u: direction of each span, from its pulley to the next. Lengths in mm, wraps in rad. */
export interface Path { u: Vec[]; span: number[]; wrap: number[]; enter: Vec[]; leave: Vec[] }

const RAD = Math.PI / 180;

/** The belt as the program laid it. */
export function pathOf(shape: Shape): Path | null {
  if (!shape.path) return null;
  const {enter_mm: enter, leave_mm: leave, wrap_deg} = shape.path;
  const runs = leave.map((from, i): Vec => { const to = enter[(i + 1) % enter.length]; return [to[0] - from[0], to[1] - from[1]]; });
  const span = runs.map((run) => Math.hypot(...run));
  return {u: runs.map((run, i): Vec => [run[0] / span[i], run[1] / span[i]]), span, wrap: wrap_deg.map((one) => one * RAD), enter, leave};
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

export function centres(shape: Shape): Vec[] { return shape.pulleys.map((p): Vec => [p.centre_mm[0], p.centre_mm[1]]); }

/** Outline of a circle, in any view. */
export function circle([x, y]: Vec, r: number): string { return `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`; }
/** From a point to the nearest of a piece of line. */
export function fromSegment([x, y]: Vec, [a, b]: [Vec, Vec]): number {
  const dx = b[0] - a[0], dy = b[1] - a[1], square = dx * dx + dy * dy, share = square ? Math.min(1, Math.max(0, ((x - a[0]) * dx + (y - a[1]) * dy) / square)) : 0;
  return Math.hypot(a[0] + share * dx - x, a[1] + share * dy - y);
}

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
/** Half the cross that marks a bolt from in front, of its head. */
export const BOLT_CROSS = 0.65;
