// The steps that a hand snaps to: round in the unit shown.
import {byId, h} from "./dom";
import {MM_PER_INCH, unitSystem} from "./units";

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
