// What `snub mount` says of the build on the bench: bolts, standoffs, brackets, bearings, each with limit and finding.
import "./shared";
import {h, renew} from "./dom";
import {glyph} from "./drawing";
import {speaks, worst} from "./fasteners";
import type {Since} from "./glance";
import {store} from "./store";
import type {Finding, Hardware} from "./types";
import {show, unit, type Kind} from "./units";

type Row = Record<string, number | string | boolean | null>;
/** `own`: the key of the row's own limit. */
interface Column { title: string; kind?: Kind; unit?: string; digits?: number; key: string; scale?: number; limit?: string; own?: string }
interface Line { name: string; pulley: string | null; row: Row; findings: Finding[] }

const number = (row: Row, key: string): number | null => typeof row[key] === "number" ? row[key] as number : null;
function cell(row: Row, c: Column): string {
  const value = number(row, c.key), own = c.own ? number(row, c.own) : null, text = (x: number | null): string => show(c.kind ?? "plain", x === null ? null : x * (c.scale ?? 1), c.digits);
  return typeof row[c.key] === "string" ? String(row[c.key]) : own === null ? text(value) : `${text(value)} of ${text(own)}`;
}

function table(title: string, what: string, columns: Column[], lines: Line[], go: (f: Finding) => void): HTMLElement | null {
  if (!lines.length) return null;
  const heads = columns.map((c) => h("th", {scope: "col"}, c.title, h("small", {}, [c.kind && c.kind !== "plain" ? unit(c.kind).name : c.unit ?? "", c.limit ?? ""].filter(Boolean).join(" "))));
  const rows = lines.flatMap(({name, pulley, row, findings}, i) => {
    const level = worst(findings)?.level, sign = h("span", {class: `sign ${level ?? ""}`, "aria-hidden": "true"}, level && level !== "note" ? glyph[level] : "");
    const key = `hw-${title}-${name}`, head = pulley === null ? h("span", {class: "pick"}, sign, name) : h("button", {type: "button", class: "pick", "data-key": key, onclick: () => store.select(pulley)}, sign, name);
    const said = findings.map((f, k) => h("button", {type: "button", class: `said-of ${f.level}`, "data-key": `${key}-${i}-${k}`, title: f.text, onclick: () => go(f)}, `${glyph[f.level]} ${f.level}: ${f.text.split(/(?<=\.) (?=[A-Z])/)[0]}`));
    return [h("tr", {"data-row": `${title}: ${name}`, class: pulley !== null && pulley === store.selected ? "chosen" : ""}, h("th", {scope: "row"}, head), ...columns.map((c) => h("td", {"data-of": c.key}, cell(row, c)))),
      said.length ? h("tr", {class: "said-row"}, h("td", {colspan: columns.length + 1}, ...said)) : null];
  });
  return h("div", {class: "scroll", tabindex: 0, role: "region", "aria-label": title}, h("table", {class: "ledger hardware"}, h("caption", {}, title), h("thead", {}, h("tr", {}, h("th", {scope: "col"}, what), ...heads)), h("tbody", {}, ...rows)));
}

const N: Partial<Column> = {kind: "force", digits: 0}, safe = (hw: Hardware): string => `least ${hw.limits.safety[0]}, ${hw.limits.safety[1]} wanted`;
const at = (title: string, key: string, more: Partial<Column> = {}): Column => ({title, key, ...more});

/** Why nothing is there, where that is not because the answer is on its way. */
const unanswered: {[since in Since]?: string} = {
  lost: "snub’s server does not answer, so that the hardware cannot be checked. It is checked as soon as the server is back.",
  errors: "The file has errors. The hardware is checked once they are mended.",
};

