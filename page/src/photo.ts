// Measure pulleys in a photo of the engine's front. Everything stays in the page.
import {announce, h, renew, s} from "./dom";
import type {Drawing} from "./drawing";
import {store} from "./store";
import type {Shape, ShapePulley, Vec} from "./types";
import {parse, show, showUnit, tidy, unit} from "./units";
import {circleOf, homographyOf, invert3, project, type Circle, type M3} from "./photo-geometry";

type Mode = "none" | "scale" | "corners" | "rim";

interface Measured { circle: Circle; error_mm: number; clicks: Vec[] }

/** How far a careful click may miss, in pixels of the photo. */
const CLICK_PIXELS = 1.5;

export class PhotoPanel {
  readonly element = h("div", {class: "photo"});
  private image: ImageBitmap | null = null;
  private url = "";
  private node = s("image", {preserveAspectRatio: "none"});
  private mode: Mode = "none";
  private clicks: Vec[] = []; // photo pixels while calibrating, else plane mm
  private toPlane: M3 = [1, 0, 0, 0, -1, 0, 0, 0, 1]; // photo pixels -> mm on the drawing
  private known: "none" | "scale" | "corners" = "none";
  private scaleError = 0; // relative
  private measured: Measured | null = null;
  private distance = 100; private wide = 200; private high = 100;
  private opacity = 0.6; private message = "";
  private shape: Shape | null = null;

  constructor(private readonly drawing: Drawing) { drawing.backdrop.append(this.node); this.draw(); }
  setShape(shape: Shape): void { this.shape = shape; }

  async load(file: File): Promise<void> {
    if (!file.type.startsWith("image/")) { this.message = "That is not a picture."; this.draw(); return; }
    try { this.image = await createImageBitmap(file); } catch { this.message = "The picture could not be read. Use JPEG, PNG or WebP."; this.draw(); return; }
    if (this.url) URL.revokeObjectURL(this.url);
    this.url = URL.createObjectURL(file);
    this.known = "none";
    this.measured = null;
    this.message = "";
    // Until it is calibrated the photo fills the view.
    const {view} = this.drawing, k = Math.min((view.width - 60) / this.image.width, (view.height - 60) / this.image.height) / view.k;
    const corner = view.toWorld([40, 20]);
    this.toPlane = [k, 0, corner[0], 0, -k, corner[1], 0, 0, 1];
    this.place();
    this.draw();
  }

  private place(): void {
    if (!this.image) { this.node.removeAttribute("href"); return; }
    const [a, b, c, d, e, f] = this.toPlane;
    this.node.setAttribute("href", this.url);
    this.node.setAttribute("width", String(this.image.width));
    this.node.setAttribute("height", String(this.image.height));
    this.node.setAttribute("transform", `matrix(${a} ${d} ${b} ${e} ${c} ${f})`);
    this.node.setAttribute("opacity", String(this.opacity));
  }

  get asking(): boolean { return this.mode !== "none" && this.image !== null; }
  /** A click in the drawing. True where the photo takes it. */
  pick(world: Vec): boolean {
    if (this.mode === "none" || !this.image) return false;
    if (this.mode === "rim") {
      this.clicks.push(world);
      if (this.clicks.length >= 3) this.measure();
    } else {
      this.clicks.push(project(invert3(this.toPlane) as M3, world));
      if (this.mode === "scale" && this.clicks.length === 2) this.setScale();
      if (this.mode === "corners" && this.clicks.length === 4) void this.setCorners();
    }
    this.draw();
    return true;
  }

  private setScale(): void {
    const [a, b] = this.clicks, pixels = Math.hypot(b[0] - a[0], b[1] - a[1]);
    this.mode = "none";
    if (pixels < 10) { this.message = "The two points are too close together."; this.clicks = []; return; }
    const k = this.distance / pixels, keep = project(this.toPlane, a);
    this.toPlane = [k, 0, keep[0] - k * a[0], 0, -k, keep[1] + k * a[1], 0, 0, 1];
    this.scaleError = Math.SQRT2 * CLICK_PIXELS / pixels;
    this.known = "scale";
    this.clicks = [];
    this.message = `1 pixel is ${show("length", k, 3)} ${unit("length").name}; the scale is accurate to ${(this.scaleError * 100).toFixed(2)} %.`;
    this.place();
  }

