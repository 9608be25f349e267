// Regions that a search may move things in: drawn over the drawing, drawn by hand, and changed by their grips.
import {coarse, put, s} from "./dom";
import {distance} from "./draw-shapes";
import type {Drawing} from "./drawing";
import {circle} from "./geometry";
import {ShapeGrips, type Grip, type Hooks} from "./shape-grips";
import {onStep, snapped, snapStep} from "./snap";
import {store, withChange} from "./store";
import {nameOf, placeOf, type Move, type Room} from "./study-section";
import type {Change, Shape, Vec} from "./types";
import {tidy} from "./units";

const CLOSE = 10, CLOSE_FINGER = 22, DRAGGED = 8; // px

function outline(room: Room): string {
  if (room.shape === "circle") return circle(room.at, room.diameter / 2);
  const [a, b] = room.corners, corners = room.shape === "rectangle" ? [a, [b[0], a[1]], b, [a[0], b[1]]] : room.corners;
  return corners.length ? `M${corners.map((one) => one.join(" ")).join("L")}Z` : "";
}
const known = (room: Room): boolean => room.shape === "circle" ? [...room.at, room.diameter].every(Number.isFinite) : room.corners.flat().every(Number.isFinite);

function grips({what, path, room}: Move): Grip[] {
  if (!room || !known(room)) return [];
  const name = nameOf(what), change = (below: string, value: Change["value"]): Change[] => withChange(store.now.changes, `${path}.within.${below}`, value);
  const one = (key: string, label: string, at: Vec, move: Grip["move"]): Grip => ({key: `${path}.${key}`, name: `${name}, ${label}`, at, move});
  if (room.shape === "circle") return [one("rim", "rim of its region", [room.at[0] + room.diameter / 2, room.at[1]], (to, step) => change("circle.diameter", Math.max(step, onStep(2 * distance(room.at, to), step)))),
    one("at", "middle of its region", room.at, (to, step) => change("circle.at", snapped(to, step)))];
  return room.corners.map((at, i) => one(String(i), `corner ${i + 1} of its region`, at, (to, step) => room.shape === "rectangle" ? change(`rectangle.${i ? "to" : "from"}`, snapped(to, step)) : change("polygon", room.corners.map((corner, k) => k === i ? snapped(to, step) : [tidy(corner[0]), tidy(corner[1])]))));
}

/** What a hand is drawing. */
export interface Sketch { what: string; round: boolean; points: Vec[] }

export class Rooms {
  private readonly layer = s("g", {class: "study"});
  private readonly rooms = s("g", {class: "rooms"});
  private readonly sketched = s("path", {class: "room sketch"});
  private readonly dots = s("g", {class: "room-points"});
  private readonly grips: ShapeGrips;
  private moves: Move[] = [];
  private hover: Vec | null = null;
  sketch: Sketch | null = null;

  /** @param hooks  of the grips  @param done  a region is drawn  @param marked  a point is */
  constructor(private readonly drawing: Drawing, hooks: Hooks, private readonly done: (what: string, room: Room) => void, private readonly marked: () => void) {
    this.grips = new ShapeGrips(drawing, hooks, () => this.sketch ? [] : this.moves.flatMap(grips));
    this.layer.append(this.rooms, this.sketched, this.dots, this.grips.layer);
    const svg = document.getElementById("drawing") as HTMLElement;
    svg.addEventListener("pointermove", (event) => { if (this.sketch?.points.length && event.pointerType !== "touch") this.aim(drawing.view.toWorld(this.at(event, svg))); });
    svg.addEventListener("pointerup", (event) => this.lift(this.at(event, svg)));
  }
  private at(event: MouseEvent, svg: Element): Vec { const box = svg.getBoundingClientRect(); return [event.clientX - box.left, event.clientY - box.top]; }

  show(on: boolean): void { if (on) this.drawing.over.prepend(this.layer); else { this.layer.remove(); this.end(); } }
  set(moves: Move[]): void { this.moves = moves; this.refresh(); }
  begin(what: string, round: boolean): void { this.sketch = {what, round, points: []}; this.hover = null; this.refresh(); }
  end(): void { this.sketch = null; this.hover = null; this.drawing.dropCross(); this.refresh(); }
  private refresh(): void { this.drawing.refresh(); }

  /** Called with every picture and view. */
  draw(shape: Shape): void {
    const {view} = this.drawing, {sketch} = this;
    for (const one of [this.rooms, this.sketched]) put(one, "transform", view.matrix);
    const paths = this.moves.filter((one) => one.room && known(one.room)).map((one) => {
      const at = placeOf(shape, one.what);
      return [s("path", {class: "room", d: outline(one.room as Room)}), at && s("path", {class: "room-of", d: circle(at, 5 / view.k)})].filter((part) => part !== null);
    });
    this.rooms.replaceChildren(...paths.flat());
    const points = sketch ? [...sketch.points, ...(this.hover && sketch.points.length ? [this.hover] : [])] : [];
    put(this.sketched, "d", !points.length ? "" : sketch?.round ? points[1] ? circle(points[0], distance(points[0], points[1])) : "" : `M${points.map((one) => one.join(" ")).join("L")}${points.length > 2 ? "Z" : ""}`);
    this.dots.replaceChildren(...points.map((one) => { const [x, y] = view.toScreen(one); return s("circle", {cx: x, cy: y, r: 4}); }));
    this.grips.draw(shape);
  }

  // ---- a hand ----------------------------------------------------------------------------------------------------------

  private snap(p: Vec): Vec {
    const [first] = this.sketch?.points ?? [], step = snapStep();
    if (!this.sketch?.round || !first) return snapped(p, step);
    const radius = Math.max(step, onStep(distance(first, p), step)), far = distance(first, p) || 1;
    return [first[0] + (p[0] - first[0]) / far * radius, first[1] + (p[1] - first[1]) / far * radius];
  }
  aim(p: Vec): void { if (this.sketch) { this.hover = this.snap(p); this.refresh(); } }
  /** A click, a finger that lifts or Enter at the cross. */
  pick(p: Vec): boolean {
    const {sketch} = this;
    if (!sketch) return false;
    const {points} = sketch, [first] = points, next = this.snap(p), reach = (coarse() ? CLOSE_FINGER : CLOSE) / this.drawing.view.k;
    this.hover = null;
    if (!sketch.round && points.length >= 3 && distance(first, p) < reach) { this.finish(); return true; }
    if (!points.some((one) => distance(one, next) < 1e-3)) points.push(next);
    if (sketch.round && points.length === 2) this.finish(); else { this.marked(); this.refresh(); }
    return true;
  }
  /** From the middle to the rim in one drag. */
  private lift(px: Vec): void {
    const {sketch} = this, first = sketch?.points[0];
    if (!sketch?.round || sketch.points.length !== 1 || !first) return;
    const from = this.drawing.view.toScreen(first);
    if (Math.hypot(px[0] - from[0], px[1] - from[1]) >= DRAGGED) this.pick(this.drawing.view.toWorld(px));
  }
  back(): void { this.sketch?.points.pop(); this.hover = null; this.marked(); this.refresh(); }
  get whole(): boolean { return this.sketch !== null && this.sketch.points.length >= (this.sketch.round ? 2 : 3); }
  finish(): void {
    const {sketch} = this;
    if (!sketch || !this.whole) return;
    const [first, second] = sketch.points, room: Room = sketch.round ? {shape: "circle", at: first, diameter: 2 * distance(first, second)} : {shape: "polygon", corners: sketch.points};
    this.end();
    this.done(sketch.what, room);
  }
}
