// Measure pulleys, pivots and slots in a photo of the engine's front. Everything stays in the page.
import "./shared";
import {announce, byId, h, renew, s} from "./dom";
import {endInFile} from "./draw-shapes";
import type {Drawing} from "./drawing";
import {ASSUMED, beforeOf, focalOf, WRITTEN_FOCAL, type Assumed} from "./photo-assumed";
import {pixelOf} from "./photo-camera";
import {DISAGREES, fitNaming, WIDE, type Check, type Fit, type Found, type Value} from "./photo-fit";
import {Loupe} from "./photo-loupe";
import {heldAs, leastOf, Marks, mostOf, targetsOf, type Entry, type Held, type Target} from "./photo-marks";
import {Picture} from "./photo-picture";
import {adviceOf, assumedIn, type Told} from "./photo-words";
import {store} from "./store";
import type {Shape, ShapePulley, Value as FileValue, Vec} from "./types";
import {parse, show, showUnit, tidy, unit} from "./units";

/** A photo turned further than this is no slip of the hand, rad. */
const TURNED = Math.PI / 4;
/** How far the direction may be off where two places of the file fix it: that is, anything. rad */
const ANY_ROLL = 1;
/** A centre this many times nearer to another pulley's place, and this far from its own [mm], is likely the other pulley. */
const NEARER = 3, ELSEWHERE = 40;

export class PhotoPanel {
  private readonly picture = new Picture();
  private readonly loupe = new Loupe();
  private marks = new Marks();
  private assumed: Assumed = {...ASSUMED};
  private typedFocal = 0; // 35 mm equivalent
  private result: Fit | null = null;
  private odd: Check[] = [];
  private held: Held | null = null;
  private shape: Shape | null = null;
  private opacity = 0.6;
  private message = "";
  private distance = {size: 100, off: 0.5, z: 0};
  private frame = {wide: 200, high: 100, off: 0.5, z: 0};
  private rightWay = false; // the person says that it is not mirrored
  private turning = false;
  private made = 0; // distances and rectangles so far

  constructor(readonly element: HTMLElement, private readonly drawing: Drawing) {
    drawing.backdrop.append(this.picture.node);
    byId("bench").append(this.loupe.element);
    const svg = byId<SVGSVGElement>("drawing");
    svg.addEventListener("pointermove", (event) => {
      if (!this.asking) return;
      const box = svg.getBoundingClientRect();
      this.aim(drawing.view.toWorld([event.clientX - box.left, event.clientY - box.top]));
    });
    svg.addEventListener("pointerleave", () => this.loupe.hide());
    svg.addEventListener("keydown", (event) => this.key(event));
    this.draw();
  }
  setShape(shape: Shape): void {
    const of = (one: Shape | null): string => JSON.stringify(one?.pulleys.map((p) => [p.name, p.sits, p.role, p.diameter_over])), same = of(shape) === of(this.shape);
    this.shape = shape;
    if (!same && this.picture.image) this.changed(); // else a field that is being typed into would be made anew
  }

  async load(file: File): Promise<void> {
    this.message = await this.picture.load(file);
    if (!this.message) {
      this.marks = new Marks();
      this.made = 0;
      this.rightWay = false;
      const {view} = this.drawing;
      this.picture.fill(view.toWorld([40, 20]), (view.width - 60) / view.k, (view.height - 60) / view.k);
    }
    this.changed();
  }

  // ---- marking ------------------------------------------------------------------------------------------------------

