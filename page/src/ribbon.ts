// The belt unrolled: tension of a rib along its length and the grip that each pulley uses, both as shares of their limits,
// so that one line is the limit of both.
import {byId, em, put, redraw, type Sketch} from "./dom";
import {store} from "./store";
import type {Check, Shape} from "./types";
import {show, showUnit, unit} from "./units";

const HEIGHT = 132, TOP = 16, LEFT = 46, RIGHT = 34;
/** The limit is never at the edge of the picture. */
const LEAST_TOP = 1.25;

let width = 640;
export function measureRibbon(): void { width = Math.max(300, byId("ribbon-wrap").getBoundingClientRect().width / em()); }

interface Scale { ribs: number; rib: number; grip: number; most: number; x: (mm: number) => number; y: (share: number) => number }

function scaleOf(shape: Shape, check: Check, old: Check | null): Scale {
  const ribs = check.build.ribs, {rib_tension: rib, grip_design: grip} = shape.limits, bottom = HEIGHT - 30;
  const tensions = [check, old].flatMap((one) => one?.spans.map((sp) => sp.tension_N / ribs / rib) ?? []);
  const grips = check.pulleys.map((p) => (p.grip_used ?? 0) / grip);
  const most = Math.max(LEAST_TOP, 1.08 * Math.max(...tensions, ...grips));
  return {ribs, rib, grip, most, x: (mm) => LEFT + mm * (width - LEFT - RIGHT) / check.belt.path_length_mm, y: (share) => bottom - Math.max(0, Math.min(share, most)) / most * (bottom - TOP)};
}

export function drawRibbon(shape: Shape | null, check: Check | null, old: Check | null): void {
  const svg = byId<SVGSVGElement>("ribbon");
  put(svg, "viewBox", `0 0 ${width} ${HEIGHT}`);
  if (!shape || !check || !check.pulleys.length) { redraw(svg, [s("text", {x: 12, y: HEIGHT / 2 - 6, class: "why"}, "The belt does not fit around the pulleys."), s("text", {x: 12, y: HEIGHT / 2 + 12, class: "none"}, check?.findings.find((f) => f.level === "fail")?.text ?? "")]); return; }
  const scale = scaleOf(shape, check, old);
  redraw(svg, thin([...axes(scale), ...contacts(shape, check, scale), ...limitLine(scale),
    ...(old?.spans.length ? [s("path", {class: "was", d: tensionLine(shape, old, scale)})] : []), s("path", {class: "tension", d: tensionLine(shape, check, scale)}), ...overSpans(shape, check, scale)]));
}

const s = (tag: Sketch["tag"], props: Sketch["props"], text?: string): Sketch => ({tag, props, text});

/** Tension at the left, grip at the right; round in the unit shown. */
function axes({rib, grip, most, y}: Scale): Sketch[] {
  const nodes: Sketch[] = [], per = unit("force").factor, step = niceTension(most * rib * per / 3) / per;
  for (let t = 0; t <= most * rib; t += step) nodes.push(s("path", {class: "grid", d: `M${LEFT} ${y(t / rib)}H${width - RIGHT}`}), s("text", {class: "number", x: LEFT - 5, y: y(t / rib) + 3.5, "text-anchor": "end"}, show("force", t, 0)));
  const steps = niceTension(most * grip / 3);
  for (let g = 0; g <= most * grip; g += steps) nodes.push(s("text", {class: "number", x: width - RIGHT + 5, y: y(g / grip) + 3.5}, Number(g.toFixed(3)).toString()));
  nodes.push(s("text", {class: "number", x: 4, y: 10}, `tension of a rib, ${unit("force").name}`), s("text", {class: "number", x: width - 4, y: 10, "text-anchor": "end"}, "grip used"));
  return nodes;
}

