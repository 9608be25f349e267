// The drive along the crank: away from the engine to the right, heights as in front. Planes and shims move under a hand; what
// stands where, and what follows, is the program's answer.
import "./shared";
import {announce, byId, em, put, s} from "./dom";
import {glyph} from "./drawing";
import {arrowOf, keyStep, pointIn, slack, wheelZoom} from "./hand";
import {levelFor} from "./fasteners";
import {onStep, snapStep} from "./snap";
import {store, withChange} from "./store";
import type {Change, Finding, Obstacle, Shape, ShapePulley, SideBlock, Thing, Vec} from "./types";
import {parse, show, showUnit, tidy} from "./units";
import {BAND, Scales, View} from "./view";

interface Hooks { preview(changes: Change[]): void; settle(): void; take: ((thing: Thing) => void) | null; drawn(view: SideView): void }
/** What a hand moves: a pulley's plane, or the pack at a place for shims. */
interface Target { pulley?: ShapePulley; shim?: SideBlock }
interface Drag { target: Target; x: number; base: number; moved: boolean; changes: Change[] }
const LABELS = 150, PITCH = 29, TIGHT = 25, LINE = 15; // px for type of size 1: width of names; two lines of one, with air and without; one line
const NARROW = 500; // px: there the buttons stand over the middle of the view

const pathOfShim = (b: SideBlock): string => `${b.on_mount ? "mounts." : ""}${b.of}.stack.${b.name}.length`;
const keyOf = (t: Target): string => t.shim ? pathOfShim(t.shim) : `${t.pulley?.name}.plane`;
const nameOf = (t: Target): string => t.shim ? `${t.shim.name} of ${t.shim.of}` : t.pulley?.name ?? "";

/** Every thickness that shims on hand make, mm, rising. */
function packs(sizes: number[], most: number): number[] {
  const made = new Set<number>([0]);
  for (let n = 0; n < most; n++) for (const one of [...made]) for (const size of sizes) made.add(Number((one + size).toFixed(6)));
  return [...made].sort((a, b) => a - b);
}

export class SideView {
  readonly view = new View();
  readonly ruler = s("g", {class: "ruler-line"});
  private readonly svg = byId<SVGSVGElement>("side");
  private readonly world = s("g"); // in mm
  private readonly handles = s("g");
  private readonly screen = s("g", {"aria-hidden": "true"});
  private readonly engraved = s("g", {class: "scales", "aria-hidden": "true"});
  private readonly scales = new Scales(this.engraved);
  private shape: Shape | null = null;
  private findings: Finding[] = [];
  private boxes = new Map<string, SVGGElement>();
  private drag: Drag | null = null;
  private pointers = new Map<number, Vec>();
  private pinch = 0;
  private covers: [number, number][] = []; // right edge and bottom of the rows of buttons, px
  private timer = 0;
  constructor(private readonly hooks: Hooks) {
    this.svg.append(this.world, this.handles, this.screen, this.engraved);
    new ResizeObserver(() => this.resized()).observe(this.svg);
    this.svg.addEventListener("wheel", (event) => { event.preventDefault(); this.zoom(wheelZoom(event), this.at(event)); }, {passive: false});
    this.svg.addEventListener("pointerdown", (event) => this.down(event));
    this.svg.addEventListener("pointermove", (event) => this.move(event));
    for (const name of ["pointerup", "pointercancel"] as const) this.svg.addEventListener(name, (event) => this.up(event));
    this.svg.addEventListener("keydown", (event) => this.key(event));
  }
  get dragging(): boolean { return this.drag !== null; }
  get shown(): boolean { return document.body.dataset.view === "side"; }
  zoom(factor: number, at: Vec = [this.view.width / 2, this.view.height / 2]): void { this.view.zoom(factor, at); this.refresh(); }

