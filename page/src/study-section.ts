// The section `search` of the file, as the panel needs it: what may move, and where; what must hold; what to gain.
import type {Edit} from "./edits";
import type {Entries, Written} from "./entries-types";
import {say, type Word} from "./study-words";
import type {Change, Shape, Value, Vec} from "./types";
import {lengthInFile, parse, show, showUnit, tidy} from "./units";

export type Room = {shape: "circle"; at: Vec; diameter: number} | {shape: "polygon" | "rectangle"; corners: Vec[]};
/** `range`: of a number, as the file writes it. */
export interface Move { what: string; path: string; room: Room | null; range: string[]; choose: string[]; step: string }
export interface Section { moves: Move[]; aims: string[]; hold: string; pulley: string }

/** Its last words that mean what moves; the rest is the pulley's name. */
const POINTS = ["at", "slot.from", "slot.to", "slot.centre", "arm.pivot"], NUMBERS = ["slot.radius", "arm.length", "arm.free", "diameter"];
const keyOf = (what: string): string => [...POINTS, ...NUMBERS].find((key) => what.endsWith(`.${key}`)) ?? "";
export const pulleyOfMove = (what: string): string => what.slice(0, what.length - keyOf(what).length - 1).replace(/^pulleys\./, "");
export const isPoint = (what: string): boolean => POINTS.includes(keyOf(what));
export const isAngle = (what: string): boolean => keyOf(what) === "arm.free";
export const partOf = (what: string): string => { const key = keyOf(what); return key ? say((key === "at" ? "centre" : key) as Word) : what; };
export const nameOf = (what: string): string => keyOf(what) ? `${pulleyOfMove(what)}: ${partOf(what)}` : what;

/** What of the drive may move, by the way its pulleys sit; the crank, which is the datum, last. */
export function movable(shape: Shape): string[] {
  const crank = (p: Shape["pulleys"][number]): number => Number(p.role === "crank");
  return [...shape.pulleys].sort((a, b) => crank(a) - crank(b)).flatMap((p) => [...(p.sits === "fixed" ? ["at"] : p.sits === "arm" ? ["arm.pivot", "arm.length", "arm.free"] : p.slot?.curved ? ["slot.centre", "slot.radius"] : ["slot.from", "slot.to"]), "diameter"].map((key) => `${p.name}.${key}`));
}
/** Where it is now. */
export function placeOf(shape: Shape, what: string): Vec | null {
  const p = shape.pulleys.find((one) => one.name === pulleyOfMove(what)), key = keyOf(what);
  if (!p) return null;
  return key === "at" ? p.centre_mm : key === "arm.pivot" ? p.arm?.pivot_mm ?? null : key === "slot.from" ? p.slot?.from_mm ?? null : key === "slot.to" ? p.slot?.to_mm ?? null : key === "slot.centre" ? p.slot?.centre_mm ?? null : null;
}

