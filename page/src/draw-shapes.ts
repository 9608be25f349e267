// What can be drawn by hand: its points, one after the other, and what they write into the file.
import type {Edit} from "./edits";
import {circle} from "./geometry";
import {onStep, snapped} from "./snap";
import {lengthInFile, tidy} from "./units";
import type {Shape, SlotShape, Value, Vec} from "./types";

/** point: x, y. polar: distance and direction from the first point. direction: from the first point alone. */
export interface Step { prompt: string; takes: "point" | "polar" | "direction" }
export interface Kind { id: string; title: string; of: "pulley" | "obstacle"; steps: Step[]; open: boolean } // open: more of the last step, until it is done
export const kinds: Kind[] = [
  {id: "slot", title: "Straight slot", of: "pulley", open: false, steps: [{prompt: "Click the end that settings count from, or drag from end to end.", takes: "point"}, {prompt: "Click the other end.", takes: "point"}]},
  {id: "curved", title: "Curved slot", of: "pulley", open: false, steps: [{prompt: "Click the centre of the curve.", takes: "point"}, {prompt: "Click the end that settings count from: it gives the radius.", takes: "polar"}, {prompt: "Click towards the other end.", takes: "direction"}]},
  {id: "arm", title: "Tensioner arm", of: "pulley", open: false, steps: [{prompt: "Click the arm’s pivot, or drag from it to the pulley.", takes: "point"}, {prompt: "Click the pulley’s centre with the arm in its free position.", takes: "polar"}, {prompt: "Click towards the arm’s stop.", takes: "direction"}]},
  {id: "polygon", title: "Obstacle by corners", of: "obstacle", open: true, steps: [{prompt: "Click the corners in order. Click the first again, press Enter or Done to close.", takes: "point"}]},
  {id: "circle", title: "Round obstacle", of: "obstacle", open: false, steps: [{prompt: "Click the middle, or drag from it to the rim.", takes: "point"}, {prompt: "Click a point of the rim.", takes: "polar"}]},
];

const DEG = 180 / Math.PI;
export const distance = (a: Vec, b: Vec): number => Math.hypot(b[0] - a[0], b[1] - a[1]);
/** Direction from a to b in deg, to a tenth. */
export const direction = (a: Vec, b: Vec): number => tidy(Math.round(Math.atan2(b[1] - a[1], b[0] - a[0]) * DEG * 10) / 10, 0.01);
export const toward = (from: Vec, length: number, deg: number): Vec => [from[0] + length * Math.cos(deg / DEG), from[1] + length * Math.sin(deg / DEG)];
/** A direction as many turns round as it was: a slot from 170 to 190 deg does not go the long way. */
export function near(deg: number, was: number): number { return tidy(deg + 360 * Math.round((was - deg) / 360), 0.01); }
/** What an end of a slot is in the file, of where it is: a place, or on a curved one its direction from the centre. */
export function endInFile(slot: SlotShape, end: "from" | "to", at: Vec): Vec | number { return slot.curved ? near(direction(slot.centre_mm, at), end === "from" ? slot.start_deg : slot.start_deg + slot.sweep_deg) : at; }
/** The shorter way round, -180 to 180 deg. */
const turn = (from: number, to: number): number => tidy(((to - from + 540) % 360 + 360) % 360 - 180, 0.01);

/** Where a click counts, in the snap's steps: of a distance its length, of a direction a tenth of a degree. */
export function snap(takes: Step["takes"], points: Vec[], at: Vec, step: number): Vec {
  const first = points[0];
  if (takes === "point" || !first) return snapped(at, step);
  const length = takes === "polar" ? Math.max(step, onStep(distance(first, at), step)) : distance(first, points[1]);
  return toward(first, length, direction(first, at));
}

const pointInFile = (p: Vec): Value => [lengthInFile(tidy(p[0])), lengthInFile(tidy(p[1]))];
/** Fields beside the points, as they were typed: values for the file. */
export interface Said { name: string; z: Value; preload: Value; rate: Value }

/** What stands in the file already at paths below a pulley. */
export type Has = (path: string) => boolean;

function put(has: Has, pulley: string, below: string, key: string, value: Value): Edit {
  const in_ = below ? `${pulley}.${below}` : pulley;
  return has(`${in_}.${key}`) ? {set: `${in_}.${key}`, value} : {insert: in_, before: "", key, value};
}
/** A pulley is fixed, in a slot or on an arm: what it was goes. */
function instead(has: Has, pulley: string, ways: string[]): Edit[] {
  return ways.filter((way) => has(`${pulley}.${way}`)).map((way) => ({remove: `${pulley}.${way}`}));
}

/** The edits that make what was drawn. */
export function editsOf(kind: Kind, points: Vec[], pulley: string, said: Said, shape: Shape, has: Has): Edit[] {
  const [a, b, c] = points, radius = b ? tidy(distance(a, b)) : 0;
  if (kind.id === "slot") return [put(has, pulley, "", "slot", {from: pointInFile(a), to: pointInFile(b)}), ...instead(has, pulley, ["at", "arm"])];
  if (kind.id === "curved") {
    const from = direction(a, b);
    return [put(has, pulley, "", "slot", {centre: pointInFile(a), radius: lengthInFile(radius), from, to: tidy(from + turn(from, direction(a, c)), 0.01)}), ...instead(has, pulley, ["at", "arm"])];
  }
  if (kind.id === "arm") {
    const free = direction(a, b), swing = turn(free, direction(a, c)), keys: [string, Value][] = [["pivot", pointInFile(a)], ["length", lengthInFile(radius)], ["free", free], ["loads", swing > 0 ? "ccw" : "cw"], ["travel", tidy(Math.abs(swing), 0.01)]];
    if (has(`${pulley}.arm`)) return keys.map(([key, value]) => put(has, pulley, "arm", key, value));
    return [put(has, pulley, "", "arm", Object.fromEntries([...keys, ["preload", said.preload], ["rate", said.rate]])), ...instead(has, pulley, ["at", "slot", "fixed_tension", "retension", "clamp"])];
  }
  const outline: {[key: string]: Value} = kind.id === "circle" ? {circle: {at: pointInFile(a), diameter: lengthInFile(tidy(2 * radius))}} : {polygon: points.map(pointInFile)};
  const item: Value = {name: said.name, ...outline, z: said.z};
  return [shape.obstacles.length || has("obstacles") ? {insert: "obstacles", before: "", value: item} : {insert: [], before: "", key: "obstacles", value: [item]}];
}

/** Outline of what is drawn so far, in mm; the last point may be where the hand is. */
export function outlineOf(kind: Kind, points: Vec[]): string {
  const line = (list: Vec[]): string => list.length ? `M${list.map((p) => p.join(" ")).join("L")}` : "", [a, b, c] = points;
  if (kind.id === "circle" && b) return circle(a, distance(a, b));
  if ((kind.id === "curved" || kind.id === "arm") && c) {
    const r = distance(a, b), from = direction(a, b), swing = turn(from, direction(a, c)), end = toward(a, r, from + swing);
    return `${line([a, b])}A${r} ${r} 0 0 ${swing > 0 ? 1 : 0} ${end[0]} ${end[1]}L${a.join(" ")}`;
  }
  return line(points) + (kind.open && points.length > 2 ? "Z" : "");
}
