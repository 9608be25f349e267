// The drawing: to scale, live under the hand.
import {announce, byId, coarse, em, put, s} from "./dom";
import * as g from "./geometry";
import {arrowOf, Early, keyStep, Nudged, slack, wheelZoom} from "./hand";
import {Labels, type Box, type Label, type Taken} from "./labels";
import {Marks} from "./marks";
import {onStep, snapped, snapStep} from "./snap";
import {store, withChange} from "./store";
import type {Change, Check, Level, Near, Obstacle, Shape, ShapePulley, Vec} from "./types";
import {show, showUnit, tidy} from "./units";
import {BAND, Scales, View} from "./view";

/** `off`: the belt fits nowhere in the tensioner's travel. */
export interface Picture { shape: Shape; at: Vec[]; path: g.Path | null; off: boolean }

/** A picture of what the program said: the arm in its place, or on the stop that the belt drives it to. */
export function pictureOf(shape: Shape): Picture { return {shape, at: g.centres(shape), path: g.pathOf(shape), off: shape.end !== null}; }

export const glyph: Record<Level, string> = {fail: "✕", marginal: "◐", note: "·", pass: "●"};

type Target = {pulley: number; what: "centre" | "pivot" | "slot"};
interface Hooks {
  preview(changes: Change[]): void; // while a hand moves something
  settle(): void;                   // the hand let go
  picking(): boolean;               // the photo asks for points
  pick(point: Vec): boolean;        // a click while the photo asks for points; true: taken
  aim(point: Vec): void;            // where the cross or the pointer is meanwhile
  drawn(picture: Picture): void;    // the view or the picture is another: what lies over it follows
}

export class Drawing {
  readonly view = new View();
  private readonly svg = byId<SVGSVGElement>("drawing");
  private readonly world = byId<SVGGElement>("world");
  private readonly screen = byId<SVGGElement>("screen");
  private readonly scales = new Scales(byId<SVGGElement>("scales"));
  private picture: Picture | null = null;
  private before: Picture | null = null;
  private check: Check | null = null;
  private levels = new Map<string, Level>();
  private built = "";
  private parts: {rim: SVGCircleElement; inner: SVGCircleElement; hub: SVGPathElement; wrap: SVGPathElement; handle: SVGGElement; hit: SVGCircleElement; load: SVGPathElement}[] = [];
  private arms = new Map<number, {arm: SVGPathElement; travel: SVGPathElement; work: SVGPathElement; pivot: SVGGElement}>();
  private slots = new Map<number, {track: SVGPathElement; ticks: SVGPathElement}>();
  private belt = s("path", {class: "belt"});
  private pitch = s("path", {class: "pitch"});
  private obstacles = s("g", {class: "obstacles"});
  private gaps = s("g", {class: "gaps"});
  private obstaclesOf = "";
  private ghost = s("path", {class: "ghost"});
  private sense = s("path", {class: "sense"});
  readonly backdrop = s("g", {class: "backdrop"});
  readonly marks = new Marks();
  private readonly labels = new Labels();
  private readonly above = [...document.querySelectorAll("#caution, #bench .corner, #legend")];
  private covers: Box[] = []; // of these, px
  private tips = new Map<string, Vec>(); // of the load arrows, px
  readonly overlay = s("g", {class: "photo-marks"});
  readonly hardware = s("g", {class: "fasteners"});
  readonly ruler = s("g", {class: "ruler-line"});
  readonly motion = s("g", {class: "motion"}); // the drive in motion lies over it all
  readonly over = s("g", {class: "shapes"}); // what is drawn by hand, and its handles; on the screen
  held = false; // a hand moves one of them
  private drag: {target: Target; start: Vec; grab: Vec; base: Picture; moved: boolean; changes: Change[]} | null = null;
  private tapped: {name: string; start: Vec} | null = null;
  private cross: Vec | null = null; // px
  private readonly crossPath = s("path", {class: "cross"});
  private pointers = new Map<number, Vec>();
  private aiming = false; // a finger looks for the place of a mark
  private pinch: {distance: number; middle: Vec} | null = null;
  private box: DOMRect | null = null; // read once per gesture: asking for it forces a layout
  private stamp = 0; // of the last move of a hand
  private measured = 0;
  private readonly early = new Early();
  private frame = 0;
  private nudgeTimer = 0;
  private readonly nudged = new Nudged();
  showLoads = true;

