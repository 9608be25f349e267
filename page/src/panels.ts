// Panels beside the drawing: tabs, and the small ones.
import {beltChoice} from "./belt-choice";
import {beltOrderTools} from "./belt-order";
import {byId, h, renew, s} from "./dom";
import {glyph} from "./drawing";
import {store} from "./store";
import type {Caution, Check, Finding, Lay, FileError, NotJudged, Shape, ShapePulley, Value} from "./types";
import {inSystem, parse, show, showUnit, tidy, unit, type Kind} from "./units";

export interface Panel { id: string; name: string; element: HTMLElement; shown?: () => void }

export class Tabs {
  private readonly list = byId("tabs");
  private readonly buttons: HTMLButtonElement[] = [];
  current = "";
  constructor(readonly panels: Panel[], private readonly onShow: (id: string) => void) {
    for (const panel of panels) {
      const button = h("button", {type: "button", role: "tab", id: `tab-${panel.id}`, "aria-controls": `panel-${panel.id}`}, panel.name);
      button.addEventListener("click", () => this.show(panel.id));
      button.addEventListener("keydown", (event) => {
        const step = {ArrowRight: 1, ArrowLeft: -1, Home: -99, End: 99}[event.key];
        if (step === undefined) return;
        event.preventDefault();
        const at = Math.abs(step) > 1 ? (step > 0 ? this.buttons.length - 1 : 0) : (this.buttons.indexOf(button) + step + this.buttons.length) % this.buttons.length;
        this.show(panels[at].id);
        this.buttons[at].focus();
      });
      this.buttons.push(button);
      panel.element.id = `panel-${panel.id}`;
      panel.element.setAttribute("role", "tabpanel");
      panel.element.setAttribute("aria-labelledby", button.id);
      panel.element.tabIndex = 0;
      this.list.append(button);
      byId("panels").append(panel.element);
    }
    this.show(panels[0].id);
  }
  mark(id: string, text: string): void {
    const at = this.panels.findIndex((p) => p.id === id);
    const name = text ? `${this.panels[at].name} ${text}` : this.panels[at].name;
    if (this.buttons[at].textContent !== name) this.buttons[at].textContent = name;
  }
  show(id: string): void {
    this.current = id;
    this.panels.forEach((panel, i) => {
      const on = panel.id === id;
      panel.element.hidden = !on;
      this.buttons[i].setAttribute("aria-selected", String(on));
      this.buttons[i].tabIndex = on ? 0 : -1;
      if (on) panel.shown?.();
    });
    this.onShow(id);
  }
}

// ---- the drive: one row per pulley, and the chosen one in full -------------------------------------------------------

/** Built once for a set of parts; while a hand drags only texts and values change. */
interface Facts { lay: Lay; old: Check | null }
type Updater = (facts: Facts) => void;
let updaters: Updater[] = [];
let bound = "";

function live<E extends Element>(element: E, of: (facts: Facts) => string): E {
  updaters.push((facts) => { const text = of(facts); if (element.textContent !== text) element.textContent = text; });
  return element;
}

/** An entry that takes a number with or without a unit, and says at once when it is none. */
function entry(label: string, kind: "length" | "angle", of: (facts: Facts) => number | null, key: string, done: (value: number) => void): HTMLElement {
  const name = unit(kind).name;
  const input = h("input", {type: "text", inputmode: "decimal", size: 9, autocomplete: "off", "data-key": key});
  let was = "";
  const trim = (value: number | null): string => value === null ? "" : show(kind, value, kind === "length" ? (name === "in" ? 3 : 4) : 3).replace(/(\.\d*?)0+$/, "$1").replace(/\.$/, "");
  updaters.push((facts) => {
    const text = trim(of(facts));
    if (input.value === was || document.activeElement !== input) { input.value = text; wrong(""); }
    was = text;
  });
  const error = h("span", {class: "wrong", id: `wrong-${key}`, role: "alert"});
  const wrong = (text: string): void => {
    if (error.textContent !== text) error.textContent = text;
    if (text) { input.setAttribute("aria-invalid", "true"); input.setAttribute("aria-describedby", error.id); } else { input.removeAttribute("aria-invalid"); input.removeAttribute("aria-describedby"); }
  };
  const take = (): void => {
    if (input.value === was) { wrong(""); return; }
    const number = parse(kind, input.value);
    if (Number.isFinite(number)) { wrong(""); was = input.value; done(tidy(number)); } else wrong(`Enter a number in ${name}, or a number with its unit.`);
  };
  input.addEventListener("change", take);
  input.addEventListener("keydown", (event) => {
    if (event.key === "Enter") take();
    if (event.key === "Escape") { input.value = was; wrong(""); event.stopPropagation(); }
  });
  return h("label", {class: "entry"}, h("span", {}, label), input, h("span", {class: "unit"}, name), error);
}

