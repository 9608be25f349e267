// The steps that a hand snaps to: round in the unit shown.
import {byId, h} from "./dom";
import type {Vec} from "./types";
import {MM_PER_INCH, tidy, unitSystem} from "./units";

const steps = {mm: [0.01, 0.1, 0.5, 1, 5], in: [0.001, 0.005, 0.01, 0.05, 0.25]};
const USUAL = 3;

/** The choice in the unit shown; the same place in the list stays chosen. */
export function fillSnap(): void {
  const select = byId<HTMLSelectElement>("snap"), at = select.selectedIndex < 0 ? USUAL : select.selectedIndex, name = unitSystem();
  select.replaceChildren(...steps[name].map((step) => h("option", {value: step}, `${step} ${name}`)));
  select.selectedIndex = at;
}
/** mm; `fine`: the least there is. */
export function snapStep(fine = false): number {
  const name = unitSystem();
  return steps[name][fine ? 0 : byId<HTMLSelectElement>("snap").selectedIndex] * (name === "in" ? MM_PER_INCH : 1);
}
/** A length on the step, mm, as the file is to have it. */
export function onStep(value: number, step: number): number { return tidy(Math.round(value / step) * step); }
/** A place on the grid of the step. */
export function snapped(p: Vec, step: number): Vec { return [onStep(p[0], step), onStep(p[1], step)]; }