  constructor(private readonly hooks: Hooks) {
    const sizes = new ResizeObserver(() => this.resized());
    for (const one of [this.svg, ...this.above]) sizes.observe(one);
    this.svg.addEventListener("wheel", (event) => {
      event.preventDefault();
      this.box = null;
      this.zoom(wheelZoom(event), this.point(event));
    }, {passive: false});
    this.svg.addEventListener("pointerdown", (event) => this.down(event));
    this.svg.addEventListener("pointermove", (event) => { this.early.framed(); this.move(event); });
    this.svg.addEventListener("pointerrawupdate", (event) => { if (this.drag && this.early.takes()) this.move(event as PointerEvent); });
    this.svg.addEventListener("pointerup", (event) => this.up(event));
    this.svg.addEventListener("pointercancel", (event) => this.up(event));
    this.svg.addEventListener("keydown", (event) => this.key(event));
  }

  zoom(factor: number, at: Vec = this.middle()): void { this.view.zoom(factor, at); this.refresh(); }
  private middle(): Vec { return [this.view.width / 2, this.view.height / 2]; }
  private point(event: MouseEvent): Vec {
    if (!this.box) this.box = this.svg.getBoundingClientRect();
    return [event.clientX - this.box.left, event.clientY - this.box.top];
  }
  private resized(): void {
    const box = this.svg.getBoundingClientRect();
    if (box.width < 2 || box.height < 2) return;
    const first = this.view.width === 100;
    this.labels.measure(this.view.em = em());
    this.covers = this.above.map((one) => one.getBoundingClientRect())
      .filter((one) => one.width > 0).map((one): Box => [one.left - box.left, one.top - box.top, one.right - box.left, one.bottom - box.top]);
    this.view.tx += (box.width - this.view.width) / 2;
    this.view.ty += (box.height - this.view.height) / 2;
    this.view.width = box.width;
    this.view.height = box.height;
    this.svg.setAttribute("viewBox", `0 0 ${box.width} ${box.height}`); // one to one here; on paper the whole is scaled
    if (first || (this.view.fitted && !this.drag)) this.fit(); // never under a hand
    this.refresh();
  }
  fit(): void {
    if (!this.picture) return;
    const low: Vec = [Infinity, Infinity], high: Vec = [-Infinity, -Infinity];
    this.picture.shape.pulleys.forEach((p, i) => {
      const at = this.picture?.at[i] as Vec, r = p.rim_radius_mm + 12;
      for (const axis of [0, 1]) {
        low[axis] = Math.min(low[axis], at[axis] - r);
        high[axis] = Math.max(high[axis], at[axis] + r);
      }
    });
    // Rows of buttons on a phone. The panel of distances leaves a low drawing, of which both rows would take most: there the lower one may lie over it.
    const {width} = this.view, phone = width < 500, share = phone && !document.body.classList.contains("measuring") ? 2 : 3;
    const top = Math.max(0, ...this.covers.filter(([left, , right, bottom]) => right - left > width / (phone ? 3 : 2) && bottom < this.view.height / share).map((box) => box[3]));
    this.view.fit(low, high, width < 500 ? 30 : 40, top);
  }

  /** Draw, with numbers and findings beside the parts. */
  annotate(check: Check | null, levels: Map<string, Level>): void {
    this.check = check;
    this.levels = levels;
    this.refresh();
    if (!this.drag) return;
    if (++this.measured % 2000 === 0) performance.clearMeasures("snub-drag");
    performance.measure("snub-drag", {start: this.stamp, end: performance.now()});
  }
  /** All of the page is of the last move: a frame that has yet to begin finds its styles and places ready, and has only to paint. */
  layOut(): void { if (this.drag && this.early.ahead) this.svg.getBoundingClientRect(); }
  setBefore(before: Picture | null): void { this.before = before; this.refresh(); }
  current(): Picture | null { return this.picture; }
  get dragging(): boolean { return this.drag !== null || this.held; }