export function hardwarePanel(root: HTMLElement, hw: Hardware | null, findings: Finding[], go: (f: Finding) => void, since: Since): void {
  if (!hw) { renew(root, h("p", {class: "hint", role: "status"}, unanswered[since] ?? "Checking the hardware…")); return; }
  const slip = {digits: 2, limit: `most ${hw.limits.slip_used[0]}, ${hw.limits.slip_used[1]} wanted`}, safety = {digits: 2, limit: safe(hw)}, proof = {digits: 2, limit: `least ${hw.limits.proof_safety}`}, life = {unit: "h", digits: 0, limit: `least ${hw.limits.life_h}`};
  const torque = at("torque", "torque_N_m", {kind: "torque", digits: 1}), stress = at("stress", "stress_MPa", {kind: "stress"}), engaged = at("thread", "engagement_mm", {kind: "length", digits: 1, own: "engagement_needed_mm"});
  const of = (key: "standoff" | "strip" | "slot" | "bearing", rule: RegExp, part?: string): Line[] => hw.pulleys.flatMap((p) => {
    const row = p[key];
    return row ? [{name: p.name, pulley: p.name, row, findings: findings.filter((f) => f.area === "hardware" && f.pulley === p.name && (rule.test(f.rule) || (part !== undefined && f.other === row[part])))}] : [];
  });
  const bolts = hw.mounts.map((m) => table(`Bolts of ${m.name}`, "bolt", [at("size", "size"), torque, at("friction used", "slip_used", slip), at("proof", "proof_safety", proof), at("fatigue", "fatigue_safety", safety), at("opens", "separation_safety", safety),
    stress, at("shear", "shear_N", N), at("pull", "pull_N", N), at("preload", "preload_N", {kind: "preload", scale: 1e-3}), engaged, at("head presses", "head_pressure_MPa", {kind: "stress", own: "head_pressure_limit_MPa"}), at("tightened", "order", {digits: 0})],
    m.bolts.map((row): Line => ({name: String(row.name), pulley: null, row: {...row, size: [row.thread, row.class].filter(Boolean).join(" ")}, findings: findings.filter((f) => speaks(f, {mount: m.name, part: String(row.name)}))})), go));
  const loose = hw.mounts.flatMap((m) => findings.filter((f) => f.area === "hardware" && f.other === m.name && !f.pulley));
  const guided = hw.pulleys.filter((p) => p.plane.guides).map((p): Line => ({name: p.name, pulley: p.name, row: p.plane, findings: findings.filter((f) => f.area === "hardware" && f.pulley === p.name && /misalign|flange|lip|overhang/.test(f.rule))}));
  const deg: Partial<Column> = {kind: "angle", digits: 3};
  renew(root, ...bolts, loose.length ? h("ul", {class: "said"}, ...loose.map((f, i) => h("li", {}, h("button", {type: "button", class: `said-of ${f.level}`, "data-key": `loose${i}`, onclick: () => go(f)}, `${glyph[f.level]} ${f.level}: ${f.text}`)))) : null,
    table("Standoffs under the worst hub load", "pulley", [at("moment", "moment_N_m", {kind: "torque", digits: 1, own: "opens_at_N_m"}), torque, at("friction used", "slip_used", slip), at("bolt's stress", "stress_MPa", {kind: "stress"}), at("proof", "proof_safety", proof), at("fatigue", "fatigue_safety", safety), at("leans", "slope_arcmin", {unit: "arcmin", digits: 2}), engaged, at("face presses", "face_pressure_MPa", {kind: "stress", own: "face_pressure_limit_MPa"})], of("standoff", /^standoff/), go),
    table("Bolts that hold sliders in their slots", "pulley", [at("bolt", "bolt"), torque, at("along it", "load_N", N), at("friction used", "slip_used", slip), stress, at("proof", "proof_safety", proof)], of("slot", /^slot_clamp/, "bolt"), go),
    table("Brackets that bend", "pulley", [at("stress", "stress_MPa", {kind: "stress", own: "strength_MPa"}), at("fatigue", "fatigue_safety", safety)], of("strip", /^bracket|^plate/), go),
    table("Bearings over the duty", "pulley", [at("type", "type"), at("load", "load_N", N), at("L10", "life_basic_h", {unit: "h", digits: 0}), at("aISO", "life_factor", {digits: 2}), at("life", "life_h", life), at("grease", "grease_life_h", life), at("speed", "top_rpm", {kind: "rpm", own: "limit_rpm"}), at("static", "static_safety", {digits: 1, limit: `least ${hw.limits.static_safety[0]}, ${hw.limits.static_safety[1]} wanted`}), at("tilt", "tilt_arcmin", {unit: "arcmin", digits: 1, own: "tilt_limit_arcmin"})], of("bearing", /^bearing|^grease|^oil|_ring$|^ring/, "type"), go),
    table("Belt's angle at its entry", "pulley", [at("plane", "plane_mm", {kind: "length", digits: 2}), at("as drawn", "entry_deg", deg), at("loaded", "entry_loaded_deg", {...deg, limit: `most ${hw.limits.misalignment_deg}`}), at("± rss", "tolerance_rss_deg", deg), at("± worst", "tolerance_worst_deg", deg)], hw.pulleys.length && guided.length ? guided : [], go),
    hw.mounts.length || hw.pulleys.some((p) => p.standoff ?? p.bearing ?? p.slot) ? h("p", {class: "hint"}, `As snub mount prints it: the worst of idle to redline in all cases.${hw.duty_assumed ? " The duty is assumed; give duty in the file for your own." : ""}${hw.swing_counts ? " The swing of the crank is counted in the loads." : hw.swing_missing ? ` The swing of the crank is not counted in the loads: give ${hw.swing_missing.replaceAll("`", "")}.` : ""} Select a finding to see it in its case.`) : h("p", {class: "hint"}, "The file has no mounts, standoffs or bearings to judge. Add them under Entries."));
}