  get asking(): boolean { return this.marks.now !== null && this.picture.image !== null; }
  /** A click in the drawing. True where the photo takes it. */
  pick(world: Vec): boolean {
    const {now} = this.marks;
    if (!now || !this.picture.image) return false;
    const at = this.picture.toPhoto(world), [w, hgt] = this.picture.size;
    if (at[0] < 0 || at[1] < 0 || at[0] > w || at[1] > hgt) { this.message = "That is outside the photo."; this.draw(); return true; }
    this.message = "";
    this.marks.add(at, Math.hypot(this.assumed.edge, 0.5 / this.scaleAt(at))); // half a pixel of the screen as well
    this.aim(world);
    if (this.marks.full) this.next(); else this.changed();
    return true;
  }
  /** The cross or the pointer is here. */
  aim(world: Vec): void {
    const image = this.picture.image;
    if (!this.asking || !image) { this.loupe.hide(); return; }
    const at = this.picture.toPhoto(world), {view} = this.drawing;
    this.loupe.show(image, at, this.scaleAt(at), this.marks.entries.flatMap((one) => one.marks.map((m) => m.at)), view.toScreen(world)[0] < view.width / 2);
  }
  /** Screen pixels that one pixel of the photo takes. */
  private scaleAt(pixel: Vec): number { return this.picture.per(pixel) * this.drawing.view.k; }

  private key(event: KeyboardEvent): void {
    if (!this.asking || event.ctrlKey || event.metaKey || event.altKey) return;
    const does: Record<string, () => void> = {Backspace: () => this.takeBack(), n: () => { if (this.marks.ready) this.next(); }, s: () => this.skip(), Escape: () => this.stop()};
    const act = does[event.key];
    if (!act) return;
    event.preventDefault();
    act();
  }
  private begin(target: Target, known: Partial<Entry> = {}): void {
    this.marks.stop();
    this.marks.clear(target.id); // marked anew; what is known of it stays
    this.marks.begin(target, this.shape, known);
    this.message = "";
    this.changed();
  }
  /** The next of the drive in belt order; after a distance or a rectangle, none. */
  private next(): void {
    const {now} = this.marks, shape = this.shape;
    const following = now?.pulley && shape ? this.marks.after(now, shape) : null;
    this.marks.stop();
    if (following) this.marks.begin(following, shape);
    else if (now?.pulley) this.message = "Everything in belt order is marked or skipped.";
    if (following) announce(`Next: ${following.title}`);
    this.changed();
  }
  private skip(): void { const {now} = this.marks; this.marks.skip(); this.marks.now = now; this.next(); }
  private stop(): void { this.marks.stop(); this.changed(); }
  private takeBack(): void { if (this.marks.undo()) { announce("Point taken back"); this.message = ""; this.changed(); } }

  // ---- measuring -----------------------------------------------------------------------------------------------------

  /** Something was marked or said: measure anew, and show it. */
  private changed(): void {
    const shape = this.shape;
    this.result = null;
    this.odd = [];
    this.held = shape && this.picture.image ? heldAs(this.marks.entries, shape) : null;
    if (this.held && this.rightWay) this.held.mirrored = false;
    const items = shape && !this.wrongWay() ? this.marks.items(shape, this.assumed) : [];
    const placed = items.filter((one) => one.place).length, scaled = placed > 1 || items.some((one) => one.diameter || one.length || one.wide);
    if (placed && scaled) {
      const {size} = this.picture, direct = placed > 1 && this.held ? this.held.turned : 0;
      const {fit, odd} = fitNaming(items, beforeOf(size, this.focal(), {...this.assumed, roll: placed > 1 ? ANY_ROLL : this.assumed.roll}, direct));
      this.result = fit;
      this.odd = odd;
      if (!this.result) this.message = "The marks and the known sizes do not fit together. Check the last one.";
      else if (!this.underWay()) this.picture.lie(this.result.camera, this.middle()); // never under a hand that marks
    }
    this.picture.place(this.opacity);
    this.draw();
  }
  private underWay(): boolean { const {now} = this.marks; return now !== null && (this.marks.entry(now.id)?.marks.length ?? 0) > 0; }
  private wrongWay(): boolean { return this.held !== null && (this.held.mirrored || Math.abs(this.held.turned) > TURNED); }
  private focal(): {value: number; sigma: number} | null {
    const f = this.typedFocal || this.picture.focal35;
    return f ? focalOf(this.picture.size, f, WRITTEN_FOCAL) : null;
  }
  private middle(): Vec {
    const all = this.marks.entries.flatMap((one) => one.marks.map((m) => m.at));
    return [all.reduce((t, p) => t + p[0], 0) / all.length, all.reduce((t, p) => t + p[1], 0) / all.length];
  }
  private async turn(how: "quarter" | "mirror"): Promise<void> {
    if (this.turning) return;
    this.turning = true;
    const by = await this.picture.turn(how), {view} = this.drawing;
    this.turning = false;
    this.marks.move(by);
    this.picture.fill(view.toWorld([40, 20]), (view.width - 60) / view.k, (view.height - 60) / view.k);
    this.message = "";
    this.changed();
  }
  private async setSquare(): Promise<void> {
    await this.picture.setSquare(this.picture.square ? null : this.result?.camera ?? null);
    this.changed();
  }