  /** Drawn by `annotate`, which brings what is said of it. */
  set(picture: Picture): void {
    const first = !this.picture;
    this.picture = picture;
    this.build();
    if (first) this.fit();
  }
  private build(): void {
    const shape = (this.picture as Picture).shape;
    const signature = JSON.stringify(shape.pulleys.map((p) => [p.name, p.side, p.sits, p.blower]));
    if (signature === this.built) return;
    this.built = signature;
    this.parts = [];
    this.arms.clear();
    this.slots.clear();
    this.tips.clear();
    this.labels.forget();
    this.world.replaceChildren(this.backdrop);
    this.screen.replaceChildren();
    const bodies: SVGElement[] = [], slots: SVGElement[] = [], over: SVGElement[] = [];
    shape.pulleys.forEach((p, i) => {
      if (p.slot) {
        const slot = {track: s("path", {class: "slot"}), ticks: s("path", {class: "slot-ticks"})};
        this.slots.set(i, slot);
        slots.push(slot.track, slot.ticks);
      }
      const part = {
        rim: s("circle", {class: `rim ${p.side}${p.blower ? " blower" : ""}`}), inner: s("circle", {class: `inner ${p.side}`}),
        hub: s("path", {class: "hub"}), wrap: s("path", {class: "wrap"}), load: s("path", {class: "load"}),
        hit: s("circle", {class: "hit"}),
        handle: s("g", {class: "handle", tabindex: 0, role: "button", "data-key": `part-${p.name}`, "data-pulley": i, "data-what": p.sits === "slot" ? "slot" : "centre"}),
      };
      part.handle.append(part.hit);
      this.parts.push(part);
      bodies.push(part.rim, part.inner, part.hub);
      over.push(part.wrap, part.load);
      if (p.arm) {
        const arm = {
          arm: s("path", {class: "arm"}), travel: s("path", {class: "travel"}), work: s("path", {class: "work"}),
          pivot: s("g", {class: "handle pivot", tabindex: 0, role: "button", "data-key": `pivot-${p.name}`, "data-pulley": i, "data-what": "pivot"}, s("circle", {class: "hit"}), s("path", {d: "M0 -6L6 0L0 6L-6 0Z"})),
        };
        this.arms.set(i, arm);
        bodies.push(arm.travel, arm.work);
        over.push(arm.arm);
      }
    });
    this.world.append(this.obstacles, this.hardware, ...bodies, ...slots, this.ghost, this.belt, this.pitch, this.sense, ...over, this.gaps, this.marks.world, this.overlay, this.ruler, this.motion);
    // Labels must not catch the pointer; pivots lie above pulleys.
    this.screen.append(...this.parts.map((p) => p.handle), ...[...this.arms.values()].map((a) => a.pivot), this.labels.node, this.over);
  }

  /** Draw the picture as it is, now. Behind the side view nothing is: it is drawn when it comes back. */
  refresh(): void {
    const picture = this.picture;
    if (!picture || document.body.dataset.view === "side") return;
    const {view} = this, {shape, at, path} = picture;
    put(this.world, "transform", view.matrix);
    const radii = g.signedRadii(shape), shift = shape.belt.back_mm - shape.belt.thickness_mm / 2;
    put(this.belt, "d", path ? g.beltOutline(path, at, radii, shift, shape.turn) : "");
    put(this.belt, "stroke-width", shape.belt.thickness_mm);
    put(this.belt, "class", `belt${picture.off ? " off" : ""}`);
    put(this.pitch, "d", path ? g.beltOutline(path, at, radii, 0, shape.turn) : "");
    const old = store.showBefore ? this.before : null;
    put(this.ghost, "d", old?.path ? g.beltOutline(old.path, old.at, g.signedRadii(old.shape), 0, old.shape.turn) + old.at.map((c, i) => g.circle(c, old.shape.pulleys[i].rim_radius_mm)).join("") : "");
    put(this.sense, "d", path ? this.senseMarks(path) : "");
    this.drawObstacles(shape);
    shape.pulleys.forEach((p, i) => this.drawPulley(p, i, at[i], path));
    const spoken = this.marks.draw(picture, view);
    this.labels.draw([...shape.pulleys.map((p, i) => this.nameOf(p, at[i])), ...spoken], this.taken(picture), this.drag !== null);
    const chosen = shape.pulleys.findIndex((p) => p.name === store.selected);
    this.scales.draw(view, chosen >= 0 ? at[chosen] : null);
    this.hooks.drawn(picture);
  }

