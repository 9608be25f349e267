// The drive in motion, drawn over the drawing: where the belt runs is the program's, for the arm's place; here it is turned and joined.
import {put, redraw, type Sketch} from "./dom";
import {circle, signedRadii} from "./geometry";
import type {Place} from "./motion-types";
import type {BeltPath, Shape, Vec} from "./types";

/** What is to be seen at one moment. Angles in rad, in the belt's sense of travel. */
export interface Pose { wind_deg: number | null; turned: number[]; loose: boolean[]; slips: boolean[]; thrown: number | null; from: number[] | null }

const mix = (a: number, b: number, t: number): number => a + t * (b - a);
const mixed = (a: Vec, b: Vec, t: number): Vec => [mix(a[0], b[0], t), mix(a[1], b[1], t)];

/** Between the places that the program laid, straight lines: a degree apart they are nowhere 0.1 mm off. */
export function placeAt(places: Place[], wind: number): Place | null {
  if (!places.length) return null;
  const next = places.findIndex((one) => one.wind_deg >= wind);
  if (next <= 0) return places[next < 0 ? places.length - 1 : 0];
  const [a, b] = [places[next - 1], places[next]], t = (wind - a.wind_deg) / (b.wind_deg - a.wind_deg);
  const each = (of: (path: BeltPath) => Vec[]): Vec[] => of(a.path).map((one, i) => mixed(one, of(b.path)[i], t));
  return {wind_deg: wind, at_mm: mixed(a.at_mm, b.at_mm, t), path: {...a.path, enter_mm: each((p) => p.enter_mm), leave_mm: each((p) => p.leave_mm), wrap_deg: a.path.wrap_deg.map((one, i) => mix(one, b.path.wrap_deg[i], t))}};
}

/** Moved from the pitch line to the middle of the belt. */
function onBelt(point: Vec, centre: Vec, radius: number, outwards: number): Vec {
  const share = (radius + outwards) / radius;
  return [centre[0] + share * (point[0] - centre[0]), centre[1] + share * (point[1] - centre[1])];
}
const f = (x: number): string => x.toFixed(2);
const to = (p: Vec): string => `${f(p[0])} ${f(p[1])}`;

/** A loose span hangs out to the belt's back side, by a tenth of its length: that it does is the program's, how far is a sign. */
function hanging(a: Vec, b: Vec, turn: number): string {
  const out = 0.2 * turn, middle: Vec = [(a[0] + b[0]) / 2 - out * (b[1] - a[1]), (a[1] + b[1]) / 2 + out * (b[0] - a[0])];
  return `M${to(a)}Q${to(middle)} ${to(b)}`;
}
function spoke(at: Vec, r: number, angle: number): string { return `M${to(at)}L${to([at[0] + r * Math.cos(angle), at[1] + r * Math.sin(angle)])}`; }
function wedge(at: Vec, r: number, from: number, until: number): string {
  const end = (angle: number): Vec => [at[0] + r * Math.cos(angle), at[1] + r * Math.sin(angle)];
  return `M${to(at)}L${to(end(from))}A${f(r)} ${f(r)} 0 ${Math.abs(until - from) > Math.PI ? 1 : 0} ${until > from ? 1 : 0} ${to(end(until))}Z`;
}

export class Stage {
  private shape: Shape | null = null;
  private places: Place[] = [];
  constructor(private readonly layer: SVGGElement) {}

  take(shape: Shape, places: Place[]): void { this.shape = shape; this.places = places; }
  clear(): void { redraw(this.layer, []); delete document.body.dataset.motion; }

