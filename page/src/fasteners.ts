// Bolts and brackets in the drawing, each with the worst that is found of it.
import {s} from "./dom";
import {BOLT_CROSS, circle} from "./geometry";
import type {Finding, Level, Shape, Thing} from "./types";

const rank: Record<Level, number> = {pass: 0, note: 1, marginal: 2, fail: 3};
export const worst = (all: Finding[]): Finding | undefined => [...all].sort((a, b) => rank[b.level] - rank[a.level])[0];
/** What findings call a bolt, a part or a pulley. */
export function speaks(f: Finding, t: Thing): boolean {
  if (t.mount) return f.other === (t.part ? `${t.mount}, ${t.part}` : t.mount);
  return f.pulley === (t.pulley ?? "") && (!t.part || f.other === t.part);
}
/** Fail or marginal, as the marks of the front view have it. */
export function levelFor(findings: Finding[], t: Thing): Level | null {
  const level = worst(findings.filter((f) => speaks(f, t)))?.level;
  return level === "fail" || level === "marginal" ? level : null;
}

/** Bolts and brackets as they are seen from the front. */
export function drawFasteners(group: SVGGElement, shape: Shape, findings: Finding[]): void {
  const levelOf = (mount: string, part?: string): string => levelFor(findings, {mount, part}) ?? "";
  const key = JSON.stringify(shape.mounts.map((m) => [m, levelOf(m.name), ...m.bolts.map((b) => levelOf(m.name, b.name))]));
  if (group.dataset.of === key) return;
  group.dataset.of = key;
  group.replaceChildren(...shape.mounts.flatMap((m) => [m.corners_mm.length ? s("path", {class: `bracket ${levelOf(m.name)}`, d: `M${m.corners_mm.map((c) => c.join(" ")).join("L")}Z`}, s("title", {}, m.name)) : null,
    ...m.bolts.map((b) => { const [x, y] = b.at_mm, r = b.head_mm / 2, c = b.head_mm * BOLT_CROSS; return s("path", {class: `bolt ${levelOf(m.name, b.name)}`, d: `${circle([x, y], r)}M${x - c} ${y}h${2 * c}M${x} ${y - c}v${2 * c}`}, s("title", {}, `${b.name} of ${m.name}`)); })]).filter((one): one is SVGPathElement => one !== null));
}
