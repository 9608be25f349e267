// The library of curves: a script of its own, sent when curves are first drawn.
import type uPlot from "uplot";

let tries = 0;
/** Under another name each time: a browser does not ask again for a script that it once could not have. */
export async function plotLibrary(): Promise<typeof uPlot> { return ((await import(`/plot.js${tries++ ? `?${tries}` : ""}`)) as {default: typeof uPlot}).default; }
