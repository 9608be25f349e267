// Limits of curves: those in force for the file, as the server's shape has them.
import type uPlot from "uplot";
import {em, h} from "./dom";
import type {Shape} from "./types";
import {show, showUnit} from "./units";

/** In metric units, as the curves come. */
export interface LimitLine { name: string; value: number }

export function limitsOf(kind: string, shape: Shape | null): LimitLine[] {
  if (!shape) return [];
  const {limits, belt, pulleys} = shape, arm = pulleys.find((p) => p.arm)?.arm;
  if (kind === "grip") return [{name: `limit, grip ${show("plain", limits.grip_design, 2)}`, value: limits.grip_design}];
  if (kind === "tension") return [{name: `limit, ${belt.ribs} ribs at ${showUnit("force", limits.rib_tension)}`, value: limits.rib_tension * belt.ribs}];
  if (kind === "hub") return pulleys.filter((p) => p.max_hub_N !== null).map((p) => ({name: `limit of ${p.name}, ${showUnit("force", p.max_hub_N)}`, value: p.max_hub_N as number}));
  if (kind === "turn") return pulleys.filter((p) => p.max_speed_rpm !== null).map((p) => ({name: `limit of ${p.name}, ${showUnit("rpm", p.max_speed_rpm)}`, value: p.max_speed_rpm as number}));
  if (kind === "speed") return [{name: `limit, ${showUnit("speed", limits.belt_speed)}`, value: limits.belt_speed}];
  if (kind === "arm" && arm) return [{name: "free position", value: 0}, {name: `stop, ${showUnit("angle", arm.travel_deg)}`, value: arm.travel_deg}];
  return [];
}

/** Both the curves and their limits are in sight. @return of the y axis, in the unit shown */
export function rangeWith(lines: LimitLine[], factor: number, library: typeof uPlot): (plot: uPlot, low: number, high: number) => [number, number] {
  return (_plot, low, high) => {
    const values = lines.map((l) => l.value * factor), from = Math.min(low ?? 0, ...values), to = Math.max(high ?? 1, ...values);
    return library.rangeNum(from, to, 0.08, true) as [number, number];
  };
}

/** Dashed across the plot, each with its words above it, to the left or to the right in turn. */
export function drawLimits(plot: uPlot, lines: LimitLine[], factor: number): void {
  const style = getComputedStyle(document.documentElement), pen = plot.ctx, ratio = (devicePixelRatio || 1) * em(), {left, width} = plot.bbox;
  pen.save();
  pen.strokeStyle = pen.fillStyle = style.getPropertyValue("--ink").trim();
  pen.lineWidth = 2 * ratio;
  pen.setLineDash([9 * ratio, 4 * ratio]);
  pen.font = `600 ${11 * ratio}px system-ui, sans-serif`;
  pen.textBaseline = "bottom";
  lines.forEach((line, i) => {
    const y = Math.round(plot.valToPos(line.value * factor, "y", true)); // a whole pixel: no grey line
    pen.beginPath();
    pen.moveTo(left, y);
    pen.lineTo(left + width, y);
    pen.stroke();
    pen.textAlign = i % 2 ? "right" : "left";
    pen.fillText(line.name, i % 2 ? left + width - 4 * ratio : left + 4 * ratio, y - 2 * ratio);
  });
  pen.restore();
}

/** The same in words, for those who do not see the plot. */
export function limitWords(lines: LimitLine[]): HTMLElement | null {
  return lines.length ? h("p", {class: "hint limits"}, `Dashed across: ${lines.map((l) => l.name).join("; ")}.`) : null;
}