function inspector(p: ShapePulley): HTMLElement {
  const name = p.name, set = (path: string, value: Value, what: string): void => store.set(path, value, what);
  const shape = (facts: Facts): ShapePulley => facts.lay.geometry.pulleys.find((one) => one.name === name) ?? p;
  let last: ShapePulley = p;
  updaters.push((facts) => { last = shape(facts); });
  const axis = (label: string, i: 0 | 1, of: (one: ShapePulley) => [number, number], path: string, key: string): HTMLElement =>
    entry(label, "length", (facts) => of(shape(facts))[i], key, (value) => { const at = of(last), next: [number, number] = [tidy(at[0]), tidy(at[1])]; next[i] = value; set(path, next, `move ${name}`); });
  const number = (label: string, kind: "length" | "angle", of: (one: ShapePulley) => number | null | undefined, path: string, key: string, what: string): HTMLElement =>
    entry(label, kind, (facts) => of(shape(facts)) ?? null, key, (value) => set(path, value, what));
  const fields: HTMLElement[] = [], centre = (one: ShapePulley): [number, number] => one.centre_mm, pivot = (one: ShapePulley): [number, number] => one.arm?.pivot_mm ?? [0, 0];
  if (p.sits === "fixed") fields.push(axis("x", 0, centre, `${name}.at`, "x"), axis("y", 1, centre, `${name}.at`, "y"));
  if (p.arm) fields.push(axis("Pivot x", 0, pivot, `${name}.arm.pivot`, "px"), axis("Pivot y", 1, pivot, `${name}.arm.pivot`, "py"),
    number("Arm length", "length", (one) => one.arm?.length_mm, `${name}.arm.length`, "al", `arm of ${name}`), number("Free position", "angle", (one) => one.arm?.rest_deg, `${name}.arm.free`, "ar", `arm of ${name}`));
  if (p.slot && !p.slot.lock) fields.push(number(`Slot setting, 0 to ${show("length", p.slot.length_mm)}`, "length", (one) => one.slot?.setting_mm, `${name}.slot.setting`, "sl", `slide ${name}`));
  fields.push(number(p.diameter_over === "effective" ? "Effective ⌀" : p.diameter_over === "outside" ? "Outside ⌀" : `⌀ over ${p.diameter_over}`, "length", (one) => one.diameter_file_mm, `${name}.diameter`, "d", `diameter of ${name}`),
    number("Plane z", "length", (one) => one.plane_mm, `${name}.plane`, "z", `plane of ${name}`));
  const of = (facts: Facts): Check["pulleys"][number] | undefined => facts.lay.check?.pulleys.find((c) => c.name === name);
  const rows: [string, (facts: Facts) => string][] = [
    ["Rotation", (f) => { const one = of(f); return one ? `${showUnit("rpm", Math.abs(one.rpm))} ${one.turns}` : "–"; }], ["Torque", (f) => showUnit("torque", of(f)?.torque_N_m)],
    ["Tension in", (f) => showUnit("force", of(f)?.entry_tension_N)], ["Tension out", (f) => showUnit("force", of(f)?.exit_tension_N)],
    ["Hub load", (f) => showUnit("force", of(f)?.hub_load_N)], ["Load angle", (f) => showUnit("angle", of(f)?.hub_load_deg, 1)]];
  if (p.slot?.lock) rows.push(["Slot setting", (f) => `${show("length", shape(f).slot?.setting_mm)} of ${showUnit("length", shape(f).slot?.length_mm)}, fixed at the set tension`]);
  if (p.arm) rows.push(["Arm angle from free", (f) => `${showUnit("angle", f.lay.check?.arm?.wind_deg)} of ${showUnit("angle", shape(f).arm?.travel_deg, 0)}`], ["Spring moment", (f) => showUnit("torque", f.lay.check?.arm?.moment_N_m)]);
  return h("fieldset", {class: "inspector"}, h("legend", {}, name, h("small", {}, ` line ${p.line} of the file`)), h("div", {class: "fields"}, ...fields),
    h("dl", {}, ...rows.flatMap(([label, text]) => [h("dt", {}, label), live(h("dd"), text)])), beltOrderTools(p));
}