  private drawObstacles(shape: Shape): void {
    const key = JSON.stringify([shape.obstacles, shape.near]);
    if (key === this.obstaclesOf) return;
    this.obstaclesOf = key;
    const outlines = shape.obstacles.map((o) => {
      const near = shape.near.filter((n) => n.obstacle === o.name); // the worst first
      const words = near.length ? `${o.name}: ${showUnit("length", near[0].gap_mm)}, ${showUnit("length", near[0].needed_mm)} needed` : o.name;
      return s("path", {d: obstacleOutline(o) + o.cuts_mm.map(([a, b]) => `M${a.join(" ")}L${b.join(" ")}`).join(""), class: near.some((n) => n.level === "fail") ? "fail" : near.length ? "marginal" : ""},
        s("title", {}, words));
    });
    const gaps = shape.near.map((n) => s("path", {d: gapMark(n), class: n.level},
      s("title", {}, `${n.obstacle}: ${showUnit("length", n.gap_mm)}, ${showUnit("length", n.needed_mm)} needed`)));
    this.obstacles.replaceChildren(...outlines);
    this.gaps.replaceChildren(...gaps);
  }

  private senseMarks(path: g.Path): string {
    const size = SENSE / this.view.k;
    return path.u.map((u, i) => {
      if (!this.hasSense(path, i)) return "";
      const [x, y] = middleOf(path, i);
      return `M${x + u[0] * size} ${y + u[1] * size}L${x - size * (u[0] - 0.7 * u[1])} ${y - size * (u[1] + 0.7 * u[0])}L${x - size * (u[0] + 0.7 * u[1])} ${y - size * (u[1] - 0.7 * u[0])}Z`;
    }).join("");
  }

  private hasSense(path: g.Path, i: number): boolean { return path.span[i] * this.view.k >= 34; }

  /** What the words must keep off. */
  private taken({shape, at, path}: Picture): Taken {
    const {view} = this, around = ([x, y]: Vec, r: number): Box => [x - r, y - r, x + r, y + r], band = BAND * view.em;
    const taken: Taken = {view: [band, 0, view.width, view.height - band], boxes: [...this.covers], strokes: [], lines: [], discs: shape.pulleys.map((p, i) => ({at: view.toScreen(at[i]), r: p.rim_radius_mm * view.k}))};
    shape.pulleys.forEach((p, i) => {
      const tip = this.tips.get(p.name);
      if (tip) { taken.boxes.push(around(tip, 6)); taken.strokes.push([view.toScreen(at[i]), tip]); }
      if (p.arm) { const pivot = view.toScreen(p.arm.pivot_mm); taken.boxes.push(around(pivot, 8)); taken.lines.push([pivot, view.toScreen(at[i])]); }
      if (p.slot) taken.lines.push([view.toScreen(p.slot.from_mm), view.toScreen(p.slot.to_mm)]);
      if (!path) return;
      taken.lines.push([view.toScreen(path.leave[i]), view.toScreen(path.enter[(i + 1) % at.length])]);
      if (this.hasSense(path, i)) taken.boxes.push(around(view.toScreen(middleOf(path, i)), SENSE + 1));
    });
    for (const mount of shape.mounts) for (const bolt of mount.bolts) taken.boxes.push(around(view.toScreen(bolt.at_mm), bolt.head_mm * g.BOLT_CROSS * view.k));
    return taken;
  }
  private nameOf(p: ShapePulley, at: Vec): Label {
    const chosen = p.name === store.selected, level = this.levels.get(p.name), state = this.check?.pulleys.find((c) => c.name === p.name);
    const hot = level === "fail" || level === "marginal", values = [this.marks.ruleOf(p.name), state ? showUnit("angle", state.wrap_deg, 1) : ""].filter(Boolean).map((text) => ({text, class: "value"}));
    const lines = [{text: `${hot ? `${glyph[level]} ` : ""}${p.name}`, class: `name ${level ?? ""}${chosen ? " chosen" : ""}`}];
    return {key: p.name, at: this.view.toScreen(at), r: p.rim_radius_mm * this.view.k, inside: true, rank: chosen ? 9 : level === "fail" ? 7 : level === "marginal" ? 6 : p.blower ? 4 : p.role === "crank" ? 3 : 2, lines: [...lines, ...values]};
  }

