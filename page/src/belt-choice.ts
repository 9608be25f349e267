// The belts of the stock next to the one on the drive, and ribs more or fewer: a click takes one.
import {h, renew} from "./dom";
import {store} from "./store";
import type {Shape} from "./types";
import {showUnit} from "./units";

/** @return the row, and what brings it up to date with an answer */
export function beltChoice(): {element: HTMLElement; update: (shape: Shape) => void} {
  const element = h("div", {class: "belt-order belt-choice", role: "group", "aria-label": "Belts of the stock"});
  let was = "";
  const update = ({belt}: Shape): void => {
    const now = JSON.stringify([belt.stock, belt.length_mm, belt.length_given, belt.ribs, showUnit("length", 1)]);
    if (now === was) return;
    was = now;
    const one = ({length_mm, designation}: Shape["belt"]["stock"][number]): HTMLElement => {
      const on = belt.length_mm !== null && Math.abs(length_mm - belt.length_mm) < 1e-6;
      return h("button", {type: "button", "data-key": `stock-${designation}`, "aria-pressed": String(on), title: showUnit("length", length_mm, 1), onclick: () => store.set("belt.length", length_mm, `belt ${designation}`)}, designation);
    };
    const ribs = (by: 1 | -1): HTMLElement => h("button", {type: "button", "data-key": `ribs-${by}`, disabled: belt.ribs + by < 1, onclick: () => store.set("belt.ribs", belt.ribs + by, `${belt.ribs + by} ribs`)}, by < 0 ? "One rib fewer" : "One rib more");
    renew(element, ...belt.stock.map(one), belt.length_given && belt.stock.length ? h("button", {type: "button", "data-key": "stock-open", onclick: () => store.set("belt.length", null, "belt left to snub")}, "Let snub choose") : null, ribs(-1), ribs(1));
  };
  return {element, update};
}
