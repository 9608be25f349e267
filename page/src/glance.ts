// State at a glance, above the drawing: verdict, belt, boost, blower speed, the worst finding. What was judged before is
// never shown as if it were of now: it is dimmed, and words say what it is of.
import {byId, h, put, renew} from "./dom";
import {glyph} from "./drawing";
import {valueAgainstLimit} from "./panels";
import type {BlowerFigures, Check, Finding, Level, NotJudged} from "./types";
import {showUnit} from "./units";

/** Head word of the bench; findings keep the program's own words. */
export const heads: Record<Level, string> = {pass: "PASS", note: "PASS", marginal: "WATCH", fail: "FAIL"};

/** What the last whole answer judged. */
export interface Judged { verdict: Level | null; blower: BlowerFigures | null; findings: Finding[] | null; notJudged: NotJudged[] }
/** Since then: nothing, a hand that moves, a change that is not judged yet, a file with errors, a server that is gone. */
export type Since = "now" | "move" | "change" | "errors" | "lost";

const words: Record<Since, string> = {
  now: "", move: "of before the move", change: "of before the change; being checked", errors: "of the last file without errors",
  lost: "of before the server was lost",
};

export function worstOf(findings: Finding[] | null): Finding | null {
  return findings?.find((f) => f.level === "fail" || f.level === "marginal") ?? null;
}

/** A finding in one line: rule, what it is about, value and limit, and the sentence. */
function lineOf(f: Finding): string {
  const of = f.pulley ?? f.other ?? "", value = valueAgainstLimit(f);
  return `${glyph[f.level]} ${f.level}: ${f.rule.replaceAll("_", " ")}${of ? `, ${of}` : ""}${value ? `: ${value}` : ""}. ${f.text}`;
}

function countsOf(findings: Finding[] | null): string {
  if (!findings) return "";
  return findings.length ? `${findings.length} ${findings.length === 1 ? "note" : "notes"}, nothing worse` : "No findings";
}

export class Glance {
  private worst: Finding | null = null;
  constructor(go: (f: Finding) => void) {
    byId("worst").addEventListener("click", () => { if (this.worst) go(this.worst); });
  }
  show(judged: Judged, since: Since, check: Check | null, belt: string): void {
    const {verdict, blower} = judged, box = byId("verdict"), line = byId<HTMLButtonElement>("worst");
    const old = since !== "now";
    put(byId("glance"), "data-of", old ? "before" : "now");
    put(box, "class", verdict ?? "");
    text(box, verdict ? `${glyph[verdict]} ${heads[verdict]}` : "");
    text(byId("verdict-of"), old && verdict === null ? "being checked" : words[since]);
    text(byId("designation"), check?.build.own_number ?? belt);
    put(byId("designation"), "title", check?.build.own_number ? `Own number of the belt ${belt}` : "Belt of this build");
    this.worst = worstOf(judged.findings);
    put(line, "class", this.worst?.level ?? "");
    line.disabled = !this.worst;
    text(line, this.worst ? lineOf(this.worst) : countsOf(judged.findings));
    line.hidden = line.textContent === "";
    put(line, "title", this.worst ? "The worst finding. Select it to see its part and its case." : "");
    const figures: [string, string][] = blower ? [["Boost at redline", showUnit("pressure", blower.boost_kPa)], [`${blower.name} at redline`, showUnit("rpm", blower.pulley_rpm)]] : [];
    if (byId("figures").textContent !== figures.flat().join("")) renew(byId("figures"), ...figures.map(([name, value]) => h("div", {}, h("dt", {}, name), h("dd", {}, value))));
  }
}
function text(element: Element, value: string): void { if (element.textContent !== value) element.textContent = value; }

/** Which case the drawing and the numbers show, with the way back; null: the normal view. */
export function showCase(state: string | null, back: () => void): void {
  const box = byId("shown");
  box.hidden = state === null;
  if (state === null) { box.replaceChildren(); return; }
  if (box.querySelector("span")?.textContent === `Shown: ${state}`) return;
  box.replaceChildren(h("span", {}, `Shown: ${state}`), h("button", {type: "button", id: "shown-back", title: "Back to the normal view (Esc)", onclick: back}, "Back to normal view"));
}