  private drawPulley(p: ShapePulley, i: number, at: Vec, path: g.Path | null): void {
    const part = this.parts[i], {view} = this, chosen = p.name === store.selected, [x, y] = view.toScreen(at);
    const rib = p.side === "rib", surface = rib ? Math.abs(p.pitch_radius_mm) - (this.picture as Picture).shape.belt.be_mm : p.diameter_mm / 2;
    for (const [circle, r] of [[part.rim, Math.max(p.rim_radius_mm, surface)], [part.inner, rib ? surface - 3 : surface * 0.62]] as const) {
      put(circle, "cx", at[0]); put(circle, "cy", at[1]); put(circle, "r", Math.max(0.5, r));
    }
    const tick = Math.min(10, surface * 0.35);
    put(part.hub, "d", `M${at[0] - tick} ${at[1]}h${2 * tick}M${at[0]} ${at[1] - tick}v${2 * tick}`);
    put(part.rim, "data-chosen", String(chosen));
    if (path) {
      const r = Math.abs(p.pitch_radius_mm), a = path.enter[i], b = path.leave[i];
      put(part.wrap, "d", `M${a[0]} ${a[1]}A${r} ${r} 0 ${path.wrap[i] > Math.PI ? 1 : 0} ${p.pitch_radius_mm > 0 ? 0 : 1} ${b[0]} ${b[1]}`);
    } else put(part.wrap, "d", "");
    put(part.wrap, "class", chosen ? "wrap chosen" : "wrap");
    const state = this.check?.pulleys.find((c) => c.name === p.name), level = this.levels.get(p.name);
    if (this.showLoads && state && state.hub_load_N > 0) {
      const angle = state.hub_load_deg * Math.PI / 180, length = Math.min(view.width * 0.13, 120, 14 + state.hub_load_N * 0.035) / view.k;
      const tip: Vec = [at[0] + Math.cos(angle) * length, at[1] + Math.sin(angle) * length], barb = 6 / view.k;
      const wing = (turn: number): string => `M${tip[0]} ${tip[1]}L${tip[0] - barb * Math.cos(angle + turn)} ${tip[1] - barb * Math.sin(angle + turn)}`;
      put(part.load, "d", `M${at[0]} ${at[1]}L${tip[0]} ${tip[1]}${wing(0.4)}${wing(-0.4)}`);
      this.tips.set(p.name, view.toScreen(tip));
    } else { put(part.load, "d", ""); this.tips.delete(p.name); }
    put(part.hit, "cx", x); put(part.hit, "cy", y); put(part.hit, "r", Math.max(reach(), p.rim_radius_mm * view.k));
    put(part.handle, "aria-pressed", String(chosen));
    put(part.handle, "aria-label", `${p.name}, ${p.role !== p.name ? p.role + ", " : ""}belt side ${p.side === "rib" ? "ribs" : "back"}, ${p.sits === "arm" ? "on the arm" : p.sits === "slot" ? `slot setting ${show("length", p.slot?.setting_mm)}` : `at ${show("length", at[0])}, ${show("length", at[1])}`}${level && level !== "pass" ? `, ${level}` : ""}${this.marks.ruleOf(p.name) ? `: ${this.marks.ruleOf(p.name)}` : ""}`);
    if (p.arm) this.drawArm(p, i, at);
    if (p.slot) this.drawSlot(p, i);
  }

  private drawArm(p: ShapePulley, i: number, at: Vec): void {
    const parts = this.arms.get(i), arm = p.arm;
    if (!parts || !arm) return;
    const arc = (from: number, to: number, r: number): string => {
      const scaled = {...arm, length_mm: r}, a = g.armPoint(scaled, from), b = g.armPoint(scaled, to), sweep = Math.abs(to - from) > 180 ? 1 : 0;
      return `M${a[0]} ${a[1]}A${r} ${r} 0 ${sweep} ${arm.winds > 0 ? 1 : 0} ${b[0]} ${b[1]}`;
    };
    let ticks = "";
    for (let wind = 0; wind <= arm.travel_deg + 1e-9; wind += 5) {
      const inner = g.armPoint({...arm, length_mm: arm.length_mm - (wind % 10 === 0 ? 5 : 3)}, wind), outer = g.armPoint(arm, wind);
      ticks += `M${inner[0]} ${inner[1]}L${outer[0]} ${outer[1]}`;
    }
    for (const end of [0, arm.travel_deg]) {
      const inner = g.armPoint({...arm, length_mm: arm.length_mm - 9}, end), outer = g.armPoint({...arm, length_mm: arm.length_mm + 5}, end);
      ticks += `M${inner[0]} ${inner[1]}L${outer[0]} ${outer[1]}`;
    }
    put(parts.travel, "d", arc(0, arm.travel_deg, arm.length_mm) + ticks);
    put(parts.work, "d", arc(arm.work_deg[0], arm.work_deg[1], arm.length_mm));
    put(parts.arm, "d", `M${arm.pivot_mm[0]} ${arm.pivot_mm[1]}L${at[0]} ${at[1]}`);
    const [x, y] = this.view.toScreen(arm.pivot_mm);
    put(parts.pivot, "transform", `translate(${x} ${y})`);
    put(parts.pivot.firstElementChild as Element, "r", reach());
    put(parts.pivot, "aria-label", `arm pivot of ${p.name}, at ${show("length", arm.pivot_mm[0])}, ${show("length", arm.pivot_mm[1])}`);
  }