const columns: {name: string; kind: Kind; digits?: number; of: (p: Check["pulleys"][number]) => number | null; sense?: boolean}[] = [
  {name: "wrap", kind: "angle", digits: 1, of: (p) => p.wrap_deg}, {name: "speed", kind: "rpm", of: (p) => Math.abs(p.rpm), sense: true},
  {name: "torque", kind: "torque", digits: 2, of: (p) => p.torque_N_m}, {name: "hub load", kind: "force", of: (p) => p.hub_load_N},
  {name: "grip used", kind: "plain", of: (p) => p.grip_used},
];

function row(p: ShapePulley, i: number, compare: boolean): HTMLElement {
  const now = (facts: Facts): Check["pulleys"][number] | undefined => facts.lay.check?.pulleys[i];
  const was = (facts: Facts): Check["pulleys"][number] | undefined => facts.old?.pulleys.find((c) => c.name === p.name);
  const sign = h("span", {class: "sign", "aria-hidden": "true"});
  updaters.push((facts) => {
    const level = levels(facts).get(p.name);
    sign.className = `sign ${level ?? ""}`;
    sign.textContent = level && level !== "pass" ? glyph[level] : "";
  });
  const pick = h("button", {type: "button", class: "pick", "data-key": `row-${p.name}`, "aria-pressed": String(p.name === store.selected), onclick: () => store.select(p.name)}, sign, p.name);
  const cell = (c: (typeof columns)[number]): HTMLElement => {
    const text = (one: Check["pulleys"][number] | undefined): string => (one ? `${show(c.kind, c.of(one), c.digits)}${c.sense ? ` ${one.turns}` : ""}` : "–");
    return h("td", {"data-of": c.name}, live(h("span"), (f) => text(now(f))), compare ? live(h("del", {title: "as opened"}), (f) => text(was(f))) : null);
  };
  return h("tr", {class: p.name === store.selected ? "chosen" : ""}, h("th", {scope: "row"}, pick), h("td", {class: "side"}, p.side === "rib" ? "ribs" : "back"), ...columns.map(cell));
}
let levels: (facts: Facts) => Map<string, Finding["level"]> = () => new Map();

export function drivePanel(root: HTMLElement, lay: Lay | null, before: Lay | null, of: Map<string, Finding["level"]>): void {
  if (!lay) return;
  const {geometry: shape} = lay, old = store.showBefore ? before?.check ?? null : null, facts = {lay, old};
  levels = () => of;
  const signature = JSON.stringify([shape.pulleys.map((p) => [p.name, p.side, p.sits, p.line, p.diameter_over, p.slot?.length_mm]), store.selected, store.showBefore, unit("length").name, Boolean(lay.check?.arm)]);
  if (signature !== bound || !root.firstChild) {
    bound = signature;
    updaters = [];
    const chosen = shape.pulleys.find((p) => p.name === store.selected), open = root.querySelector("details")?.open ?? true;
    const choice = beltChoice();
    updaters.push((now) => choice.update(now.lay.geometry));
    renew(root, headline(Boolean(lay.check?.arm), store.showBefore), choice.element,
      store.showBefore ? h("p", {class: "hint"}, "Italics: the file as opened.") : null,
      h("div", {class: "scroll", tabindex: 0, role: "region", "aria-label": "Pulleys"}, h("table", {class: "ledger"}, h("caption", {class: "hidden"}, "Pulleys in belt order"),
        h("thead", {}, h("tr", {}, h("th", {scope: "col"}, "pulley"), h("th", {scope: "col"}, "belt side"), ...columns.map((c) => h("th", {scope: "col"}, c.name, h("small", {}, unit(c.kind).name))))),
        h("tbody", {}, ...shape.pulleys.map((p, i) => row(p, i, store.showBefore))))),
      chosen ? inspector(chosen) : h("p", {class: "hint"}, "Select a pulley here or in the drawing to see and set its exact values."),
      spanTable(shape, open));
  }
  for (const update of updaters) update(facts);
}

