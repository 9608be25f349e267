// "Try this": the change that a finding's words propose, made as one step that can be undone, with before and after.
import {h} from "./dom";
import {glyph} from "./drawing";
import {heads, worstOf, type Judged} from "./glance";
import {valueAgainstLimit} from "./panels";
import {store, withChanges} from "./store";
import type {Change, Finding, Value} from "./types";
import {inSystem} from "./units";

interface Tried { finding: Finding; what: string; before: Judged; after: Judged | null; state: unknown }
let tried: Tried | null = null;

const shown = (value: Value): string => (typeof value === "number" ? lengthWords(value) : Array.isArray(value) ? value.map(shown).join(", ") : String(value));
/** Bare numbers that are proposed are lengths in mm. */
function lengthWords(value: number): string { const {value: number, name} = inSystem("mm", value); return `${Number(number.toPrecision(6))} ${name}`; }
const changeWords = (changes: Change[]): string => changes.map((c) => `${c.path}: ${shown(c.value)}`).join("; ");

/** One step of the work; the whole answer that follows fills in what came of it. */
export function tryRemedy(f: Finding, judged: Judged): void {
  const what = `try ${changeWords(f.changes)}`;
  tried = {finding: f, what, before: judged, after: null, state: null};
  store.commit({changes: withChanges(store.now.changes, f.changes)}, what);
  tried.state = store.now;
}
/** The work as it stands now was judged. */
export function remedyJudged(judged: Judged): void { if (tried && store.now === tried.state) tried.after = judged; }
function forgetRemedy(): void { tried = null; }

export function remedyButton(f: Finding, key: string, act: () => void): HTMLElement | null {
  return f.changes?.length ? h("button", {type: "button", class: "try", "data-key": key, onclick: act}, h("b", {}, "Try this"), ` ${changeWords(f.changes)}`) : null;
}

/** The same finding of the other state: by rule and what it is about. */
function same(judged: Judged, f: Finding): Finding | null {
  return judged.findings?.find((one) => one.rule === f.rule && one.pulley === f.pulley && one.other === f.other) ?? judged.findings?.find((one) => one.rule === f.rule && one.level === f.level && one.rule !== "repair") ?? null;
}

/** Before and after, while the work stands where the change left it. */
export function remedyTable(redraw: () => void): HTMLElement | null {
  if (!tried || store.now !== tried.state) return null;
  const {finding, what, before, after} = tried;
  const verdict = (j: Judged): string => (j.verdict ? `${glyph[j.verdict]} ${heads[j.verdict]}` : "–");
  const worst = (j: Judged): string => { const f = worstOf(j.findings); return f ? `${glyph[f.level]} ${f.rule.replaceAll("_", " ")}${f.pulley ? `, ${f.pulley}` : ""}` : "nothing worse than notes"; };
  const value = (j: Judged): string => { const f = same(j, finding); return f ? valueAgainstLimit(f) || f.level : "not found any more"; };
  const row = (name: string, of: (j: Judged) => string): HTMLElement => h("tr", {}, h("th", {scope: "row"}, name), h("td", {}, of(before)), h("td", {}, after ? of(after) : "being checked"));
  return h("div", {class: "tried", role: "status"}, h("p", {}, h("b", {}, "Tried: "), what.replace(/^try /, "")),
    h("table", {}, h("thead", {}, h("tr", {}, h("th", {}, h("span", {class: "hidden"}, "what")), h("th", {scope: "col"}, "before"), h("th", {scope: "col"}, "after"))),
      h("tbody", {}, row("verdict", verdict), row("worst finding", worst), row(finding.rule.replaceAll("_", " "), value))),
    h("p", {}, h("button", {type: "button", "data-key": "try-undo", onclick: () => { forgetRemedy(); store.undo(); }}, "Undo it"), " ", h("button", {type: "button", "data-key": "try-keep", onclick: () => { forgetRemedy(); redraw(); }}, "Keep it")));
}