  /** Four corners of a rectangle, from the upper left clockwise: the photo is redrawn as seen square on. */
  private async setCorners(): Promise<void> {
    this.mode = "none";
    const image = this.image as ImageBitmap, keep = project(this.toPlane, this.clicks[0]);
    const flat: Vec[] = [[0, 0], [this.wide, 0], [this.wide, this.high], [0, this.high]];
    const toFlat = homographyOf(this.clicks, flat), back = toFlat && invert3(toFlat);
    const clicks = this.clicks;
    this.clicks = [];
    if (!toFlat || !back) { this.message = "These corners do not form a rectangle in perspective."; this.draw(); return; }
    const edges: Vec[] = [[0, 0], [image.width, 0], [image.width, image.height], [0, image.height]];
    const ends = edges.map((p) => project(toFlat, p)), span = 4 * Math.max(this.wide, this.high);
    const bound = (axis: 0 | 1, pick: (...v: number[]) => number, far: number): number => { const v = pick(...ends.map((p) => p[axis])); return Number.isFinite(v) && Math.abs(v) < span ? v : far; };
    const low: Vec = [bound(0, Math.min, -span), bound(1, Math.min, -span)], high: Vec = [bound(0, Math.max, span), bound(1, Math.max, span)];
    const side = Math.hypot(clicks[1][0] - clicks[0][0], clicks[1][1] - clicks[0][1]) / this.wide;
    const scale = Math.min(side, 2400 / Math.max(high[0] - low[0], high[1] - low[1])), w = Math.round((high[0] - low[0]) * scale), hgt = Math.round((high[1] - low[1]) * scale);
    const source = new OffscreenCanvas(image.width, image.height), pen = source.getContext("2d", {willReadFrequently: true});
    const target = new OffscreenCanvas(w, hgt), out = target.getContext("2d");
    if (!pen || !out || w < 2 || hgt < 2) { this.message = "The picture could not be straightened."; this.draw(); return; }
    pen.drawImage(image, 0, 0);
    const from = pen.getImageData(0, 0, image.width, image.height), to = out.createImageData(w, hgt);
    const source32 = new Uint32Array(from.data.buffer), target32 = new Uint32Array(to.data.buffer);
    for (let y = 0; y < hgt; y++) {
      for (let x = 0; x < w; x++) {
        const p = project(back, [low[0] + (x + 0.5) / scale, low[1] + (y + 0.5) / scale]), px = p[0] | 0, py = p[1] | 0;
        if (p[0] >= 0 && p[1] >= 0 && px < image.width && py < image.height) target32[y * w + x] = source32[py * image.width + px];
      }
    }
    out.putImageData(to, 0, 0);
    const blob = await target.convertToBlob({type: "image/png"});
    URL.revokeObjectURL(this.url);
    this.url = URL.createObjectURL(blob);
    this.image = await createImageBitmap(blob);
    const k = 1 / scale;
    this.toPlane = [k, 0, keep[0] + low[0], 0, -k, keep[1] - low[1], 0, 0, 1];
    this.scaleError = Math.SQRT2 * CLICK_PIXELS / Math.min(Math.hypot(clicks[1][0] - clicks[0][0], clicks[1][1] - clicks[0][1]), Math.hypot(clicks[2][0] - clicks[1][0], clicks[2][1] - clicks[1][1]));
    this.known = "corners";
    this.message = `Straightened to square on; accurate to ${(this.scaleError * 100).toFixed(2)} % in the plane of the rectangle.`;
    this.place();
    this.draw();
  }