function headline(arm: boolean, compare: boolean): HTMLElement {
  const fact = (name: string, kind: Kind, of: (check: Check) => number | null | undefined, digits?: number): HTMLElement => h("div", {"data-fact": name}, h("dt", {}, name),
    h("dd", {}, live(h("span"), ({lay}) => showUnit(kind, lay.check ? of(lay.check) : null, digits)), compare ? live(h("del", {title: "as opened"}), ({old}) => show(kind, old ? of(old) : null, digits)) : null));
  return h("dl", {class: "headline"}, fact("Belt length", "length", (c) => c.build.belt_length_mm, 1), fact("Pitch length", "length", (c) => c.belt.path_length_mm), fact("Belt speed", "speed", (c) => c.belt.speed_m_s),
    arm ? fact("Arm angle from free", "angle", (c) => c.arm?.wind_deg) : null, arm ? fact("Travel left", "angle", (c) => c.arm?.room_to_stop_deg) : null);
}

function spanTable(shape: Shape, open: boolean): HTMLElement {
  const head = (name: string, kind: Kind): HTMLElement => h("th", {scope: "col"}, name, h("small", {}, unit(kind).name));
  const cell = (i: number, kind: Kind, of: (one: Check["spans"][number]) => number): HTMLElement => live(h("td"), ({lay}) => show(kind, lay.check?.spans[i] ? of(lay.check.spans[i]) : null));
  return h("details", {class: "spans", open}, h("summary", {}, "Spans"), h("table", {class: "ledger"}, h("thead", {}, h("tr", {}, h("th", {scope: "col"}, "span"), head("length", "length"), head("tension", "force"), head("frequency", "frequency"))),
    h("tbody", {}, ...shape.pulleys.map((p, i) => h("tr", {}, h("th", {scope: "row"}, `${p.name} – ${shape.pulleys[(i + 1) % shape.pulleys.length].name}`), cell(i, "length", (one) => one.length_mm), cell(i, "force", (one) => one.tension_N), cell(i, "frequency", (one) => one.frequency_Hz))))));
}

// ---- findings ------------------------------------------------------------------------------------------------------

const rank = {pass: 0, note: 1, marginal: 2, fail: 3};
/** The pulley that a finding speaks of; of a span the one that it leaves. */
export function pulleyOf(f: Finding): string | null { return f.pulley ?? f.span?.[0] ?? null; }

/** What tells a finding from another of one build. */
export function keyOf(f: Finding): string { return [f.rule, f.pulley, f.other, f.level, f.at_rpm, f.text].join("\n"); }

export function levelsOf(findings: Finding[]): Map<string, Finding["level"]> {
  const levels = new Map<string, Finding["level"]>();
  for (const f of findings) {
    const pulley = pulleyOf(f);
    if (!pulley) continue;
    const had = levels.get(pulley);
    if (!had || rank[f.level] > rank[had]) levels.set(pulley, f.level);
  }
  return levels;
}

export function valueAgainstLimit(f: Finding): string {
  if (f.value === null) return "";
  const value = inSystem(f.unit, f.value), limit = f.limit === null ? null : inSystem(f.unit, f.limit);
  let digits = 4; // more where value and limit would read alike
  while (limit && digits < 9 && value.value !== limit.value && value.value.toPrecision(digits) === limit.value.toPrecision(digits)) digits++;
  const number = (x: number): string => Number(x.toPrecision(digits)).toString().replace("-", "−");
  const of = value.name === "deg" ? "°" : value.name ? ` ${value.name}` : "";
  return `${number(value.value)}${of}${limit ? `, limit ${number(limit.value)}${of}` : ""}`;
}