  private drawSlot(p: ShapePulley, i: number): void {
    const parts = this.slots.get(i), slot = p.slot;
    if (!parts || !slot) return;
    let track = "", ticks = "";
    const steps = slot.curved ? 24 : 1;
    for (let k = 0; k <= steps; k++) track += `${k ? "L" : "M"}${g.slotPoint(slot, slot.length_mm * k / steps).join(" ")}`;
    for (let at = 0; at <= slot.length_mm + 1e-9; at += 5) {
      const a = g.slotPoint(slot, at), b = g.slotPoint(slot, Math.min(slot.length_mm, at + 0.01)), c = g.slotPoint(slot, Math.max(0, at - 0.01));
      const dx = b[0] - c[0], dy = b[1] - c[1], l = Math.hypot(dx, dy) || 1, r = at % 10 === 0 ? 6 : 4;
      ticks += `M${a[0] - dy / l * r} ${a[1] + dx / l * r}L${a[0] + dy / l * r} ${a[1] - dx / l * r}`;
    }
    put(parts.track, "d", track);
    put(parts.ticks, "d", ticks);
  }

  // ---- hands -------------------------------------------------------------------------------------------------------

  private targetOf(event: Event): Target | null {
    const handle = (event.target as Element).closest<SVGGElement>(".handle");
    if (!handle) return null;
    return {pulley: Number(handle.dataset.pulley), what: handle.dataset.what as Target["what"]};
  }
  /** What a pointer takes: where the areas of several handles meet, the nearest. */
  private targetAt([px, py]: Vec, wide: number): Target | null {
    const {shape, at} = this.picture as Picture;
    let best: Target | null = null, least = Infinity;
    const offer = (place: Vec, r: number, target: Target): void => {
      const [x, y] = this.view.toScreen(place), d = Math.hypot(x - px, y - py);
      if (d <= Math.max(wide, r) && d < least) { least = d; best = target; }
    };
    shape.pulleys.forEach((p, i) => {
      offer(at[i], p.rim_radius_mm * this.view.k, {pulley: i, what: p.sits === "slot" ? "slot" : "centre"});
      if (p.arm) offer(p.arm.pivot_mm, 0, {pulley: i, what: "pivot"});
    });
    return best;
  }
  private down(event: PointerEvent): void {
    if (event.button > 0) return;
    this.svg.setPointerCapture(event.pointerId);
    if (!this.pointers.size) this.box = null;
    const point = this.point(event);
    this.pointers.set(event.pointerId, point);
    if (this.pointers.size === 2) {
      this.tapped = null;
      this.cancelDrag();
      this.aiming = false;
      this.pinch = this.pinchNow();
      return;
    }
    // A finger hides what it points at: it aims by the loupe and marks where it lifts.
    if (event.pointerType === "touch" && this.hooks.picking()) { this.aiming = true; this.hooks.aim(this.view.toWorld(point)); return; }
    if (this.hooks.pick(this.view.toWorld(point))) { this.pointers.delete(event.pointerId); return; }
    const picture = this.picture, target = picture && this.targetAt(point, event.pointerType === "touch" ? FINGER : reach());
    if (!target || !picture) return;
    const pulley = picture.shape.pulleys[target.pulley];
    // The crank is the datum: a swipe over it moves the view unless it was selected before.
    if (pulley.role === "crank" && store.selected !== pulley.name) { this.tapped = {name: pulley.name, start: point}; return; }
    store.select(pulley.name);
    const where = target.what === "pivot" ? pulley.arm?.pivot_mm as Vec : picture.at[target.pulley];
    const world = this.view.toWorld(point);
    this.early.begin();
    this.drag = {target, start: point, grab: [world[0] - where[0], world[1] - where[1]], base: picture, moved: false, changes: store.now.changes};
  }
  private pinchNow(): {distance: number; middle: Vec} {
    const [a, b] = [...this.pointers.values()];
    return {distance: Math.hypot(a[0] - b[0], a[1] - b[1]), middle: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]};
  }
  private move(event: PointerEvent): void {
    const last = this.pointers.get(event.pointerId);
    if (!last) return;
    const point = this.point(event);
    this.pointers.set(event.pointerId, point);
    if (this.pinch && this.pointers.size === 2) {
      const next = this.pinchNow();
      this.view.pan(next.middle[0] - this.pinch.middle[0], next.middle[1] - this.pinch.middle[1]);
      this.view.zoom(next.distance / Math.max(1, this.pinch.distance), next.middle);
      this.pinch = next;
      this.soon();
    } else if (this.aiming) {
      this.hooks.aim(this.view.toWorld(point));
    } else if (this.drag) {
      if (!this.drag.moved && Math.hypot(point[0] - this.drag.start[0], point[1] - this.drag.start[1]) < slack(event)) return;
      this.drag.moved = true;
      this.stamp = event.timeStamp;
      const world = this.view.toWorld(point);
      this.moveTo([world[0] - this.drag.grab[0], world[1] - this.drag.grab[1]], event.altKey);
    } else {
      this.view.pan(point[0] - last[0], point[1] - last[1]);
      this.soon();
    }
  }
  private soon(): void {
    if (!this.frame) this.frame = requestAnimationFrame(() => { this.frame = 0; this.refresh(); });
  }
  private up(event: PointerEvent): void {
    const last = this.pointers.get(event.pointerId), tap = this.tapped;
    this.pointers.delete(event.pointerId);
    this.tapped = null;
    if (tap && last && event.type === "pointerup" && Math.hypot(last[0] - tap.start[0], last[1] - tap.start[1]) < 8) store.select(tap.name);
    if (this.pointers.size < 2) this.pinch = null;
    if (this.aiming) { this.aiming = false; if (event.type === "pointerup") this.hooks.pick(this.view.toWorld(this.point(event))); return; }
    const drag = this.drag;
    this.drag = null;
    if (!drag?.moved) return;
    store.commit({changes: drag.changes}, `move ${drag.base.shape.pulleys[drag.target.pulley].name}`);
    this.hooks.settle();
  }
  private cancelDrag(): void {
    if (this.drag?.moved) { this.set(this.drag.base); this.hooks.settle(); }
    this.drag = null;
  }

  /** Apply a new place to the thing under the hand and draw at once. */
  private moveTo(point: Vec, fine: boolean): void {
    const drag = this.drag;
    if (!drag) return;
    const step = snapStep(fine);
    const changes = moved(drag.base.shape, drag.target, point, drag.base.at[drag.target.pulley], step, store.now.changes);
    if (JSON.stringify(changes) === JSON.stringify(drag.changes)) return; // not a step farther
    drag.changes = changes;
    this.hooks.preview(drag.changes); // the answer draws: of the core in this very frame, of the server as soon as it comes
  }

  private key(event: KeyboardEvent): void {
    const arrow = arrowOf(event), target = this.targetOf(event);
    if (this.hooks.picking() && (arrow || event.key === "Enter")) this.crosshair(arrow, event.shiftKey ? 20 : 1);
    else if (event.key === "+" || event.key === "=") this.zoom(1.25);
    else if (event.key === "-") this.zoom(0.8);
    else if (event.key === "0") this.fit();
    else if (event.key === "Escape" && this.drag) this.cancelDrag();
    else if (target && (event.key === "Enter" || event.key === " ")) store.select(this.picture?.shape.pulleys[target.pulley].name ?? null);
    else if (arrow && target && this.picture) this.nudge(target, arrow, keyStep(event), event.repeat);
    else if (arrow) this.view.pan(-arrow[0] * 40, arrow[1] * 40);
    else return;
    event.preventDefault();
    this.refresh();
  }
  /** Marking points of the photo by keys: arrows carry a cross, Enter marks. */
  private crosshair(arrow: Vec | null, step: number): void {
    const at = this.cross ?? this.middle();
    if (!arrow) { this.hooks.pick(this.view.toWorld(at)); announce("Marked"); return; }
    this.cross = [at[0] + arrow[0] * step, at[1] - arrow[1] * step];
    put(this.crossPath, "d", `M${this.cross[0] - 14} ${this.cross[1]}h28M${this.cross[0]} ${this.cross[1] - 14}v28`);
    this.screen.append(this.crossPath);
    this.hooks.aim(this.view.toWorld(this.cross));
  }
  /** The photo has all its points. */
  dropCross(): void { this.cross = null; this.crossPath.remove(); }
  private nudge(target: Target, arrow: Vec, step: number, held: boolean): void {
    const picture = this.picture as Picture, pulley = picture.shape.pulleys[target.pulley];
    store.select(pulley.name);
    const key = target.what + target.pulley, slot = target.what === "slot" ? pulley.slot : null;
    const from = this.nudged.from(key, slot ? [slot.setting_mm ?? 0, 0] : target.what === "pivot" ? pulley.arm?.pivot_mm as Vec : picture.at[target.pulley]);
    const to: Vec = slot ? [Math.min(slot.length_mm, Math.max(0, from[0] + (arrow[0] || arrow[1]) * step)), 0] : [from[0] + arrow[0] * step, from[1] + arrow[1] * step];
    const next = slot ? g.slotPoint(slot, to[0]) : to;
    const changes = moved(picture.shape, target, next, picture.at[target.pulley], Math.min(step, 0.001), store.now.changes);
    store.commit({changes}, `move ${pulley.name}`, held);
    this.nudged.to(key, to);
    clearTimeout(this.nudgeTimer);
    this.nudgeTimer = window.setTimeout(() => this.hooks.settle(), 120);
    announce(`${pulley.name} at ${show("length", next[0])}, ${showUnit("length", next[1])}`);
  }
}

