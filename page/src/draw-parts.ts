// Slots, the tensioner's arm and obstacles drawn by hand: by clicks or a drag, or by typed values. One step of the work each.
import {call, failureOf} from "./api";
import {announce, byId, h, put, s} from "./dom";
import {distance, editsOf, kinds, outlineOf, snap, toward, type Has, type Kind, type Said, type Step} from "./draw-shapes";
import {type Drawing, type Picture} from "./drawing";
import {pointIn} from "./hand";
import {snapStep} from "./snap";
import {asked, editFile} from "./edits";
import type {Entries} from "./entries-types";
import {ShapeGrips, type Hooks} from "./shape-grips";
import {store} from "./store";
import {measured, Mistyped} from "./typed";
import type {Shape, Value, Vec} from "./types";
import {parse, show, unit, unitSystem} from "./units";

const CLOSE = 10, DRAGGED = 8; // px

/** A number for the file as it was typed: a bare one in the unit shown. @throws Mistyped */
function typedNumber(text: string, kind: "length" | "torque"): Value {
  const found = measured(text), own = unit(kind).name;
  return found.unit ? `${found.number} ${found.unit}` : unitSystem() === "in" ? `${found.number} ${own}` : Number(found.number);
}

export class DrawParts {
  private readonly grips: ShapeGrips;
  private readonly ghost = s("path", {class: "by-hand"});
  private readonly dots = s("g", {class: "by-hand-points"});
  private readonly button = h("button", {type: "button", id: "draw", class: "word", "aria-expanded": "false", "aria-controls": "draw-panel", title: "Draw a slot, an arm or an obstacle"}, "Draw");
  private readonly panel = h("div", {id: "draw-panel", role: "group", "aria-label": "Draw by hand", hidden: true});
  private readonly what = h("select", {id: "draw-what", "aria-label": "What to draw"}, ...kinds.map((one) => h("option", {value: one.id}, one.title)));
  private readonly of = h("select", {id: "draw-of", "aria-label": "Pulley"});
  private readonly extra = h("div", {class: "draw-fields"});
  private readonly prompt = h("p", {id: "draw-prompt", role: "status"});
  private readonly typed = [0, 1].map((i) => h("input", {type: "text", inputmode: "decimal", size: 7, autocomplete: "off", id: `draw-typed-${i}`}));
  private readonly wrong = h("p", {class: "wrong", role: "alert"});
  private points: Vec[] = [];
  private hover: Vec | null = null;
  private start: Vec | null = null; // px, of a press
  private busy = false;