/** A length of the file in mm: a bare number has that unit. */
function mm(value: Written | Value | undefined): number { return typeof value === "number" ? value : typeof value === "string" ? parse("length", /[a-z"]/i.test(value) ? value : `${value} mm`) : NaN; }
function point(value: Written | Value | undefined): Vec { return Array.isArray(value) ? [mm(value[0]), mm(value[1])] : [NaN, NaN]; }
const isMap = (value: unknown): value is Record<string, Written> => typeof value === "object" && value !== null && !Array.isArray(value);
const texts = (value: Written | undefined): string[] => (Array.isArray(value) ? value : value === undefined ? [] : [value]).filter((one): one is string => typeof one === "string");

function roomOf(within: Written | undefined, changed: (below: string) => Value | undefined): Room | null {
  if (!isMap(within)) return null;
  const part = (key: string, of: Record<string, Written>): Written | Value | undefined => changed(key) ?? of[key.split(".")[1]];
  if (isMap(within.circle)) return {shape: "circle", at: point(part("circle.at", within.circle)), diameter: mm(part("circle.diameter", within.circle))};
  if (isMap(within.rectangle)) return {shape: "rectangle", corners: [point(part("rectangle.from", within.rectangle)), point(part("rectangle.to", within.rectangle))]};
  const corners = changed("polygon") ?? within.polygon;
  return Array.isArray(corners) ? {shape: "polygon", corners: corners.map(point)} : null;
}

/** @param over  changes that the answer of `entries` does not have yet */
export function sectionOf({entries}: Entries, over: Change[]): Section | null {
  const found = entries.find((one) => one.path === "search")?.value, changed = new Map(over.map((one) => [one.path, one.value]));
  if (!isMap(found)) return null;
  const moves = (Array.isArray(found.move) ? found.move : []).filter(isMap).map((one, i): Move => ({what: typeof one.what === "string" ? one.what : "", path: `search.move.${i}`,
    room: roomOf(one.within, (below) => changed.get(`search.move.${i}.within.${below}`)), range: texts(one.from).concat(texts(one.to)), choose: texts(one.choose), step: typeof one.step === "string" ? one.step : ""}));
  return {moves, aims: texts(found.aims), hold: typeof found.hold === "string" ? found.hold : "marginal", pulley: typeof found.pulley === "string" ? found.pulley : ""};
}

/** Where it may go, in words. */
export function whereWords(move: Move): string { return regionWords(move) + (move.step && say("step", {step: /[a-z"]/i.test(move.step) || isAngle(move.what) ? move.step : `${move.step} mm`})); }
function regionWords({room, range, choose}: Move): string {
  const at = (p: Vec): string => `${show("length", p[0], 1)}, ${show("length", p[1], 1)}`;
  if (choose.length) return say("choose", {list: choose.join(", ")});
  if (range.length) return say("range", {a: range[0], b: range[1] ?? "?"});
  if (!room) return say("noRegion");
  if (room.shape === "circle") return say("circle", {d: showUnit("length", room.diameter, 1), at: at(room.at)});
  return room.shape === "rectangle" ? say("rectangle", {a: at(room.corners[0]), b: at(room.corners[1])}) : say("corners", {n: room.corners.length});
}

// ---- into the file -------------------------------------------------------------------------------------------------------

const inFile = (p: Vec): Value => p.map((one) => lengthInFile(tidy(one)));
export function withinOf(room: Room): Value {
  return room.shape === "circle" ? {circle: {at: inFile(room.at), diameter: lengthInFile(tidy(room.diameter))}} : room.shape === "polygon" ? {polygon: room.corners.map(inFile)} : {rectangle: {from: inFile(room.corners[0]), to: inFile(room.corners[1])}};
}
/** Let something move, or give it other bounds. */
export function moveEdits(section: Section | null, what: string, bounds: {[key: string]: Value}): Edit[] {
  if (!section) return [{insert: [], before: "", key: "search", value: {move: [{what, ...bounds}], aims: ["worst grip"], hold: "today"}}];
  const was = section.moves.find((one) => one.what.replace(/^pulleys\./, "") === what);
  if (!was) return [{insert: "search.move", before: "", value: {what, ...bounds}}];
  return Object.entries(bounds).map(([key, value]) => ({set: `${was.path}.${key}`, value}));
}
/** The last one takes the section with it: without anything that moves there is none. */
export function removeEdits(section: Section, move: Move): Edit[] { return [{remove: section.moves.length > 1 ? move.path : "search"}]; }
/** What to gain; a pulley goes with two of the aims, and one of those needs it. */
export function aimEdits(section: Section, aims: string[], pulley: string): Edit[] {
  const wants = aims.includes("wrap") || (aims.includes("hub load") && pulley !== "");
  const edits: Edit[] = section.aims.join() === aims.join() ? [] : [{set: "search.aims", value: aims}];
  if (wants && pulley !== section.pulley) edits.push(section.pulley ? {set: "search.pulley", value: pulley} : {insert: "search", before: "", key: "pulley", value: pulley});
  if (!wants && section.pulley) edits.push({remove: "search.pulley"});
  return edits;
}