  private measure(): void {
    const circle = circleOf(this.clicks);
    if (!circle) { this.message = "The points are in a straight line."; this.clicks = []; return; }
    // Error of the centre: every click shifted by its own error in both axes, the effects added in squares.
    const step = CLICK_PIXELS * Math.abs(this.toPlane[0]);
    let square = 0, squareRadius = 0;
    this.clicks.forEach((_, i) => [0, 1].forEach((axis) => {
      const shifted = this.clicks.map((p): Vec => [p[0], p[1]]);
      shifted[i][axis] += step;
      const other = circleOf(shifted);
      if (!other) return;
      square += (other.centre[0] - circle.centre[0]) ** 2 + (other.centre[1] - circle.centre[1]) ** 2;
      squareRadius += (other.radius - circle.radius) ** 2;
    }));
    const crank = this.shape?.pulleys.find((p) => p.role === "crank")?.centre_mm ?? [0, 0];
    const far = Math.hypot(circle.centre[0] - crank[0], circle.centre[1] - crank[1]);
    this.measured = {circle: {...circle, radiusError: Math.hypot(Math.sqrt(squareRadius), circle.radius * this.scaleError)}, error_mm: Math.hypot(Math.sqrt(square), far * this.scaleError), clicks: this.clicks};
    announce(`Circle of ${showUnit("length", circle.radius * 2, 1)}`);
  }

  private start(mode: Mode): void { this.mode = this.mode === mode ? "none" : mode; this.clicks = []; this.message = ""; this.draw(); }

  /** The measured circle is the crank: shift the photo so that it lies on the crank's place. */
  private shiftTo(name: string): void {
    const p = this.shape?.pulleys.find((one) => one.name === name), measured = this.measured;
    if (!p || !measured) return;
    this.toPlane[2] += p.centre_mm[0] - measured.circle.centre[0];
    this.toPlane[5] += p.centre_mm[1] - measured.circle.centre[1];
    this.clicks = [];
    this.measured = null;
    this.mode = "none";
    this.message = `The photo is aligned to ${name}; positions are measured from there.`;
    this.place();
    this.draw();
  }
  private turn(degrees: number): void {
    const measuredFrom = this.shape?.pulleys.find((p) => p.role === "crank")?.centre_mm ?? [0, 0], t = degrees * Math.PI / 180, c = Math.cos(t), sn = Math.sin(t);
    const [a, b, x, d, e, y] = this.toPlane, dx = x - measuredFrom[0], dy = y - measuredFrom[1];
    this.toPlane = [c * a - sn * d, c * b - sn * e, measuredFrom[0] + c * dx - sn * dy, sn * a + c * d, sn * b + c * e, measuredFrom[1] + sn * dx + c * dy, 0, 0, 1];
    this.place();
  }

  draw(): void {
    if (!this.asking) this.drawing.dropCross();
    const {view} = this.drawing, dot = (p: Vec): string => `M${p[0]} ${p[1]}m-${6 / view.k} 0h${12 / view.k}m-${6 / view.k} -${6 / view.k}v${12 / view.k}`;
    const marks = this.clicks.map((p) => (this.mode === "rim" || this.measured ? p : project(this.toPlane, p)));
    this.drawing.overlay.replaceChildren(s("path", {d: marks.map(dot).join("")}), this.measured ? s("circle", {cx: this.measured.circle.centre[0], cy: this.measured.circle.centre[1], r: this.measured.circle.radius}) : s("g"));
    const number = (label: string, value: number, set: (v: number) => void, key: string): HTMLElement => h("label", {class: "entry"}, h("span", {}, label), h("input", {size: 7, inputmode: "decimal", value: show("length", value, 2), "data-key": key, onchange: (event: Event) => { const v = parse("length", (event.target as HTMLInputElement).value); if (v > 0) set(v); this.draw(); }}), h("span", {class: "unit"}, unit("length").name));
    const button = (label: string, mode: Mode): HTMLElement => h("button", {type: "button", "aria-pressed": String(this.mode === mode), "data-key": mode, onclick: () => this.start(mode)}, label);
    const input = h("input", {type: "file", accept: "image/*", "data-key": "file", "aria-label": "Photo of the front of the engine", onchange: (event: Event) => { const file = (event.target as HTMLInputElement).files?.[0]; if (file) void this.load(file); }});
    const steps: (HTMLElement | null)[] = [h("p", {}, "Drop a photo of the front of the engine on the drawing, or choose one: ", input)];
    if (this.image) {
      const ask = {none: "", scale: `Click the two points that are ${showUnit("length", this.distance)} apart (${this.clicks.length} of 2). With the keyboard: focus the drawing, move the cross with the arrows, mark with Enter.`, corners: `Click the rectangle’s corners: upper left first, then clockwise (${this.clicks.length} of 4).`, rim: `Click points on one pulley’s rim: three or more, well apart (${this.clicks.length}).`}[this.mode];
      steps.push(h("fieldset", {}, h("legend", {}, "1 Scale"), number("Known distance", this.distance, (v) => { this.distance = v; }, "dist"), button("Mark two points", "scale"), h("p", {class: "or"}, "or, if the camera was at an angle, a known rectangle:"), number("Width", this.wide, (v) => { this.wide = v; }, "wide"), number("Height", this.high, (v) => { this.high = v; }, "high"), button("Mark four corners", "corners")),
        h("fieldset", {}, h("legend", {}, "2 Circles"), button("Mark a rim", "rim"), this.known === "none" ? h("p", {class: "hint"}, "Set the scale first: until then the circle has no size.") : null, this.result()),
        h("fieldset", {}, h("legend", {}, "Backdrop"), h("label", {}, "Opacity ", h("input", {type: "range", min: 0, max: 1, step: 0.05, value: this.opacity, "data-key": "op", oninput: (event: Event) => { this.opacity = Number((event.target as HTMLInputElement).value); this.place(); }})),
          h("label", {class: "entry"}, h("span", {}, "Rotate by"), h("input", {size: 6, inputmode: "decimal", "data-key": "turn", onchange: (event: Event) => { const v = parse("angle", (event.target as HTMLInputElement).value); if (Number.isFinite(v)) this.turn(v); }}), h("span", {class: "unit"}, "deg")),
          h("button", {type: "button", onclick: () => { this.image = null; this.mode = "none"; this.clicks = []; this.measured = null; this.place(); this.draw(); }}, "Remove the photo")));
      if (ask) steps.push(h("p", {class: "ask", role: "status"}, ask));
    }
    if (this.message) steps.push(h("p", {class: "ask", role: "status"}, this.message));
    steps.push(h("p", {class: "hint"}, "Stand well back and zoom in. Only the plane of the two points or of the rectangle is to scale: a pulley nearer to the camera looks larger. The photo never leaves this page."));
    renew(this.element, ...steps);
  }