  // ---- into the drive -----------------------------------------------------------------------------------------------

  private give(entry: Entry, path: string, value: FileValue, what: string): void {
    store.set(`${entry.target.pulley}.${path}`, value, `${what} of ${entry.target.pulley} from the photo`);
    store.select(entry.target.pulley);
    this.message = `${what[0].toUpperCase()}${what.slice(1)} of ${entry.target.pulley} is taken from the photo. Undo takes it back.`;
    this.draw();
  }
  /** What of a measured thing the drive file has a key for. */
  private uses(entry: Entry, found: Found): HTMLElement[] {
    const p = this.pulleyOf(entry), at: Vec = [tidy(found.x.value, 0.01), tidy(found.y.value, 0.01)];
    if (!p) return [];
    const button = (label: string, path: string, value: FileValue, what: string): HTMLElement => h("button", {type: "button", "data-key": `use-${entry.target.id}-${path}`, "aria-label": `${label} of ${entry.target.title}`, onclick: () => this.give(entry, path, value, what)}, label);
    const {part} = entry.target, path = {rim: "at", pivot: "arm.pivot", from: "slot.from", to: "slot.to", distance: "", rectangle: ""}[entry.target.part];
    const what = {rim: "centre", pivot: "arm pivot", from: "slot end “from”", to: "slot end “to”", distance: "", rectangle: ""}[entry.target.part];
    const centre = entry.target.part !== "rim" || p.sits === "fixed" && !entry.placed ? button(`Use the ${what}`, path, p.slot && (part === "from" || part === "to") ? endInFile(p.slot, part, at) : at, what) : null;
    const width = entry.target.part === "rim" && p.diameter_over === "outside" && !entry.sized && found.diameter ? button("Use the diameter", "diameter", tidy(found.diameter.value, 0.01), "diameter") : null;
    return [centre, width].filter((one): one is HTMLElement => one !== null);
  }
  private pulleyOf(entry: Entry): ShapePulley | undefined { return this.shape?.pulleys.find((p) => p.name === entry.target.pulley); }

  // ---- showing ------------------------------------------------------------------------------------------------------

  draw(): void {
    if (!this.asking) { this.drawing.dropCross(); this.loupe.hide(); }
    this.drawMarks();
    const input = h("input", {type: "file", accept: "image/*", "data-key": "file", "aria-label": "Photo of the front of the engine", onchange: (event: Event) => { const file = (event.target as HTMLInputElement).files?.[0]; if (file) void this.load(file); }});
    const parts: (HTMLElement | null)[] = [h("p", {}, "Drop a photo of the front of the engine on the drawing, or choose one: ", input)];
    if (this.picture.image) parts.push(this.askBox(), ...this.warnings(), this.pulleysBox(), this.sizesBox(), this.listBox(), this.groundsBox(), this.photoBox());
    else if (this.message) parts.push(h("p", {class: "ask", role: "status"}, this.message));
    parts.push(h("p", {class: "hint"}, "Stand well back and zoom in. The photo never leaves this page."));
    renew(this.element, ...parts);
  }