  private at(event: MouseEvent): Vec { return pointIn(this.svg, event); }
  private resized(): void {
    const {width, height, left, top} = this.svg.getBoundingClientRect(), first = this.view.width === 100;
    if (width < 2 || height < 2) return;
    this.covers = [...document.querySelectorAll("#bench .corners > .corner")].map((one) => one.getBoundingClientRect()).filter((box) => box.width > 0).map((box) => [box.right - left, box.bottom - top]);
    Object.assign(this.view, {width, height, em: em()});
    put(this.svg, "viewBox", `0 0 ${width} ${height}`);
    if (first || this.view.fitted) this.fit(); else this.refresh();
  }
  /** All of it, with room for names at the right. */
  fit(): void {
    if (!this.shape) return;
    const {pulleys, side, obstacles} = this.shape, low: Vec = [Infinity, Infinity], high: Vec = [-Infinity, -Infinity];
    const take = (z: number, y: number): void => { low[0] = Math.min(low[0], z); low[1] = Math.min(low[1], y); high[0] = Math.max(high[0], z); high[1] = Math.max(high[1], y); };
    for (const p of pulleys) for (const sign of [-1, 1]) take(p.plane_mm + sign * (p.width_mm / 2 + 6), p.centre_mm[1] + sign * p.rim_radius_mm);
    for (const b of side.blocks) for (const i of [0, 1]) take(b.z_mm[i], b.y_mm[i]);
    for (const o of obstacles) if (o.low_mm !== null && o.high_mm !== null) heightOf(o).forEach((y, i) => take((i ? o.high_mm : o.low_mm) as number, y));
    const {width} = this.view, names = Math.min(LABELS * this.view.em, width * 0.38);
    this.view.width = width - names;
    this.view.fit(low, high, width < NARROW ? 30 : 40, width < NARROW ? Math.max(0, ...this.covers.map(([, bottom]) => bottom)) : 0);
    this.view.width = width;
    this.refresh();
  }