  private result(): HTMLElement | null {
    const m = this.measured, shape = this.shape;
    if (!m || !shape) return null;
    const far = (p: ShapePulley): number => Math.hypot(p.centre_mm[0] - m.circle.centre[0], p.centre_mm[1] - m.circle.centre[1]);
    const nearest = shape.pulleys.reduce((a, b) => (far(b) < far(a) ? b : a));
    const select = h("select", {"data-key": "which", "aria-label": "Pulley for this circle"}, ...shape.pulleys.map((p) => h("option", {value: p.name, selected: p === nearest}, p.name)));
    return h("div", {class: "result"}, h("p", {}, `Circle of ${showUnit("length", 2 * m.circle.radius, 1)} ± ${show("length", 2 * (m.circle.radiusError ?? 0), 1)}, centre ${show("length", m.circle.centre[0], 1)}, ${show("length", m.circle.centre[1], 1)} ± ${showUnit("length", m.error_mm, 1)}${m.clicks.length > 3 ? `; points off the circle by ${showUnit("length", m.circle.misfit, 2)} rms` : ""}`),
      select, this.known === "none" ? null : h("button", {type: "button", class: "main", onclick: () => this.give(select.value)}, "Move the pulley here"),
      h("button", {type: "button", onclick: () => this.shiftTo(select.value)}, "Align the photo to the pulley"));
  }
  private give(name: string): void {
    const p = this.shape?.pulleys.find((one) => one.name === name), m = this.measured;
    if (!p || !m) return;
    if (p.sits !== "fixed") { this.message = `${name} is ${p.sits === "arm" ? "on an arm: measure the pivot and type it in." : "in a slot: measure the ends of the slot and type them in."}`; this.draw(); return; }
    store.set(`${name}.at`, [tidy(m.circle.centre[0], 0.01), tidy(m.circle.centre[1], 0.01)], `position of ${name} from the photo`);
    store.select(name);
    this.message = `${name} is now at ${show("length", m.circle.centre[0], 2)}, ${show("length", m.circle.centre[1], 2)} ± ${showUnit("length", m.error_mm, 1)}.`;
    this.clicks = [];
    this.measured = null;
    this.mode = "none";
    this.draw();
  }
}