  private drawMarks(): void {
    const {view} = this.drawing, cross = (p: Vec): string => { const [x, y] = this.picture.toWorld(p), r = 6 / view.k; return `M${x} ${y}m${-r} 0h${2 * r}m${-r} ${-r}v${2 * r}`; };
    const shapes = this.marks.entries.map((one) => s("path", {d: one.marks.map((m) => cross(m.at)).join("")}));
    // A measured rim as the camera sees it: in its own plane, so that it lies on the photo.
    for (const entry of this.result ? this.marks.entries : []) {
      const found = this.result?.found.get(entry.target.id), camera = this.result?.camera;
      if (!found?.diameter || !camera) continue;
      const r = found.diameter.value / 2, points = Array.from({length: 60}, (_, i) => pixelOf(camera, this.picture.size, [found.x.value + r * Math.cos(i / 30 * Math.PI), found.y.value + r * Math.sin(i / 30 * Math.PI)], entry.z));
      if (points.every((p) => p)) shapes.push(s("path", {class: "rim-seen", d: `M${points.map((p) => this.picture.toWorld(p as Vec).join(" ")).join("L")}Z`}));
    }
    this.drawing.overlay.replaceChildren(...shapes);
  }

  private button(label: string, key: string, act: () => void, more: Record<string, unknown> = {}): HTMLElement { return h("button", {type: "button", "data-key": key, onclick: act, ...more}, label); }
  /** A length to type. */
  private length(label: string, key: string, value: number, set: (v: number) => void, least = 0, digits = 1): HTMLElement {
    return h("label", {class: "entry"}, h("span", {}, label), h("input", {size: 7, inputmode: "decimal", autocomplete: "off", value: show("length", value, digits), "data-key": key, onchange: (event: Event) => {
      const field = event.target as HTMLInputElement, v = parse("length", field.value);
      if (v > least) { set(v); this.message = ""; this.changed(); } else this.refuse(field.value, Number.isFinite(least) ? `a length above ${show("length", least, 0)} is needed, in ${unit("length").name} or with its unit` : `a length is needed, in ${unit("length").name} or with its unit`);
    }}), h("span", {class: "unit"}, unit("length").name));
  }

  private refuse(got: string, need: string): void { this.message = `“${got}” is not accepted: ${need}. The value is as it was.`; announce(this.message); this.draw(); }
  private askBox(): HTMLElement | null {
    const {now} = this.marks, entry = now && this.marks.entry(now.id);
    const undo = this.button("Take back the last point", "undo-point", () => this.takeBack(), {disabled: this.marks.points === 0});
    if (!now || !entry) return h("div", {class: "ask"}, h("p", {role: "status"}, this.message || (this.marks.entries.some((one) => one.placed && one.target.part === "rim") ? "Choose what to mark next." : "Mark the crank’s rim first: places are measured from its centre.")), undo);
    const n = entry.marks.length, least = leastOf(now.part), most = mostOf(now.part);
    const how = {rim: `Mark points on its rim, well apart: ${least} at least, ${most} are better (${n}).`, pivot: "Mark the centre of the arm’s pivot.", from: "Mark the centre of the slot’s end from which its setting is measured.", to: "Mark the centre of the slot’s other end.", distance: `Mark its two ends (${n} of 2).`, rectangle: `Mark its corners, the upper left first, then clockwise (${n} of 4).`}[now.part];
    return h("div", {class: "ask"}, h("p", {role: "status"}, h("b", {}, now.title), ". ", how, this.message ? ` ${this.message}` : ""),
      now.pulley && n >= least ? this.button("Next", "next", () => this.next(), {class: "main"}) : null,
      now.pulley ? this.button("Skip", "skip", () => this.skip()) : null, undo, this.button("Stop marking", "stop", () => this.stop()),
      h("p", {class: "hint"}, "With the keyboard: put the focus on the drawing; arrows move the cross, Enter marks, Backspace takes back, n goes on, s skips, Esc stops."));
  }

