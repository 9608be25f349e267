// Grips on slots and obstacles of the drawing: their ends and corners are dragged, or moved by the arrow keys.
import {announce, put, renew, s} from "./dom";
import {type Drawing} from "./drawing";
import {onStep, snapped, snapStep} from "./snap";
import {distance, endInFile} from "./draw-shapes";
import * as g from "./geometry";
import {arrowOf, keyStep, Nudged, pointIn, slack} from "./hand";
import {store, withChange} from "./store";
import type {Change, Obstacle, Shape, Vec} from "./types";
import {show, tidy} from "./units";

export interface Grip { key: string; name: string; at: Vec; move: (to: Vec, step: number) => Change[] }
export interface Hooks { preview: (changes: Change[]) => void; settle: () => void }

const change = (path: string, value: Change["value"]): Change[] => withChange(store.now.changes, path, value);

function slotGrips(shape: Shape, all: boolean): Grip[] {
  return shape.pulleys.filter((p) => p.slot && (all || p.name === store.selected)).flatMap((p) => {
    const slot = p.slot as NonNullable<typeof p.slot>, path = `${p.name}.slot`;
    const end = (key: "from" | "to"): Grip => ({key: `${path}.${key}`, name: `slot of ${p.name}, end “${key}”`, at: g.slotPoint(slot, key === "from" ? 0 : slot.length_mm),
      move: (to, step) => change(`${path}.${key}`, endInFile(slot, key, slot.curved ? to : snapped(to, step)))});
    return slot.curved ? [end("from"), end("to"), {key: `${path}.centre`, name: `slot of ${p.name}, centre of its curve`, at: slot.centre_mm, move: (to: Vec, step: number) => change(`${path}.centre`, snapped(to, step))},
      {key: `${path}.radius`, name: `slot of ${p.name}, radius of its curve`, at: g.slotPoint(slot, slot.length_mm / 2), move: (to: Vec, step: number) => change(`${path}.radius`, Math.max(step, onStep(distance(slot.centre_mm, to), step)))}] : [end("from"), end("to")];
  });
}

function obstacleGrips(o: Obstacle): Grip[] {
  const path = `obstacles.${o.name}`;
  if (o.moves || o.cuts_mm.length || o.name.includes(".") || o.name === "") return []; // drawn elsewhere than the file has it, or of no path
  if (o.shape === "polygon") return o.corners_mm.map((at, i) => ({key: `${path}.${i}`, name: `${o.name}, corner ${i + 1} of ${o.corners_mm.length}`, at, move: (to, step) => change(`${path}.polygon`, o.corners_mm.map((one, k) => k === i ? snapped(to, step) : [tidy(one[0]), tidy(one[1])]))}));
  if (o.shape === "circle") return [{key: `${path}.rim`, name: `${o.name}, rim`, at: [o.from_mm[0] + o.radius_mm, o.from_mm[1]], move: (to, step) => change(`${path}.circle.diameter`, Math.max(step, onStep(2 * distance(o.from_mm, to), step)))},
    {key: `${path}.at`, name: `${o.name}, middle`, at: o.from_mm, move: (to, step) => change(`${path}.circle.at`, snapped(to, step))}]; // the middle above the rim, where a small one has them close
  const ends = (["from", "to"] as const).map((key): Grip => ({key: `${path}.${key}`, name: `${o.name}, end “${key}”`, at: key === "from" ? o.from_mm : o.to_mm, move: (to, step) => change(`${path}.slot.${key}`, snapped(to, step))}));
  const {edge, off} = sideOf(o);
  return [...ends, {key: `${path}.width`, name: `${o.name}, width`, at: edge, move: (to, step) => change(`${path}.slot.width`, Math.max(step, onStep(2 * off(to), step)))}];
}

/** Middle of the straight edge of an oblong, and how far from its middle line a point is. */
function sideOf(o: {from_mm: Vec; to_mm: Vec; radius_mm: number}): {edge: Vec; off: (at: Vec) => number} {
  const [x, y] = o.from_mm, dx = o.to_mm[0] - x, dy = o.to_mm[1] - y, length = Math.hypot(dx, dy) || 1, n: Vec = [-dy / length, dx / length];
  return {edge: [x + dx / 2 + n[0] * o.radius_mm, y + dy / 2 + n[1] * o.radius_mm], off: (at) => Math.abs((at[0] - x) * n[0] + (at[1] - y) * n[1])};
}