  /** `findings` are of the build as judged last. */
  set(shape: Shape, findings: Finding[]): void {
    const first = !this.shape;
    this.shape = shape;
    this.findings = findings;
    if (!this.shown) return;
    if (first || this.view.width === 100) this.resized();
    this.refresh();
  }
  refresh(): void {
    const {shape, view} = this;
    if (!shape || !this.shown) return;
    put(this.world, "transform", view.matrix);
    this.world.replaceChildren(...shape.obstacles.flatMap((o) => this.obstacle(o)), ...this.blocks(false), ...[...shape.pulleys].sort((a, b) => b.rim_radius_mm - a.rim_radius_mm).flatMap((p) => this.pulley(p)), ...this.blocks(true), ...this.spans(), this.ruler);
    this.labels();
    this.grips();
    const chosen = shape.pulleys.find((p) => p.name === store.selected);
    this.scales.draw(view, chosen ? [chosen.plane_mm, chosen.centre_mm[1]] : null);
    this.hooks.drawn(this);
  }
  private rect(z: Vec, y: Vec, style: string, thing: Thing, title: string): SVGElement {
    return s("rect", {x: z[0], y: y[0], width: z[1] - z[0], height: y[1] - y[0], class: style, "data-thing": JSON.stringify(thing)}, s("title", {}, title));
  }
  private obstacle(o: Obstacle): SVGElement[] {
    if (o.low_mm === null || o.high_mm === null) return [];
    const near = this.shape?.near.filter((n) => n.obstacle === o.name) ?? [], level = near.find((n) => n.level === "fail")?.level ?? near[0]?.level ?? "";
    return [this.rect([o.low_mm, o.high_mm], heightOf(o), `obstacle ${level}`, {obstacle: o.name}, o.name)];
  }
  /** Bearings, bolts and what turns lie over the pulleys. */
  private blocks(over: boolean): SVGElement[] {
    return (this.shape?.side.blocks ?? []).filter((b) => /bearing|bolt|washer|flange|disc/.test(b.what) === over).flatMap((b) => {
      const thing: Thing = {[b.on_mount ? "mount" : "pulley"]: b.of, ...(b.what === "flange" || b.name === null ? {} : {part: b.name})}, of = `${b.name ?? b.what} of ${b.of}`;
      const made = [this.rect(b.z_mm, b.y_mm, `block ${b.what} ${levelFor(this.findings, thing) ?? ""}`, thing, of)];
      if (b.what === "bearing") made.push(s("path", {class: "cross-lines", d: `M${b.z_mm[0]} ${b.y_mm[0]}L${b.z_mm[1]} ${b.y_mm[1]}M${b.z_mm[0]} ${b.y_mm[1]}L${b.z_mm[1]} ${b.y_mm[0]}`}));
      const file = b.file_mm ?? 0;
      if (b.what === "shim" && Math.abs(file - b.z_mm[1] + b.z_mm[0]) > 1e-6) made.push(this.rect([b.z_mm[0], b.z_mm[0] + file], b.y_mm, "block in-file", thing, of));
      return made;
    });
  }
  private pulley(p: ShapePulley): SVGElement[] {
    const r = Math.max(p.rim_radius_mm, p.diameter_mm / 2), y = p.centre_mm[1], {belt} = this.shape as Shape, width = p.width_mm || belt.width_mm;
    const lines = p.side === "rib" ? Array.from({length: belt.ribs + 1}, (_, i) => `M${p.plane_mm + belt.width_mm * (i / belt.ribs - 0.5)} ${y - r}v${2 * r}`).join("") : "";
    return [this.rect([p.plane_mm - width / 2, p.plane_mm + width / 2], [y - r, y + r], `rim ${p.side}${p.name === store.selected ? " chosen" : ""} ${levelFor(this.findings, {pulley: p.name}) ?? ""}`, {pulley: p.name}, p.name),
      s("path", {class: "ribs", d: lines}), s("path", {class: "axis", d: `M${p.plane_mm - width / 2 - 4} ${y}h${width + 8}`})];
  }
  private spans(): SVGElement[] {
    const {path, pulleys, belt} = this.shape as Shape, half = belt.width_mm / 2;
    return pulleys.flatMap((p, i) => {
      const to = (i + 1) % pulleys.length, a = path?.leave_mm[i], b = path?.enter_mm[to], q = pulleys[to];
      if (!a || !b) return [];
      return [s("path", {class: "span-strip", d: `M${p.plane_mm - half} ${a[1]}h${2 * half}L${q.plane_mm + half} ${b[1]}h${-2 * half}Z`, "data-thing": JSON.stringify({span: p.name})}, s("title", {}, `span ${p.name} - ${q.name}`)),
        s("path", {class: "span-middle", d: `M${p.plane_mm} ${a[1]}L${q.plane_mm} ${b[1]}`})];
    });
  }
  /** Names in a column at the right, by height, with plane and offset to the next on the belt. */
  private labels(): void {
    const {view} = this, {em} = view, {pulleys, side} = this.shape as Shape, right = Math.max(...pulleys.map((p) => view.toScreen([p.plane_mm + p.width_mm / 2, 0])[0])) + 14;
    const order = pulleys.map((_, i) => i).sort((a, b) => pulleys[b].centre_mm[1] - pulleys[a].centre_mm[1]), made: SVGElement[] = [];
    const foot = view.height - (BAND + LINE) * em, first = Math.max(PITCH * em, ...this.covers.filter(([edge]) => edge > right).map(([, bottom]) => bottom + LINE * em));
    const pitch = Math.min(PITCH * em, (foot - first) / Math.max(1, order.length - 1)), oneLine = pitch < TIGHT * em;
    let last = first - pitch;
    order.forEach((i, k) => {
      const p = pulleys[i], next = pulleys[(i + 1) % pulleys.length], off = next.plane_mm - p.plane_mm, [x, y] = view.toScreen([p.plane_mm + p.width_mm / 2, p.centre_mm[1]]);
      const place = Math.max(last + pitch, Math.min(y, foot - (order.length - 1 - k) * pitch)), level = levelFor(this.findings, {pulley: p.name});
      last = place;
      const value = `${showUnit("length", p.plane_mm, 2)}${Math.abs(off) > 5e-4 ? `, next ${off > 0 ? "+" : ""}${show("length", off, 2)}` : ""}`;
      const name = s("text", {class: `name ${level ?? ""}${p.name === store.selected ? " chosen" : ""}`, x: right, y: place}, `${level ? `${glyph[level]} ` : ""}${p.name}`);
      if (oneLine) name.append(s("tspan", {class: "value", dx: 6 * em}, showUnit("length", p.plane_mm, 2)));
      made.push(s("path", {class: "leader", d: `M${x} ${y}L${right - 3} ${place - 4 * em}`}), name);
      if (!oneLine) made.push(s("text", {class: "value", x: right, y: place + 12 * em}, value));
    });
    for (const b of side.blocks) {
      if (b.what !== "shim") continue;
      const [x, y] = view.toScreen([b.z_mm[0], b.y_mm[0]]), now = b.z_mm[1] - b.z_mm[0], file = b.file_mm ?? now;
      if (now > 0 || file > 0) made.push(s("text", {class: "value", x, y: y + 12 * em, "text-anchor": "end"}, Math.abs(now - file) > 1e-6 ? `${show("length", file, 2)} in the file, judged with ${showUnit("length", now, 2)}` : `shims ${showUnit("length", now, 2)}`));
    }
    this.screen.replaceChildren(...made);
  }
  /** What a hand takes: kept from frame to frame, for the focus. */
  private grips(): void {
    const {view} = this, {pulleys, side} = this.shape as Shape, seen = new Set<string>();
    const targets: Target[] = [...pulleys].sort((a, b) => b.rim_radius_mm - a.rim_radius_mm).map((pulley): Target => ({pulley}));
    for (const t of [...targets, ...side.blocks.filter((b) => b.what === "shim").map((shim): Target => ({shim}))]) {
      const key = keyOf(t), z: Vec = t.shim ? t.shim.z_mm : [(t.pulley as ShapePulley).plane_mm - (t.pulley as ShapePulley).width_mm / 2, (t.pulley as ShapePulley).plane_mm + (t.pulley as ShapePulley).width_mm / 2];
      const y: Vec = t.shim ? t.shim.y_mm : [(t.pulley as ShapePulley).centre_mm[1] - (t.pulley as ShapePulley).rim_radius_mm, (t.pulley as ShapePulley).centre_mm[1] + (t.pulley as ShapePulley).rim_radius_mm];
      let grip = this.boxes.get(key);
      if (!grip) {
        grip = s("g", {class: "handle", tabindex: 0, role: "button", "data-key": key}, s("rect", {class: "hit"}));
        this.boxes.set(key, grip);
        this.handles.append(grip);
      }
      seen.add(key);
      const [x0, y0] = view.toScreen([z[0], y[1]]), [x1, y1] = view.toScreen([z[1], y[0]]), w = Math.max(24, x1 - x0), hgt = Math.max(24, y1 - y0);
      for (const [name, value] of Object.entries({x: (x0 + x1 - w) / 2, y: (y0 + y1 - hgt) / 2, width: w, height: hgt})) put(grip.firstElementChild as Element, name, value);
      put(grip, "aria-label", t.shim ? `${nameOf(t)}, ${showUnit("length", t.shim.file_mm ?? 0)} in the file` : `${nameOf(t)}, plane ${showUnit("length", t.pulley?.plane_mm)}`);
      put(grip, "aria-pressed", String(Boolean(t.pulley && t.pulley.name === store.selected)));
    }
    for (const [key, grip] of this.boxes) if (!seen.has(key)) { grip.remove(); this.boxes.delete(key); }
  }