  private warnings(): HTMLElement[] {
    const list: (string | HTMLElement)[][] = [], {held, result, shape} = this;
    if (held?.mirrored) list.push(["The photo is mirrored: its pulleys lie the other way round than in the file. ", this.button("Mirror the photo", "mirror-now", () => void this.turn("mirror")), " ", this.button("It is not mirrored", "not-mirrored", () => { this.rightWay = true; this.changed(); })]);
    else if (held && Math.abs(held.turned) > TURNED) list.push([`The photo is turned by about ${Math.round(Math.abs(held.turned) * 180 / Math.PI)}° against the drawing, or the wrong pulley was marked. `, this.button("Turn it by a quarter", "turn-now", () => void this.turn("quarter"))]);
    const items = this.marks.entries.filter((one) => one.marks.length >= leastOf(one.target.part));
    if (items.length && !result && !this.wrongWay()) {
      if (!items.some((one) => one.placed && one.target.part === "rim")) list.push(["Places are measured from the crank: mark its rim."]);
      else list.push(["No size is known yet: mark a known distance, or tick “diameter known” on a rim."]);
    }
    if (this.odd.length) list.push([this.disagreement()]);
    const stray = result?.checks.find((one) => one.what === "mark" && Math.abs(one.off) > DISAGREES); // the worst: it spoils the others
    if (stray) list.push([`A point on ${this.named(stray)} does not lie on the rim that its other points give. Mark that rim again.`]);
    for (const entry of result && shape ? items : []) {
      const other = this.elsewhere(entry);
      if (other) list.push([`${entry.target.pulley} was marked where the file has ${other}. Is it the right pulley?`]);
    }
    return list.map((words) => h("p", {class: "ask warn", role: "status"}, ...words));
  }
  private named(check: Check): string { return this.marks.entry(check.id)?.target.title ?? check.id; }
  private disagreement(): string {
    const what = (c: Check): string => `${{diameter: "the diameter of ", length: "", wide: "the width of ", high: "the height of ", place: "the place of ", mark: ""}[c.what]}${this.named(c)}`;
    if (this.odd.length > 1) return `These do not agree, and nothing tells which is wrong: ${this.odd.map(what).join("; ")}. Measure them again, or add one more known size.`;
    const [one] = this.odd;
    const how = one.what === "place" ? `Its place in the file is ${showUnit("length", one.others, 1)} off.` : `It is given as ${showUnit("length", one.known, 1)}; the others say ${showUnit("length", one.others, 1)}.`;
    return `Disagrees with all the others and is left out: ${what(one)}. ${how} Measure it again, or remove it.`;
  }
  /** Another pulley, in whose place this one was marked. */
  private elsewhere(entry: Entry): string | null {
    const p = this.pulleyOf(entry), found = this.result?.found.get(entry.target.id);
    if (!p || !found || entry.target.part !== "rim" || entry.placed || p.sits !== "fixed") return null;
    const far = (q: ShapePulley): number => Math.hypot(q.centre_mm[0] - found.x.value, q.centre_mm[1] - found.y.value);
    const nearest = (this.shape as Shape).pulleys.reduce((a, b) => (far(b) < far(a) ? b : a));
    return nearest !== p && far(p) > ELSEWHERE && far(nearest) * NEARER < far(p) ? nearest.name : null;
  }

