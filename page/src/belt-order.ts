// Pulleys added, taken off, moved along the belt, turned over to its other side, put into a slot and fixed again.
import {call} from "./api";
import {h} from "./dom";
import {asked, editFile} from "./edits";
import type {Entries} from "./entries-types";
import {pathOf} from "./geometry";
import {store} from "./store";
import type {Change, Shape, ShapePulley, Value, Vec} from "./types";
import {lengthInFile, tidy} from "./units";

let shapeNow: () => Shape | null = () => null;
export function bindBeltOrder(shape: () => Shape | null): void { shapeNow = shape; }

const IDLER_MM = 70, PRESS_MM = 8, SLOT_MM = 40;

function freeName(shape: Shape): string {
  for (let i = 1; ; i++) if (!shape.pulleys.some((one) => one.name === `idler ${i}`)) return `idler ${i}`;
}

/** Where an idler on the belt's back presses the span behind a pulley in by a little. */
function onSpan(shape: Shape, index: number): Vec | null {
  const path = pathOf(shape), next = (index + 1) % shape.pulleys.length;
  if (!path) return null;
  const a = path.leave[index], b = path.enter[next], u = path.u[index];
  const out: Vec = [-u[1] * shape.turn, u[0] * shape.turn], far = IDLER_MM / 2 + shape.belt.back_mm - PRESS_MM;
  return [tidy((a[0] + b[0]) / 2 + out[0] * far, 0.1), tidy((a[1] + b[1]) / 2 + out[1] * far, 0.1)];
}

function addAfter(shape: Shape, index: number): Promise<string | null> {
  const at = onSpan(shape, index), name = freeName(shape), next = shape.pulleys[index + 1];
  if (!at) return Promise.resolve("The belt does not fit around the pulleys: there is no span to put one on.");
  const value: Value = {name, side: "back", diameter: lengthInFile(IDLER_MM), at: at.map(lengthInFile)};
  return editFile([{insert: "pulleys", before: next?.name ?? "", value}], [], `added ${name}`).then((wrong) => { if (wrong === null) store.select(name); return wrong; });
}

/** Slot across the belt's corner, so that the pulley tightens the belt along it; where it stands now is its middle. */
function intoSlot(shape: Shape, index: number): Promise<string | null> {
  const n = shape.pulleys.length, p = shape.pulleys[index], path = pathOf(shape);
  if (!path) return Promise.resolve("The belt does not fit around the pulleys.");
  const a = path.u[(index + n - 1) % n], b = path.u[index], d: Vec = [a[0] - b[0], a[1] - b[1]], length = Math.hypot(d[0], d[1]) || 1;
  const end = (sign: number): Vec => [tidy(p.centre_mm[0] + sign * d[0] / length * SLOT_MM / 2, 0.01), tidy(p.centre_mm[1] + sign * d[1] / length * SLOT_MM / 2, 0.01)];
  const changes: Change[] = [{path: `${p.name}.slot.from`, value: end(-1)}, {path: `${p.name}.slot.to`, value: end(1)}, {path: `${p.name}.slot.setting`, value: SLOT_MM / 2}];
  return editFile([{remove: `${p.name}.at`}], changes, `${p.name} in a slot`);
}

async function fixed(p: ShapePulley): Promise<string | null> {
  const {body} = await call<Entries>("POST", "/api/entries", asked());
  const with_slot = ["fixed_tension", "retension", "clamp"].map((key) => `${p.name}.${key}`).filter((path) => body.entries.some((one) => one.path === path && one.value !== undefined && !one.part));
  return editFile([`${p.name}.slot`, ...with_slot].map((path) => ({remove: path})), [{path: `${p.name}.at`, value: [tidy(p.centre_mm[0], 0.01), tidy(p.centre_mm[1], 0.01)]}], `${p.name} fixed`);
}

/** The tools of one pulley; what they cannot do is said below them. */
export function beltOrderTools(p: ShapePulley): HTMLElement {
  const told = h("p", {class: "wrong", role: "alert"}), crank = p.role === "crank";
  const find = (): {shape: Shape; index: number; now: ShapePulley} | null => {
    const shape = shapeNow(), index = shape?.pulleys.findIndex((one) => one.name === p.name) ?? -1;
    return shape && index >= 0 ? {shape, index, now: shape.pulleys[index]} : null;
  };
  const button = (key: string, name: string, off: boolean, act: (at: {shape: Shape; index: number; now: ShapePulley}) => Promise<string | null> | null): HTMLElement =>
    h("button", {type: "button", "data-key": `tool-${key}`, disabled: off, onclick: () => {
      const at = find();
      told.textContent = "";
      void (at ? act(at) : null)?.then((wrong) => { told.textContent = wrong ?? ""; });
    }}, name);
  const step = (by: 1 | -1) => ({shape, index}: {shape: Shape; index: number}): Promise<string | null> => {
    const n = shape.pulleys.length, before = by < 0 ? shape.pulleys[index === 0 ? n : index - 1] : shape.pulleys[index + 2];
    const first = by > 0 && index === n - 1 ? shape.pulleys[0] : before;
    return editFile([{move: p.name, before: first?.name ?? ""}], [], `moved ${p.name} along the belt`);
  };
  return h("div", {class: "belt-order", role: "group", "aria-label": `${p.name} on the belt`},
    button("earlier", "Earlier on the belt", false, step(-1)), button("later", "Later on the belt", false, step(1)),
    button("side", p.side === "rib" ? "Put on the belt’s back" : "Put on the belt’s ribs", crank, () => { store.set(`${p.name}.side`, p.side === "rib" ? "back" : "rib", `side of ${p.name}`); return null; }),
    p.sits === "slot" ? button("fix", "Fix in its position", false, ({now}) => fixed(now)) : p.sits === "fixed" ? button("slot", "Put into a slot", crank, ({shape, index}) => intoSlot(shape, index)) : null,
    button("add", "Add an idler after it", false, ({shape, index}) => addAfter(shape, index)),
    button("remove", "Remove", false, () => editFile([{remove: p.name}], [], `removed ${p.name}`).then((wrong) => { if (wrong === null) store.select(null); return wrong; })), told);
}