  // ---- hands ---------------------------------------------------------------------------------------------------------

  private targetOf(event: Event): Target | null {
    const key = (event.target as Element).closest<SVGGElement>(".handle")?.dataset.key, {pulleys, side} = this.shape as Shape;
    const pulley = pulleys.find((p) => `${p.name}.plane` === key), shim = side.blocks.find((b) => b.what === "shim" && (pulley ? !b.on_mount && b.of === pulley.name : pathOfShim(b) === key));
    return shim ? {shim, pulley} : pulley ? {pulley} : null; // where shims set the plane, the pulley goes by them
  }
  /** What the file is to have where a hand brings it by `dz` from `base`. */
  private changed(t: Target, base: number, dz: number, step: number): Change[] {
    const {sizes_mm, most} = (this.shape as Shape).side;
    let value = onStep(base + dz, step);
    if (t.shim && sizes_mm.length) value = packs(sizes_mm, most).reduce((best, one) => Math.abs(one - base - dz) < Math.abs(best - base - dz) ? one : best, 0);
    else if (t.shim) value = Math.max(0, value);
    return withChange(store.now.changes, keyOf(t), tidy(value));
  }
  /** Where it is by the file and the changes: an answer may not have come yet. */
  private baseOf(t: Target): number {
    const change = store.now.changes.find((one) => one.path === keyOf(t)), value = change ? typeof change.value === "number" ? change.value : parse("length", String(change.value)) : NaN;
    return Number.isFinite(value) ? value : this.drawnAt(t);
  }
  private drawnAt(t: Target): number { return t.shim ? t.shim.file_mm ?? 0 : (t.pulley as ShapePulley).plane_mm; }
  private down(event: PointerEvent): void {
    if (event.button > 0 || !this.shape) return;
    const at = this.at(event);
    this.svg.setPointerCapture(event.pointerId);
    this.pointers.set(event.pointerId, at);
    if (this.pointers.size === 2) { this.cancel(); this.pinch = this.spread(); return; }
    const t = this.hooks.take ? null : this.targetOf(event);
    if (!t) return;
    const tapped = (event.target as Element).closest<SVGGElement>(".handle")?.dataset.key;
    const crank = this.shape.pulleys.find((p) => p.role === "crank"), own = tapped === `${crank?.name}.plane`;
    const stays = own && store.selected !== crank?.name; // the datum does not move by a stray swipe
    if (t.pulley) store.select(t.pulley.name);
    if (!stays) this.drag = {target: t, x: at[0], base: this.baseOf(t), moved: false, changes: store.now.changes};
  }
  private spread(): number { const [a, b] = [...this.pointers.values()]; return Math.hypot(a[0] - b[0], a[1] - b[1]); }
  private move(event: PointerEvent): void {
    const last = this.pointers.get(event.pointerId), at = this.at(event);
    if (!last) return;
    this.pointers.set(event.pointerId, at);
    if (this.pinch && this.pointers.size === 2) {
      const next = this.spread(), [a, b] = [...this.pointers.values()];
      this.zoom(next / Math.max(1, this.pinch), [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]);
      this.pinch = next;
    } else if (this.drag) {
      if (!this.drag.moved && Math.abs(at[0] - this.drag.x) < slack(event)) return;
      this.drag.moved = true;
      this.drag.changes = this.changed(this.drag.target, this.drag.base, (at[0] - this.drag.x) / this.view.k, snapStep(event.altKey));
      this.hooks.preview(this.drag.changes);
    } else if (!this.hooks.take) { this.view.pan(at[0] - last[0], at[1] - last[1]); this.refresh(); }
  }
  private up(event: PointerEvent): void {
    const had = this.pointers.delete(event.pointerId), drag = this.drag;
    if (this.pointers.size < 2 && this.pinch) { this.pinch = 0; return; }
    this.drag = null;
    if (event.type === "pointerup" && had && this.hooks.take) this.hooks.take(this.thingAt(event));
    else if (drag?.moved) {
      store.commit({changes: drag.changes}, `move ${nameOf(drag.target)}`);
      this.hooks.settle();
    }
  }
  /** The pointer is captured: what lies under it is asked for. */
  private thingAt(event: PointerEvent): Thing {
    const found = document.elementsFromPoint(event.clientX, event.clientY).find((one): one is SVGElement => one instanceof SVGElement && one.dataset.thing !== undefined);
    return found?.dataset.thing ? JSON.parse(found.dataset.thing) as Thing : {at: this.view.toWorld(this.at(event)).map((one) => tidy(one, 0.01)) as Vec};
  }
  private cancel(): void {
    const moved = this.drag?.moved;
    this.drag = null;
    if (moved) this.hooks.settle();
  }
  private key(event: KeyboardEvent): void {
    const arrow = arrowOf(event), t = this.targetOf(event);
    if (event.key === "+" || event.key === "=") this.zoom(1.25);
    else if (event.key === "-") this.zoom(0.8);
    else if (event.key === "0") this.fit();
    else if (event.key === "Escape" && this.drag) this.cancel();
    else if (t && (event.key === "Enter" || event.key === " ")) {
      if (this.hooks.take) this.hooks.take(t.shim && !t.pulley ? {[t.shim.on_mount ? "mount" : "pulley"]: t.shim.of, part: t.shim.name ?? ""} : {pulley: t.pulley?.name});
      else store.select(t.pulley?.name ?? t.shim?.of ?? null);
    } else if (t && arrow?.[0]) this.nudge(t, arrow[0], keyStep(event));
    else if (arrow) { this.view.pan(-arrow[0] * 40, arrow[1] * 40); this.refresh(); }
    else return;
    event.preventDefault();
  }
  /** By one step; by the next pack of shims that there is. */
  private nudge(t: Target, way: number, step: number): void {
    const {sizes_mm, most} = (this.shape as Shape).side, base = this.baseOf(t), all = t.shim && sizes_mm.length ? packs(sizes_mm, most) : [];
    const next = way > 0 ? all.find((one) => one > base + 1e-6) : all.filter((one) => one < base - 1e-6).at(-1);
    const changes = this.changed(t, base, all.length ? (next ?? base) - base : way * step, all.length ? step : Math.min(step, 0.001));
    store.commit({changes}, `move ${nameOf(t)}`);
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => this.hooks.settle(), 120);
    announce(`${nameOf(t)} ${showUnit("length", changes.at(-1)?.value as number)}`);
  }
}

/** Least and greatest height of an obstacle. */
function heightOf(o: Obstacle): Vec {
  const ys = o.shape === "polygon" ? o.corners_mm.map((c) => c[1]) : [o.from_mm, o.shape === "stadium" ? o.to_mm : o.from_mm].flatMap((c) => [c[1] - o.radius_mm, c[1] + o.radius_mm]);
  return [Math.min(...ys), Math.max(...ys)];
}
