// The library of curves: a script of its own, sent when curves are first drawn.
import type uPlot from "uplot";
import {script} from "./later";

export async function plotLibrary(): Promise<typeof uPlot> { return (await script<{default: typeof uPlot}>("/plot.js")).default; }