  constructor(private readonly drawing: Drawing, hooks: Hooks, private readonly shape: () => Shape | null) {
    this.grips = new ShapeGrips(drawing, hooks);
    drawing.over.append(this.ghost, this.dots, this.grips.layer);
    document.querySelector("#bench .corner")?.prepend(this.button);
    byId("legend").before(this.panel); // below the rows of buttons
    this.button.addEventListener("click", () => this.toggle(this.panel.hidden));
    this.what.addEventListener("change", () => this.begin());
    this.of.addEventListener("change", () => { store.select(this.of.value); this.begin(); });
    const done = h("button", {type: "button", id: "draw-done", onclick: () => void this.finish()}, "Done");
    this.panel.append(h("div", {class: "draw-row"}, this.what, this.of), this.extra, this.prompt,
      h("div", {class: "draw-row"}, ...this.typed, h("button", {type: "button", id: "draw-set", onclick: () => this.setTyped()}, "Set")),
      h("div", {class: "draw-row"}, done, h("button", {type: "button", id: "draw-back", onclick: () => this.back()}, "Back"), h("button", {type: "button", id: "draw-cancel", onclick: () => this.toggle(false)}, "Cancel")), this.wrong);
    for (const field of this.typed) field.addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); this.setTyped(); } });
    const svg = byId<SVGSVGElement>("drawing");
    for (const [name, act] of [["pointerdown", this.down], ["pointermove", this.move], ["pointerup", this.up]] as const) svg.addEventListener(name, act, true);
    document.addEventListener("keydown", (event) => {
      if (this.panel.hidden || event.defaultPrevented || byId<HTMLDialogElement>("dialog").open) return;
      if (event.key === "Escape") { event.preventDefault(); this.toggle(false); }
      else if (event.key === "Enter" && event.target === svg) { event.preventDefault(); void this.finish(); }
    });
  }

  private get kind(): Kind { return kinds.find((one) => one.id === this.what.value) ?? kinds[0]; }
  private get step(): Step { const {steps} = this.kind; return steps[Math.min(this.points.length, steps.length - 1)]; }

  /** Called with every picture and view. */
  drawn({shape}: Picture): void {
    this.grips.all = !this.panel.hidden;
    this.grips.draw(shape);
    const {view} = this.drawing, points = this.hover ? [...this.points, this.hover] : this.points;
    put(this.ghost, "transform", view.matrix);
    put(this.ghost, "d", this.panel.hidden ? "" : outlineOf(this.kind, points));
    this.dots.replaceChildren(...(this.panel.hidden ? [] : points).map((p) => { const [x, y] = view.toScreen(p); return s("circle", {cx: x, cy: y, r: 4}); }));
  }
  /** Another pulley was selected. */
  selected(): void {
    if (this.panel.hidden || this.points.length || !store.selected || ![...this.of.options].some((one) => one.value === store.selected)) return;
    this.of.value = store.selected;
    this.begin();
  }

  private toggle(on: boolean): void {
    this.panel.hidden = !on;
    this.button.setAttribute("aria-expanded", String(on));
    const own = (this.shape()?.pulleys ?? []).filter((p) => p.role !== "crank");
    this.of.replaceChildren(...own.map((p) => h("option", {value: p.name, selected: p.name === store.selected}, p.name)));
    this.begin();
    if (!on) this.button.focus({preventScroll: true});
  }
  /** Nothing is drawn yet. */
  private begin(): void {
    const {kind} = this, pulley = this.shape()?.pulleys.find((p) => p.name === this.of.value);
    this.points = [];
    this.hover = this.start = null;
    this.wrong.textContent = "";
    this.of.hidden = kind.of !== "pulley";
    const field = (id: string, label: string, value = ""): HTMLElement => h("label", {}, h("span", {}, label), h("input", {type: "text", id, value, size: 9, autocomplete: "off"}));
    const length = unit("length").name, torque = unit("torque").name;
    this.extra.replaceChildren(...(kind.of === "obstacle" ? [field("draw-name", "Name", this.freeName()), field("draw-z0", `z from, ${length}`), field("draw-z1", `z to, ${length}`)]
      : kind.id === "arm" && !pulley?.arm ? [field("draw-preload", `Preload, ${torque}`), field("draw-rate", `Rate, ${torque}/deg`)] : []));
    this.show();
  }
  private freeName(): string { const names = this.shape()?.obstacles.map((one) => one.name) ?? []; for (let i = 1; ; i++) if (!names.includes(`obstacle ${i}`)) return `obstacle ${i}`; }

  private show(): void {
    const {step, kind, points} = this, full = !kind.open && points.length === kind.steps.length, length = unit("length").name;
    this.prompt.textContent = full ? "Press Done, or fill in what is missing." : `${kind.open && points.length ? `${points.length} corners. ` : ""}${step.prompt}`;
    const labels = step.takes === "point" ? [`x, ${length}`, `y, ${length}`] : step.takes === "polar" ? [`distance, ${length}`, "angle, deg"] : ["angle, deg"];
    this.typed.forEach((field, i) => { field.hidden = full || i >= labels.length; field.placeholder = labels[i] ?? ""; field.setAttribute("aria-label", labels[i] ?? "-"); field.value = ""; });
    byId<HTMLButtonElement>("draw-set").disabled = full;
    byId<HTMLButtonElement>("draw-back").disabled = !points.length;
    byId<HTMLButtonElement>("draw-done").disabled = !this.whole;
    this.drawing.refresh();
  }
  private get whole(): boolean { return this.kind.open ? this.points.length >= 3 : this.points.length === this.kind.steps.length; }

  private add(p: Vec): void {
    const {kind, points} = this;
    if (!kind.open && points.length === kind.steps.length || points.some((one) => distance(one, p) < 1e-3)) return;
    points.push(p);
    this.hover = null;
    announce(`${show("length", p[0])}, ${show("length", p[1])}`);
    this.show();
    if (!kind.open && this.whole) void this.finish();
  }
  private back(): void { this.points.pop(); this.hover = null; this.wrong.textContent = ""; this.show(); }

  private setTyped(): void {
    const {takes} = this.step, texts = this.typed.map((field) => field.value), values = texts.map((text, i) => parse(takes === "point" || takes === "polar" && i === 0 ? "length" : "angle", text));
    const needs = takes === "direction" ? 1 : 2;
    if (values.slice(0, needs).some((value) => !Number.isFinite(value))) { this.wrong.textContent = "Enter numbers, with a unit where you like."; return; }
    this.wrong.textContent = "";
    const [first, second] = this.points;
    this.add(takes === "point" ? [values[0], values[1]] : takes === "polar" ? toward(first, values[0], values[1]) : toward(first, distance(first, second), values[0]));
    this.typed[0].focus();
  }

  // ---- hands ---------------------------------------------------------------------------------------------------------

  private at(event: PointerEvent): Vec { return pointIn(byId("drawing"), event); }
  private snapped(event: PointerEvent): Vec { return snap(this.step.takes, this.points, this.drawing.view.toWorld(this.at(event)), snapStep(event.altKey)); }
  /** Grips stay to be dragged until something is begun. */
  private mine(event: PointerEvent): boolean { return !this.panel.hidden && !this.busy && event.button <= 0 && event.isPrimary && (this.points.length > 0 || !(event.target as Element).closest(".grip")) && !(!this.kind.open && this.whole); }
  private readonly down = (event: PointerEvent): void => {
    if (!this.mine(event)) return;
    event.stopPropagation();
    this.start = this.at(event);
    const first = this.points[0], px = first && this.drawing.view.toScreen(first);
    if (this.kind.open && this.points.length >= 3 && px && Math.hypot(px[0] - this.start[0], px[1] - this.start[1]) < CLOSE) { this.start = null; void this.finish(); return; }
    this.add(this.snapped(event));
  };
  private readonly move = (event: PointerEvent): void => {
    if (!this.mine(event)) return;
    if (this.start) event.stopPropagation();
    if (!this.points.length) return;
    this.hover = this.snapped(event);
    this.drawing.refresh();
  };
  private readonly up = (event: PointerEvent): void => {
    const {start} = this;
    this.start = null;
    if (!start || this.panel.hidden) return;
    event.stopPropagation();
    const at = this.at(event);
    if (Math.hypot(at[0] - start[0], at[1] - start[1]) >= DRAGGED && this.mine(event)) this.add(this.snapped(event)); // dragged from one point to the next
  };

  // ---- into the file -----------------------------------------------------------------------------------------------------

  private said(): Said {
    const text = (id: string): string => this.extra.querySelector<HTMLInputElement>(`#${id}`)?.value.trim() ?? "";
    const number = (id: string, kind: "length" | "torque", what: string): Value => { if (text(id) === "") throw new Mistyped(`Fill in ${what}, then press Done.`); return typedNumber(text(id), kind); };
    const perDegree = (value: Value): Value => typeof value === "string" && !value.includes("deg") ? `${value}/deg` : value;
    if (this.kind.of === "obstacle") {
      if (text("draw-name") === "") throw new Mistyped("Fill in the name, then press Done.");
      const z = [number("draw-z0", "length", "where it begins along the crank’s axis (z)"), number("draw-z1", "length", "where it ends along the crank’s axis (z)")];
      return {name: text("draw-name"), z: z.some((one) => typeof one === "string") ? z.map((one) => typeof one === "number" ? `${one} ${unit("length").name}` : one) : z, preload: null, rate: null}; // a unit on both or on none
    }
    const arm = this.extra.querySelector("#draw-preload") !== null;
    return {name: "", z: null, preload: arm ? number("draw-preload", "torque", "the preload") : null, rate: arm ? perDegree(number("draw-rate", "torque", "the spring’s rate")) : null};
  }
  private async finish(): Promise<void> {
    const shape = this.shape();
    if (!shape || !this.whole || this.busy) return;
    this.busy = true;
    try {
      const said = this.said(), {body} = await call<Entries>("POST", "/api/entries", asked());
      const there = new Set(body.entries.filter((one) => one.value !== undefined && !one.part).map((one) => one.path)), has: Has = (path) => there.has(path);
      const {kind} = this, pulley = this.of.value, what = `drew ${kind.of === "obstacle" ? said.name : `${kind.title.toLowerCase()} of ${pulley}`}`;
      const wrong = await editFile(editsOf(kind, this.points, pulley, said, shape, has), [], what);
      if (wrong !== null) { this.wrong.textContent = wrong; return; }
      if (kind.of === "pulley") store.select(pulley);
      this.begin();
    } catch (error) {
      this.wrong.textContent = error instanceof Mistyped ? error.message : failureOf(error);
      this.extra.querySelector<HTMLInputElement>("input:placeholder-shown, input[value='']")?.focus();
    } finally { this.busy = false; }
  }
}