  /** @param pose  `from`: where the wedges begin; null: none are drawn */
  draw(pose: Pose): void {
    const {shape} = this;
    if (!shape) return;
    const place = pose.wind_deg === null ? null : placeAt(this.places, pose.wind_deg), path = place?.path ?? shape.path;
    const at = shape.pulleys.map((p): Vec => (p.sits === "arm" && place ? place.at_mm : p.centre_mm));
    put(document.body, "data-motion", "on");
    redraw(this.layer, [...this.pulleys(shape, at, pose), ...(path ? this.belt(shape, path, at, pose) : []), ...this.arm(shape, at)]);
  }
  private pulleys(shape: Shape, at: Vec[], pose: Pose): Sketch[] {
    return shape.pulleys.flatMap((p, i): Sketch[] => {
      const sense = p.pitch_radius_mm > 0 ? -1 : 1, up = Math.PI / 2, angle = up + sense * pose.turned[i], still = pose.from ? up + sense * pose.from[i] : null, r = p.rim_radius_mm * 0.86;
      return [
        {tag: "path", props: {class: `m-rim${pose.slips[i] ? " slips" : ""}`, d: circle(at[i], p.rim_radius_mm)}},
        ...(still === null ? [] : [{tag: "path", props: {class: "m-wedge", d: wedge(at[i], r, still, angle)}}, {tag: "path", props: {class: "m-still", d: spoke(at[i], r, still)}}] as Sketch[]),
        {tag: "path", props: {class: "m-spoke", "data-pulley": i, "data-deg": (sense * pose.turned[i] * 180 / Math.PI).toFixed(2), d: spoke(at[i], r, angle)}},
      ];
    });
  }
  private belt(shape: Shape, path: BeltPath, at: Vec[], pose: Pose): Sketch[] {
    const radii = signedRadii(shape), outwards = (shape.belt.back_mm - shape.belt.thickness_mm / 2) * shape.turn, n = at.length, width = shape.belt.thickness_mm;
    const enter = at.map((c, i) => onBelt(path.enter_mm[i], c, radii[i], outwards)), leave = at.map((c, i) => onBelt(path.leave_mm[i], c, radii[i], outwards));
    let tight = "";
    const loose: Sketch[] = [];
    for (let i = 0; i < n; i++) {
      const r = Math.abs(radii[i] + outwards), next = enter[(i + 1) % n];
      tight += `M${to(enter[i])}A${f(r)} ${f(r)} 0 ${path.wrap_deg[i] > 180 ? 1 : 0} ${radii[i] > 0 ? 0 : 1} ${to(leave[i])}`;
      if (pose.loose[i]) loose.push({tag: "path", props: {class: "m-belt loose", "data-span": i, "stroke-width": width, d: hanging(leave[i], next, shape.turn)}});
      else tight += `L${to(next)}`;
    }
    const [x, y] = pose.thrown === null ? [0, 0] : mixed(leave[pose.thrown], enter[(pose.thrown + 1) % n], 0.5), s = 25;
    return [{tag: "path", props: {class: `m-belt${pose.thrown === null ? "" : " thrown"}`, "stroke-width": width, d: tight}}, ...loose,
      ...(pose.thrown === null ? [] : [{tag: "path", props: {class: "m-off", d: `M${f(x - s)} ${f(y - s)}l${2 * s} ${2 * s}m0 ${-2 * s}l${-2 * s} ${2 * s}`}} as Sketch])];
  }
  private arm(shape: Shape, at: Vec[]): Sketch[] {
    return shape.pulleys.flatMap((p, i): Sketch[] => p.arm ? [{tag: "path", props: {class: "m-still", d: `M${to(p.arm.pivot_mm)}L${to(p.centre_mm)}`}}, {tag: "path", props: {class: "m-arm", d: `M${to(p.arm.pivot_mm)}L${to(at[i])}`}}, {tag: "path", props: {class: "m-pivot", d: circle(p.arm.pivot_mm, 4)}}] : []);
  }
}

/** Steps of a film: with each frame, or two a second where the system asks for less motion. */
export class Film {
  private handle = 0;
  private timer = 0;
  private last = 0;
  constructor(private readonly step: (seconds: number) => boolean) {} // false: at its end
  get calm(): boolean { return matchMedia("(prefers-reduced-motion: reduce)").matches; }
  get on(): boolean { return this.handle !== 0 || this.timer !== 0; }
  play(): void {
    this.stop();
    if (this.calm) { this.timer = window.setInterval(() => { if (!this.step(0.5)) this.stop(); }, 500); return; }
    this.last = performance.now();
    const next = (now: number): void => {
      this.handle = requestAnimationFrame(next);
      const seconds = Math.min(0.1, Math.max(0, (now - this.last) / 1000));
      this.last = now;
      if (!this.step(seconds)) this.stop();
    };
    this.handle = requestAnimationFrame(next);
  }
  stop(): void { cancelAnimationFrame(this.handle); clearInterval(this.timer); this.handle = this.timer = 0; }
}