function limitLine({rib, grip, y}: Scale): Sketch[] {
  return [s("path", {class: "limit", d: `M${LEFT} ${y(1)}H${width - RIGHT}`}),
    s("text", {class: "limit", x: width - RIGHT - 4, y: y(1) - 4, "text-anchor": "end"}, `limit: ${showUnit("force", rib)} on a rib, grip ${show("plain", grip, 2)}`)];
}

function arcOf(shape: Shape, p: Check["pulleys"][number]): number {
  return Math.abs(shape.pulleys.find((one) => one.name === p.name)?.pitch_radius_mm ?? 0) * p.wrap_deg * Math.PI / 180;
}

function contacts(shape: Shape, check: Check, {grip, most, x, y}: Scale): Sketch[] {
  const nodes: Sketch[] = [];
  let at = 0;
  check.pulleys.forEach((p, i) => {
    const arc = arcOf(shape, p), left = x(at), w = x(at + arc) - left, share = p.grip_used === null ? most : p.grip_used / grip, over = share > 1, chosen = p.name === store.selected ? " chosen" : "";
    nodes.push(s("rect", {class: `contact ${shape.pulleys[i].side}${chosen}`, x: left, y: TOP, width: w, height: y(0) - TOP}),
      s("rect", {class: over ? "grip over" : "grip", x: left, y: y(share), width: w, height: y(0) - y(share)}),
      s("text", {class: `name${chosen}`, x: left + w / 2, y: HEIGHT - 16, "text-anchor": "middle"}, p.name),
      s("text", {class: `number${over ? " over" : ""}`, x: left + w / 2, y: HEIGHT - 5, "text-anchor": "middle"}, p.grip_used === null ? "slack" : `${over ? "▲ " : ""}grip ${show("plain", p.grip_used, 2)}`));
    at += arc + check.spans[i].length_mm;
  });
  return nodes;
}

function tensionLine(shape: Shape, c: Check, {ribs, rib, x, y}: Scale): string {
  const share = (tension: number): number => tension / ribs / rib;
  let at = 0, d = "";
  c.pulleys.forEach((p, i) => {
    const arc = arcOf(shape, p), sp = c.spans[i];
    d += `${i ? "L" : "M"}${x(at)} ${y(share(p.entry_tension_N))}L${x(at + arc)} ${y(share(p.exit_tension_N))}`;
    at += arc + sp.length_mm;
    d += `L${x(at)} ${y(share(sp.tension_N))}`;
  });
  return d;
}

/** Spans over the limit: thick and dashed, with their number. */
function overSpans(shape: Shape, c: Check, {ribs, rib, x, y}: Scale): Sketch[] {
  const nodes: Sketch[] = [];
  let at = 0;
  c.pulleys.forEach((p, i) => {
    const sp = c.spans[i], from = at + arcOf(shape, p), share = sp.tension_N / ribs / rib;
    at = from + sp.length_mm;
    if (share > 1) nodes.push(s("path", {class: "over", d: `M${x(from)} ${y(share)}H${x(at)}`}), s("text", {class: "over", x: (x(from) + x(at)) / 2, y: Math.max(9, y(share) - 4), "text-anchor": "middle"}, `▲ ${show("force", sp.tension_N / ribs)}`));
  });
  return nodes;
}

function niceTension(about: number): number {
  const power = 10 ** Math.floor(Math.log10(about));
  return [1, 2, 5, 10].map((m) => m * power).find((v) => v >= about) ?? 10 * power;
}
/** Drop labels that would lie on one another. */
function thin(all: Sketch[]): Sketch[] {
  const ends = new Map([["name", -Infinity], ["number", -Infinity]]);
  return all.filter(({tag, props, text}) => {
    const kind = String(props.class).split(" ")[0], end = ends.get(kind);
    if (tag !== "text" || props["text-anchor"] !== "middle" || end === undefined) return true;
    const half = (text ?? "").length * 2.8, x = Number(props.x);
    if (x - half < end + 3) return false;
    ends.set(kind, x + half);
    return true;
  });
}