/** Signal word and sentence, as the program's list has them. */
export function cautionList(cautions: Caution[]): HTMLElement | null {
  return cautions.length ? h("ul", {class: "cautions"}, ...cautions.map((c) => h("li", {class: `signal-${c.signal.toLowerCase()}`, "data-caution": c.id}, h("b", {}, c.signal), ` ${c.text}`))) : null;
}

export function findingsPanel(root: HTMLElement, findings: Finding[] | null, cautions: Caution[], stale: boolean, chosen: string, go: (f: Finding) => void, remedy: (f: Finding, key: string) => HTMLElement | null, tried: HTMLElement | null, notJudged: NotJudged[]): void {
  if (!findings) { renew(root, tried, h("p", {class: "hint"}, "No findings: a check needs an engine in the file, with its speeds.")); return; }
  const items = findings.map((f, i) => h("li", {class: f.level}, h("button", {type: "button", "data-key": `f${i}`, "aria-current": keyOf(f) === chosen ? "true" : null, onclick: () => go(f)},
    h("span", {class: "sign", "aria-hidden": "true"}, glyph[f.level]), h("b", {}, f.level), " ", h("span", {class: "rule"}, f.rule.replaceAll("_", " ")), f.pulley ?? f.other ? h("span", {class: "of"}, f.pulley ?? f.other ?? "") : null,
    h("span", {class: "value"}, valueAgainstLimit(f)), f.at_rpm !== null ? h("span", {class: "at"}, `at ${show("rpm", f.at_rpm)} rpm${f.state ? `, ${f.state}` : ""}`) : null,
    h("span", {class: "text"}, f.text), f.source ? h("small", {}, f.source) : null), remedy(f, `try${i}`)));
  renew(root, tried, h("p", {class: "hint", "aria-busy": String(stale)}, stale ? "Checking the full rev range…" : findings.length ? "The complete build: belt, arm, slip, motion, air, clearance, fitting and hardware, from idle to redline in all cases. Select a finding to see its part in the very case that it was found in." : "No findings for belt, arm, slip, motion, air, clearance, fitting and hardware, from idle to redline in all cases."),
    cautionList(cautions.filter((c) => c.advised)), h("ol", {class: stale ? "findings stale" : "findings"}, ...items), notJudgedList(notJudged));
}

/** What the verdict leaves out: a shaft whose highest speed the file does not give is never too fast. */
export function notJudgedList(notJudged: NotJudged[]): HTMLElement | null {
  return notJudged.length ? h("section", {class: "not-judged"}, h("p", {class: "hint"}, "Not judged, because the file does not give the key in brackets:"), h("ul", {}, ...notJudged.map((n) => h("li", {}, n.text)))) : null;
}

// ---- planes: the drive from the side ---------------------------------------------------------------------------------

