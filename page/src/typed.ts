// What a person types for a key of the drive file, as the value that is written there.
import type {Bounds, FileKey, Written} from "./entries-types";
import type {Value} from "./types";

export class Mistyped extends Error {}

const NUMBER = String.raw`[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?`;
const whole = new RegExp(`^(${NUMBER})\\s*(.*)$`);
const fraction = /^([-+]?)(?:(\d+)(?:\s+|-))?(\d+)\/(\d+)\s*(.*)$/;
const comma = /^([-+]?\d+),(\d+)(?![\d.,])\s*(.*)$/;

/** "3,15" as 3.15. One comma with three digits behind it may part thousands: that is for the writer to say. */
function withPoint(text: string): string {
  const found = comma.exec(text);
  if (!found) return text;
  const [, head, tail, rest] = found;
  if (tail.length === 3 && !/^[-+]?0+$/.test(head)) throw new Mistyped(`Write ${head}.${tail} or ${head}${tail}: a comma before three digits may be either.`);
  return `${head}.${tail} ${rest}`.trim();
}

/** Number and unit of what was typed: "3 1/4 in" is 3.25 and "in". */
export function measured(typed: string): {number: string; unit: string} {
  const text = withPoint(typed.trim().replace(/[−–]/g, "-"));
  const parts = fraction.exec(text);
  if (parts) {
    const [, sign, units, over, under, unit] = parts;
    if (Number(under) === 0) throw new Mistyped("A fraction has no 0 below its line.");
    const size = Number(units ?? 0) + Number(over) / Number(under);
    return {number: String(Number(`${sign}${size.toFixed(6)}`)), unit};
  }
  const found = whole.exec(text);
  if (!found) throw new Mistyped("Enter a number, with its unit where you like.");
  return {number: found[1], unit: found[2]};
}

/** A number for the file. In a file for inch units a bare one gets the unit that is shown beside its entry. */
function numberOf(typed: string, bounds: Bounds, us: boolean, needsUnit: boolean): Value {
  const {number, unit} = measured(typed), own = bareUnit(bounds, us);
  /* a tolerance, "3.15 +- 0.004": the number before it is bare, and typed in the unit that is shown */
  if (/^[+±-]/.test(unit)) return needsUnit || own !== (bounds.unit ?? "") ? `${number} ${own} ${unit}` : `${number} ${unit}`;
  if (unit) return `${number} ${unit}`;
  return needsUnit || own !== (bounds.unit ?? "") ? `${number} ${own}` : Number(number);
}

/** Unit in which a bare number is typed. */
export function bareUnit(bounds: Bounds, us: boolean): string { return (us ? bounds.us_unit : bounds.unit) ?? ""; }

/** "8 in; 1.5 in", "8, 1.5", "[8, 1.5]". With a semicolon a comma is a decimal one. */
function split(text: string): string[] {
  const bare = text.trim().replace(/^\[|\]$/g, "");
  return bare.split(bare.includes(";") ? ";" : ",").map((one) => one.trim()).filter((one) => one !== "");
}
function rowsOf(text: string): string[] { return text.split("\n").map((row) => row.trim()).filter((row) => row !== ""); }

function pair(text: string, key: FileKey, us: boolean): Value[] {
  const parts = split(text);
  if (parts.length !== 2) throw new Mistyped("Enter two values, such as 120, 45; with decimal commas: 12,5; 45.");
  return parts.map((part, i) => numberOf(part, i && key.second ? key.second : key, us, false));
}

/** A scalar of a list whose items have forms of their own: a number where it is one. */
function plain(text: string): Value {
  const number = Number(text);
  return text !== "" && Number.isFinite(number) ? number : text;
}

/** The value for the file; null leaves the key out. @throws Mistyped */
export function valueOf(key: FileKey, typed: string, us: boolean): Value {
  if (typed.trim() === "") return null;
  switch (key.kind) {
    case "number": case "whole number": return numberOf(typed, key, us, Boolean(key.unit_needed));
    case "number or range": {
      const parts = typed.includes("[") || typed.includes(";") ? split(typed) : [typed];
      return parts.length === 1 ? numberOf(parts[0], key, us, false) : parts.map((part) => numberOf(part, key, us, false));
    }
    case "point": return pair(typed, key, us);
    case "numbers": return split(typed).map((part) => numberOf(part, key, us, false));
    case "table": return rowsOf(typed).map((row) => pair(row, key, us));
    case "list": return rowsOf(typed).map((row) => split(row).map(plain));
    case "true or false": return typed === "true";
    default: return typed;
  }
}

/** The value as it stands in its entry; valueOf reads it back. */
export function shownValue(key: FileKey, value: Written | undefined): string {
  if (value === undefined) return "";
  const flat = (one: Written): string => Array.isArray(one) ? one.map(flat).join(", ") : typeof one === "object" ? Object.entries(one).map(([name, inner]) => `${name}: ${flat(inner)}`).join(", ") : one;
  if (key.kind === "number or range" && Array.isArray(value)) return `[${flat(value)}]`;
  if ((key.kind === "table" || key.kind === "list") && Array.isArray(value)) return value.map(flat).join("\n");
  if (key.kind === "true or false" && typeof value === "string") return /^(true|yes|True)$/.test(value) ? "true" : "false";
  return flat(value);
}
