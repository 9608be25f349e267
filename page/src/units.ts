// Metric or inch on the face; always SI-bound metric units towards the server.
import {measured} from "./typed";
import type {Change, Value} from "./types";

export type System = "mm" | "in";
export const MM_PER_INCH = 25.4;
interface Unit { name: string; factor: number; digits: number; zero?: number }
export type Kind = "length" | "force" | "torque" | "speed" | "power" | "heat" | "pressure" | "angle" | "rpm" | "frequency" | "plain" | "temperature" | "flow" | "percent" | "stress" | "preload";

const metric: Record<Kind, Unit> = {
  length: {name: "mm", factor: 1, digits: 2}, force: {name: "N", factor: 1, digits: 0},
  torque: {name: "N m", factor: 1, digits: 2}, speed: {name: "m/s", factor: 1, digits: 2},
  power: {name: "kW", factor: 1, digits: 2}, pressure: {name: "kPa", factor: 1, digits: 1},
  angle: {name: "deg", factor: 1, digits: 2}, rpm: {name: "rpm", factor: 1, digits: 0},
  frequency: {name: "Hz", factor: 1, digits: 1}, plain: {name: "", factor: 1, digits: 3},
  temperature: {name: "degC", factor: 1, digits: 1}, percent: {name: "%", factor: 1, digits: 1},
  heat: {name: "W", factor: 1, digits: 0}, flow: {name: "kg/s", factor: 1, digits: 3}, stress: {name: "MPa", factor: 1, digits: 0}, preload: {name: "kN", factor: 1, digits: 1},
};
// As src/base/shown_units.c has them; tests/page compares what is shown with what the program prints.
const inch: Record<Kind, Unit> = {
  ...metric,
  length: {name: "in", factor: 1 / MM_PER_INCH, digits: 4}, force: {name: "lbf", factor: 1 / 4.4482216152605, digits: 0},
  torque: {name: "lbf ft", factor: 1 / 1.3558179483314, digits: 2}, speed: {name: "ft/min", factor: 60 / 0.3048, digits: 0},
  power: {name: "hp", factor: 1 / 0.74569987158227, digits: 2}, pressure: {name: "psi", factor: 1 / 6.894757293168, digits: 2},
  temperature: {name: "degF", factor: 1.8, digits: 1, zero: 32}, flow: {name: "lb/min", factor: 60 / 0.45359237, digits: 1}, heat: {name: "hp", factor: 1 / 745.69987158227, digits: 3},
  stress: {name: "ksi", factor: 1 / 6.894757293168, digits: 1}, preload: {name: "lbf", factor: 1000 / 4.4482216152605, digits: 0},
};

let system: System = localStorage.getItem("snub:units") === "in" ? "in" : "mm";
/** The file's own units, where nobody has switched on this browser. @return whether they are others than before */
export function unitsOfFile(units: "us" | "metric" | undefined): boolean {
  const next: System = units === "us" ? "in" : "mm";
  if (units === undefined || localStorage.getItem("snub:units") || next === system) return false;
  system = next;
  return true;
}
/** What the server's sentences are to be in. */
export function serverUnits(): "us" | "metric" { return system === "in" ? "us" : "metric"; }
export function unitSystem(): System { return system; }
export function setUnitSystem(next: System): void { system = next; localStorage.setItem("snub:units", next); }
export function unit(kind: Kind): Unit { return (system === "in" ? inch : metric)[kind]; }

/** Places of a number whose metric form has `digits` of them. */
function places(kind: Kind, digits: number): number { return Math.max(0, digits + unit(kind).digits - metric[kind].digits); }

/** A number as shown, without its unit; an en dash where there is none. `digits` are those of the metric value. */
export function show(kind: Kind, value: number | null | undefined, digits?: number): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return "–";
  const {factor, digits: usual, zero} = unit(kind);
  const text = (value * factor + (zero ?? 0)).toFixed(digits === undefined ? usual : places(kind, digits));
  return text.replace(/^-(0(\.0+)?)$/, "$1").replace("-", "−");
}
/** The same with the unit behind it. An angle has the sign ° here; "deg" is for table heads, fields and files. */
export function showUnit(kind: Kind, value: number | null | undefined, digits?: number): string {
  const {name} = unit(kind), text = show(kind, value, digits);
  if (kind === "angle") return text === "–" ? text : `${text}°`;
  return name ? `${text} ${name}` : text;
}

/** A number in one of the server's units, and the unit, in the system that is on. */
export function inSystem(name: string, value: number): {value: number; name: string} {
  const kind = (Object.keys(metric) as Kind[]).find((one) => metric[one].name === name && name !== "");
  return kind ? {value: value * unit(kind).factor + (unit(kind).zero ?? 0), name: unit(kind).name} : {value, name};
}

/** A value with the server's own unit, shown in the system of units that is on. `decimals` are those of the metric value. */
export function showIn(name: string, value: number, decimals: number): string {
  const kind = (Object.keys(metric) as Kind[]).find((one) => metric[one].name === name && name !== "");
  if (!kind) return `${show("plain", value, decimals)}${name ? ` ${name}` : ""}`;
  return showUnit(kind, value, decimals);
}

const lengths: Record<string, number> = {mm: 1, cm: 10, m: 1000, in: MM_PER_INCH, inch: MM_PER_INCH, "\"": MM_PER_INCH, thou: 0.0254, ft: 304.8};
const angles: Record<string, number> = {deg: 1, "°": 1, rad: 180 / Math.PI};

let fileInches = false;
/** Units that the file itself is written in, whatever the face shows. */
export function noteFileUnits(units: "us" | "metric" | undefined): void { if (units !== undefined) fileInches = units === "us"; }
/** Keys whose bare numbers the page sets are lengths in mm. */
const lengthKeys = new Set(["at", "pivot", "length", "setting", "diameter", "plane", "from", "to", "centre", "radius", "polygon", "width"]);

/** A length for the file. One for inch units has the unit on each, since a bare number is in mm there too. */
export function lengthInFile(value_mm: number): Value { return fileInches ? `${Number((value_mm / MM_PER_INCH).toFixed(6))} in` : value_mm; }
/** Changes that the page makes of lengths in mm, as the file is to have them. A belt's length stays what it is sold by. */
export function changesInFile(changes: Change[]): Change[] {
  if (!fileInches) return changes;
  const one = (path: string, value: Value): Value => {
    if (Array.isArray(value)) return value.map((item) => one(path, item));
    if (typeof value !== "number" || !lengthKeys.has(path.split(".").at(-1) ?? "")) return value;
    return path === "belt.length" ? `${value} mm` : lengthInFile(value);
  };
  const isAngle = (change: Change): boolean => typeof change.value === "number" && /\.slot\.(from|to)$/.test(change.path); // the end of a curved slot
  return changes.map((change) => isAngle(change) ? change : ({path: change.path, value: one(change.path, change.value)}));
}

/** What a person typed, in mm or deg. A bare number is in the unit shown. NaN where it is no such number. */
export function parse(kind: "length" | "angle" | "rpm", text: string): number {
  let typed: {number: string; unit: string};
  try { typed = measured(text); } catch { return NaN; }
  const value = Number(typed.number), name = typed.unit.trim();
  if (!name) return value / unit(kind).factor;
  if (kind === "rpm") return name === "rpm" ? value : NaN;
  const factor = (kind === "length" ? lengths : angles)[name];
  return factor === undefined ? NaN : value * factor;
}

/** Tidy a value for the drive file: what was dragged carries no noise digits. */
export function tidy(value: number, step = 1e-4): number { return Number((Math.round(value / step) * step).toFixed(6)); }