  private pulleysBox(): HTMLElement | null {
    const shape = this.shape;
    if (!shape) return null;
    const all = targetsOf(shape), first = this.marks.after(null, shape) ?? all[0];
    const select = h("select", {"data-key": "which", "aria-label": "What to mark"}, ...all.map((t) => h("option", {value: t.id, selected: t.id === (this.marks.now ?? first).id}, t.title)));
    return h("fieldset", {}, h("legend", {}, "Pulleys, in belt order"), select, " ", this.button("Mark", "mark", () => { const t = all.find((one) => one.id === select.value); if (t) this.begin(t); }));
  }
  private sizesBox(): HTMLElement {
    const d = this.distance, f = this.frame, name = (what: string): Target => ({id: `${what} ${++this.made}`, pulley: "", part: what as Target["part"], title: `${what[0].toUpperCase()}${what.slice(1)} ${this.made}`});
    return h("fieldset", {}, h("legend", {}, "Known sizes"), h("p", {class: "hint"}, "Also: tick “diameter known” on a rim in the list below."),
      h("div", {class: "row"}, this.length("Distance", "dist", d.size, (v) => { d.size = v; }, 0, 2), this.length("within ±", "dist-off", d.off, (v) => { d.off = v; }, 0, 2), this.length("at z", "dist-z", d.z, (v) => { d.z = v; }, -Infinity), this.button("Mark two points", "scale", () => this.begin(name("distance"), {size: d.size, sizeOff: d.off, z: d.z}))),
      h("div", {class: "row"}, this.length("Rectangle, width", "wide", f.wide, (v) => { f.wide = v; }, 0, 2), this.length("height", "high", f.high, (v) => { f.high = v; }, 0, 2), this.length("within ±", "frame-off", f.off, (v) => { f.off = v; }, 0, 2), this.length("at z", "frame-z", f.z, (v) => { f.z = v; }, -Infinity), this.button("Mark four corners", "corners", () => this.begin(name("rectangle"), {size: f.wide, high: f.high, sizeOff: f.off, z: f.z}))));
  }

  private listBox(): HTMLElement | null {
    const list = this.marks.entries.filter((one) => one.marks.length > 0);
    return list.length ? h("fieldset", {}, h("legend", {}, "Marked"), h("ul", {class: "marked"}, ...list.map((one) => this.row(one)))) : null;
  }
  private row(entry: Entry): HTMLElement {
    const {id, part, title} = entry.target, found = this.result?.found.get(id), pm = (v: Value): string => `${show("length", v.value, 1)} ± ${show("length", v.wide, 1)}`;
    const numbers = !found ? `${entry.marks.length} point${entry.marks.length > 1 ? "s" : ""}` : part === "distance" ? showUnit("length", entry.size, 1) : part === "rectangle" ? `${show("length", entry.size, 1)} × ${showUnit("length", entry.high, 1)}` : `x ${pm(found.x)}, y ${pm(found.y)}${found.diameter ? `, diameter ${pm(found.diameter)}` : ""} ${unit("length").name}`;
    const tick = (label: string, key: string, on: boolean, set: (on: boolean) => void): HTMLElement => h("label", {}, h("input", {type: "checkbox", checked: on, "data-key": `${key}-${id}`, "aria-label": `${label}, ${title}`, onchange: (event: Event) => { set((event.target as HTMLInputElement).checked); this.changed(); }}), ` ${label}`);
    const crank = this.pulleyOf(entry)?.role === "crank";
    return h("li", {"data-id": id}, h("b", {}, title), " ", h("span", {class: "number"}, numbers),
      part === "rim" ? h("div", {class: "row"}, tick("diameter known", "sized", entry.sized, (on) => { entry.sized = on; }), entry.sized ? this.length("", `size-${id}`, entry.size, (v) => { entry.size = v; }, 0, 2) : null, entry.sized ? this.length("within ±", `off-${id}`, entry.sizeOff, (v) => { entry.sizeOff = v; }, 0, 2) : null,
        crank ? h("span", {class: "hint"}, "places are measured from here") : this.pulleyOf(entry)?.sits !== "fixed" ? null : tick("its place in the file is right", "placed", entry.placed, (on) => { entry.placed = on; })) : null,
      h("div", {class: "row"}, this.length("z of what was marked", `z-${id}`, entry.z, (v) => { entry.z = v; }, -Infinity), ...(found ? this.uses(entry, found) : []), this.button("Remove", `drop-${id}`, () => { this.marks.drop(id); this.changed(); }, {"aria-label": `Remove ${title}`})));
  }