export function planesPanel(root: HTMLElement, shape: Shape | null, findings: Finding[]): void {
  if (!shape) return;
  const zs = shape.pulleys.flatMap((p) => [p.plane_mm - p.width_mm / 2, p.plane_mm + p.width_mm / 2]);
  const low = Math.min(-20, ...zs) - 15, high = Math.max(20, ...zs) + 15;
  const ROW = 26, W = 560, left = 92, k = (W - left - 12) / (high - low), H = ROW * (shape.pulleys.length + 1) + 26;
  const x = (z: number): number => left + (z - low) * k;
  const svg = s("svg", {viewBox: `0 0 ${W} ${H}`, class: "planes", role: "img", "aria-label": "Side view: position of each pulley along the crank axis, in belt order"});
  const order = [...shape.pulleys, shape.pulleys[0]];
  svg.append(s("path", {class: "axis", d: `M${x(0)} 4V${H - 20}`}));
  order.forEach((p, i) => {
    const y = 14 + i * ROW, last = i === order.length - 1;
    svg.append(s("text", {x: left - 8, y: y + 4, "text-anchor": "end", class: last ? "again" : ""}, p.name),
      s("rect", {class: `plane ${p.side}${p.name === store.selected ? " chosen" : ""}`, x: x(p.plane_mm - p.width_mm / 2), y: y - 7, width: Math.max(2, p.width_mm * k), height: 14}));
    if (!last) svg.append(s("path", {class: "run", d: `M${x(p.plane_mm)} ${y + 7}L${x(order[i + 1].plane_mm)} ${y + ROW - 7}`}));
  });
  for (const z of [low + 15, 0, high - 15]) svg.append(s("text", {x: x(z), y: H - 5, "text-anchor": "middle", class: "number"}, showUnit("length", z, 1)));
  const rows = shape.pulleys.map((p, i) => {
    const next = shape.pulleys[(i + 1) % shape.pulleys.length];
    return h("tr", {}, h("th", {scope: "row"}, h("button", {type: "button", class: "pick", "data-key": `pl-${p.name}`, onclick: () => store.select(p.name)}, p.name)), h("td", {}, show("length", p.plane_mm)),
      h("td", {}, `${show("length", next.plane_mm - p.plane_mm)} to ${next.name}`), h("td", {}, p.width_mm ? show("length", p.width_mm) : "–"));
  });
  const said = findings.filter((f) => /align|plane/.test(f.rule));
  renew(root, svg, h("table", {class: "ledger"}, h("thead", {}, h("tr", {}, h("th", {scope: "col"}, "pulley"), h("th", {scope: "col"}, "plane z", h("small", {}, unit("length").name)), h("th", {scope: "col"}, "offset to next", h("small", {}, unit("length").name)), h("th", {scope: "col"}, "width", h("small", {}, unit("length").name)))), h("tbody", {}, ...rows)),
    said.length ? h("ul", {class: "said"}, ...said.map((f) => h("li", {}, `${glyph[f.level]} ${f.level}: ${f.text}`))) : h("p", {class: "hint"}, "Set the plane of a pulley under Drive. z is positive towards the viewer."));
}

// ---- the text of the file --------------------------------------------------------------------------------------------

export function errorList(errors: FileError[], more: number, go: (m: FileError) => void): HTMLElement {
  return h("ol", {class: "errors"}, ...errors.map((m, i) => h("li", {}, h("button", {type: "button", "data-key": `m${i}`, onclick: () => go(m)},
    h("span", {class: "sign", "aria-hidden": "true"}, "✕"), h("b", {}, m.line ? `line ${m.line}, column ${m.column}` : "a change"), " ", h("code", {}, m.key), " ", m.message,
    m.got || m.need ? h("span", {class: "value"}, ` (${[m.got && `got ${m.got}`, m.need && `need ${m.need}`].filter(Boolean).join(", ")})`) : null))), more ? h("li", {}, `and ${more} more`) : null);
}

/** Placeholders, keys by names of before, and bare numbers in a file for inch units: read all the same, so folded away until someone wants to know. */
export function hintList(hints: FileError[], go: (m: FileError) => void): HTMLElement {
  const renamed = hints.filter((m) => m.message.startsWith("now called")).length;
  const left = hints.find((m) => m.message.includes("placeholder"));
  const lines = left ? Number(/^\d+/.exec(left.message)?.[0] ?? 1) : 0;
  const said = [lines === 1 ? "1 line has a placeholder" : lines ? `${lines} lines have placeholders` : "",
    hints.length > renamed + (left ? 1 : 0) ? "bare numbers are in metric units" : "",
    renamed === 1 ? "1 key has a new name" : renamed ? `${renamed} keys have new names` : ""].filter(Boolean).join("; ");
  return h("details", {class: "hints"}, h("summary", {}, said[0].toUpperCase() + said.slice(1)),
    h("ul", {}, ...hints.map((m, i) => h("li", {}, h("button", {type: "button", "data-key": `h${i}`, onclick: () => go({...m, got: m.key})},
      h("b", {}, m.line ? `line ${m.line}` : "a change"), " ", h("code", {}, m.key), ` ${m.message}`)))));
}