/** Half the width of what a finger meets for certain, px. */
const FINGER = 22;
/** Radius within which a handle is taken, px. */
function reach(): number { return coarse() ? FINGER : 14; }
/** Half the size of a belt's arrow, px. */
const SENSE = 5;
function middleOf(path: g.Path, i: number): Vec { return [0, 1].map((axis) => path.leave[i][axis] + path.u[i][axis] * path.span[i] / 2) as Vec; }

/** The gap at its worst place, with a ring of 5 mm around it. */
function gapMark(n: Near): string {
  const [[x0, y0], [x1, y1]] = [n.from_mm, n.to_mm];
  return `M${x0} ${y0}L${x1} ${y1}${g.circle([(x0 + x1) / 2, (y0 + y1) / 2], 5 + Math.hypot(x1 - x0, y1 - y0) / 2)}`;
}

/** Outline of something that stands in the way; a stadium is two half circles and their tangents. */
function obstacleOutline(o: Obstacle): string {
  const [x, y] = o.from_mm, r = o.radius_mm;
  if (o.shape === "polygon") return o.corners_mm.length ? `M${o.corners_mm.map((c) => c.join(" ")).join("L")}Z` : "";
  if (o.shape === "circle") return g.circle(o.from_mm, r);
  const dx = o.to_mm[0] - x, dy = o.to_mm[1] - y, l = Math.hypot(dx, dy) || 1, nx = -dy / l * r, ny = dx / l * r;
  return `M${x + nx} ${y + ny}A${r} ${r} 0 0 1 ${x - nx} ${y - ny}L${o.to_mm[0] - nx} ${o.to_mm[1] - ny}A${r} ${r} 0 0 1 ${o.to_mm[0] + nx} ${o.to_mm[1] + ny}Z`;
}

/** What a move of a thing to a point changes in the file. */
function moved(shape: Shape, target: Target, point: Vec, at: Vec, step: number, before: Change[]): Change[] {
  const pulley = shape.pulleys[target.pulley];
  if (target.what === "pivot" && pulley.arm) return withChange(before, `${pulley.name}.arm.pivot`, snapped(point, step));
  if (pulley.arm) {
    // The belt says where the arm stands; a hand on its pulley carries the whole tensioner.
    const [x, y] = pulley.arm.pivot_mm;
    return withChange(before, `${pulley.name}.arm.pivot`, snapped([x + point[0] - at[0], y + point[1] - at[1]], step));
  }
  if (pulley.slot?.lock) return before; // the belt's own tension says where a locked slot stands
  if (pulley.slot) return withChange(before, `${pulley.name}.slot.setting`, tidy(Math.min(pulley.slot.length_mm, Math.max(0, onStep(g.slotNearest(pulley.slot, point), step)))));
  return withChange(before, `${pulley.name}.at`, snapped(point, step));
}