  private told(): Told {
    const placed = this.marks.entries.filter((one) => one.placed && one.target.part === "rim" && one.marks.length >= leastOf("rim")).map((one) => one.target.pulley);
    return {size: this.picture.size, focal: this.typedFocal ? "typed" : this.picture.focal35 ? "written" : "unknown", cut: this.picture.cut, assumed: this.assumed, placed};
  }
  private groundsBox(): HTMLElement | null {
    if (!this.result) return null;
    const wanted = this.marks.entries.filter((one) => !one.placed && one.target.pulley !== "").map((one) => one.target.id), advice = adviceOf(this.result, wanted);
    return h("fieldset", {class: "grounds"}, h("legend", {}, "What the numbers assume"), h("p", {}, "Each ± holds in 95 of 100 cases if this is so:"), h("ul", {}, ...assumedIn(this.result, this.told()).map((text) => h("li", {}, text))),
      advice.length ? h("p", {class: "advice"}, h("b", {}, "For less error. "), advice.map((one) => one.text).join(" ")) : null);
  }
  private photoBox(): HTMLElement {
    const plain = (label: string, key: string, value: number | "", name: string, least: number, most: number, set: (v: number) => void): HTMLElement => h("label", {class: "entry"}, h("span", {}, label), h("input", {size: 6, inputmode: "decimal", autocomplete: "off", value, "data-key": key, onchange: (event: Event) => {
      const field = event.target as HTMLInputElement, v = Number(field.value.replace(",", "."));
      if (field.value.trim() === "" && key === "focal") { set(0); this.changed(); } else if (v >= least && v <= most) { set(v); this.message = ""; this.changed(); } else this.refuse(field.value, `a number from ${least} to ${most} ${name} is needed`);
    }}), h("span", {class: "unit"}, name));
    const tenths = (v: number): number => Math.round(v * 10) / 10;
    return h("fieldset", {}, h("legend", {}, "Photo"),
      h("div", {class: "row"}, plain("Focal length, 35 mm equivalent", "focal", this.typedFocal || "", "mm", 8, 1200, (v) => { this.typedFocal = v; }), this.length("Depths within ±", "depth", WIDE * this.assumed.depth, (v) => { this.assumed.depth = v / WIDE; })),
      h("div", {class: "row"}, plain("Marks within ±", "edge", tenths(WIDE * this.assumed.edge), "pixels", 0.1, 50, (v) => this.setEdge(v / WIDE)), plain("Held level within ±", "level", tenths(WIDE * this.assumed.roll * 180 / Math.PI), "deg", 0.1, 40, (v) => { this.assumed.roll = v / WIDE * Math.PI / 180; })),
      h("label", {}, "Opacity ", h("input", {type: "range", min: 0, max: 1, step: 0.05, value: this.opacity, "data-key": "op", oninput: (event: Event) => { this.opacity = Number((event.target as HTMLInputElement).value); this.picture.place(this.opacity); }})),
      h("div", {class: "row"}, this.button("Turn by a quarter", "turn", () => void this.turn("quarter")), this.button("Mirror", "mirror", () => void this.turn("mirror")),
        this.button(this.picture.square ? "Show as taken" : "Set square on", "square", () => void this.setSquare(), {disabled: !this.result && !this.picture.square}),
        this.button("Remove the photo", "remove", () => { this.picture.drop(); this.marks = new Marks(); this.message = ""; this.changed(); })));
  }
  private setEdge(edge: number): void {
    for (const entry of this.marks.entries) for (const mark of entry.marks) mark.sigma = Math.hypot(edge, Math.sqrt(Math.max(0, mark.sigma ** 2 - this.assumed.edge ** 2)));
    this.assumed.edge = edge;
  }
}
