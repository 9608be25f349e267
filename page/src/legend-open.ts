// The button of the legend, whose words and samples are sent when it is first opened.
import {byId} from "./dom";
import {Later, type Part} from "./later";

/** Made when it is opened first. */
export function bindLegend(): Part {
  const box = byId("legend"), button = byId("legend-open"), legend = new Later(() => import("./legend"), ({fillLegend}) => { fillLegend(box); return true; });
  const show = (open: boolean): void => { box.hidden = !open; button.setAttribute("aria-expanded", String(open)); };
  button.addEventListener("click", () => { const open = box.hidden; void legend.want().then(() => show(open)); });
  for (const one of [box, button]) one.addEventListener("keydown", (event) => { if (event.key === "Escape" && !box.hidden) { event.preventDefault(); event.stopPropagation(); show(false); button.focus(); } });
  return legend;
}