function gripsOf(shape: Shape, all: boolean): Grip[] { return [...slotGrips(shape, all), ...(all ? shape.obstacles.flatMap(obstacleGrips) : [])]; }

export class ShapeGrips {
  readonly layer = s("g", {class: "grips"});
  all = false; // of obstacles too
  private grips: Grip[] = [];
  private elements: SVGGElement[] = [];
  private built = "";
  private hold: {i: number; start: Vec; grab: Vec; moved: boolean; changes: Change[]} | null = null;
  private timer = 0;
  private readonly nudged = new Nudged();

  constructor(private readonly drawing: Drawing, private readonly hooks: Hooks, private readonly of = gripsOf) {}

  draw(shape: Shape): void {
    this.grips = this.of(shape, this.all);
    const keys = this.grips.map((one) => one.key).join("\n");
    if (keys !== this.built) { this.built = keys; this.build(); }
    this.grips.forEach((one, i) => {
      const [x, y] = this.drawing.view.toScreen(one.at);
      put(this.elements[i], "transform", `translate(${x} ${y})`);
      put(this.elements[i], "aria-label", `${one.name}, at ${show("length", one.at[0])}, ${show("length", one.at[1])}`);
    });
  }
  private build(): void {
    this.elements = this.grips.map((one, i) => {
      const element = s("g", {class: "grip", tabindex: 0, role: "button", "data-key": `grip-${one.key}`}, s("circle", {class: "hit", r: 12}), s("rect", {x: -4.5, y: -4.5, width: 9, height: 9}));
      element.addEventListener("pointerdown", (event) => this.down(event, i));
      element.addEventListener("pointermove", (event) => this.move(event));
      element.addEventListener("pointerup", (event) => this.up(event));
      element.addEventListener("pointercancel", () => this.cancel());
      element.addEventListener("keydown", (event) => this.key(event, i));
      return element;
    });
    renew(this.layer, ...this.elements);
  }
  private point(event: PointerEvent): Vec { return pointIn(this.layer.ownerSVGElement as SVGSVGElement, event); }

  private down(event: PointerEvent, i: number): void {
    if (event.button > 0) return;
    event.stopPropagation();
    this.elements[i].setPointerCapture(event.pointerId);
    this.elements[i].focus();
    const point = this.point(event), at = this.drawing.view.toWorld(point), own = this.grips[i].at;
    this.hold = {i, start: point, grab: [at[0] - own[0], at[1] - own[1]], moved: false, changes: store.now.changes};
  }
  private move(event: PointerEvent): void {
    const hold = this.hold;
    if (!hold) return;
    event.stopPropagation();
    const point = this.point(event);
    if (!hold.moved && Math.hypot(point[0] - hold.start[0], point[1] - hold.start[1]) < slack(event)) return;
    hold.moved = true;
    this.drawing.held = true;
    const at = this.drawing.view.toWorld(point);
    hold.changes = this.grips[hold.i].move([at[0] - hold.grab[0], at[1] - hold.grab[1]], snapStep(event.altKey));
    this.hooks.preview(hold.changes);
  }
  private up(event: PointerEvent): void {
    event.stopPropagation();
    const hold = this.hold;
    this.hold = null;
    this.drawing.held = false;
    if (hold?.moved) this.commit(hold.changes, this.grips[hold.i].name);
  }
  private commit(changes: Change[], name: string): void {
    store.commit({changes}, `move ${name}`);
    this.hooks.settle();
  }
  /** @return there was something to cancel */
  cancel(): boolean {
    const moved = this.hold?.moved === true;
    this.hold = null;
    this.drawing.held = false;
    if (moved) this.hooks.settle();
    return moved;
  }
  private key(event: KeyboardEvent, i: number): void {
    const arrow = arrowOf(event);
    if (!arrow) { if (event.key === "Escape" && this.cancel()) event.stopPropagation(); return; }
    event.preventDefault();
    event.stopPropagation();
    const step = keyStep(event), one = this.grips[i], from = this.nudged.from(`${i}`, one.at), next: Vec = [from[0] + arrow[0] * step, from[1] + arrow[1] * step];
    store.commit({changes: one.move(next, Math.min(step, 0.001))}, `move ${one.name}`);
    this.nudged.to(`${i}`, next);
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => this.hooks.settle(), 120);
    announce(one.name);
  }
}
