// The page of snub serve: wires the parts together.
import {ask as askCore, call, failureOf, KeyWrong, Latest, onServer, readDrive, readFolder, Refused, ServerLost, serverState, type Answer, type Ask} from "./api";
import {announce, byId, em, h, s} from "./dom";
import {DrawParts} from "./draw-parts";
import {bindEdits} from "./edits";
import {onEnter, showEnter} from "./enter";
import type {Distance} from "./distance";
import {Drawing, glyph, pictureOf} from "./drawing";
import {drawFasteners} from "./fasteners";
import {keepFocus} from "./focus";
import type {SideView} from "./side-view";
import {Glance, showCase, type Judged, type Since} from "./glance";
import {keepKey, readFragment} from "./key";
import {bindLegend} from "./legend-open";
import type {MotionView} from "./motion-types";
import {plotLibrary} from "./plot-library";
import {answersHere, followText, renewSnapshot, startCore} from "./local";
import {cautionList, drivePanel, findingsPanel, levelsOf, errorList, hintList, planesPanel, keyOf, pulleyOf, Tabs} from "./panels";
import {bindBeltOrder} from "./belt-order";
import {Later, LaterPanel, script, sheet, type Part} from "./later";
import "./shared";
import type {Offer} from "./papers";
import {remedyButton, remedyJudged, remedyTable, tryRemedy} from "./remedy";
import {drawRibbon, measureRibbon} from "./ribbon";
import {fewPaths} from "./paths";
import type {Asked, Review} from "./review";
import {fillSnap} from "./snap";
import {store, withChanges, type Snapshot} from "./store";
import {claimTab} from "./tab";
import {TextPanel} from "./text";
import type {Case, Caution, Change, FileError, Finding, Hardware, Lay, Level, Measure, Pick, Problem, Saved, Thing} from "./types";
import {changesInFile, noteFileUnits, parse, serverUnits, setUnitSystem, show, showUnit, unit, unitsOfFile, unitSystem} from "./units";
import {dropWork, leftWork, type Kept} from "./work";

/** `of` are the changes that were asked for, by identity; `settle`: the hand rests, and what the file leaves open is chosen anew. Both are not sent. */
interface Question extends Ask { rpm: number; rate: number; whole: boolean; case: Case | null; measure: Measure | null; mount: boolean; of: Change[]; settle: boolean }

let lay: Lay | null = null;      // the last good answer
let before: Lay | null = null;   // the state when opened
let judged: Judged = {verdict: null, blower: null, findings: null, notJudged: []}; // the whole build, as settled last
let shown: {case: Case; of: string; rpm: number} | null = null; // case of a finding on the bench; the finding, and the speed to go back to
let good: Snapshot | null = null;      // the last state that the server laid
let movedTo: Snapshot | null = null;   // what a hand has made last
let ofCase: Case | null = null;       // that of the last answer
let chosen = "";                      // the finding that was selected last
let owed = false;                     // a whole answer is still to come
let cautions: Caution[] = [];         // of the build as judged last; those of every build where none could be read
let always: Caution[] = [];           // of every build
let stale = false;
let hardware: Hardware | null = null; // of the build as judged last, where it was asked for
let previewing: Change[] | null = null;
let wholeTimer = 0;

const ask = (changes = previewing ?? store.now.changes): Ask => ({file: store.file, text: store.now.text, changes, units: serverUnits()});

function rate(): number {
  const engine = lay?.geometry.engine;
  if (!engine) return 0;
  return store.running === "accelerating" ? engine.accel_rate_rpm_s : store.running === "overrun" ? -engine.decel_rate_rpm_s : store.running === "throttle blip" ? engine.blips_rpm_s : 0;
}

// ---- bars: what a person should know and can act on --------------------------------------------------------------------

function bar(id: string, level: "fail" | "marginal" | "note", text: string | null, ...actions: [string, () => void][]): void {
  const old = document.getElementById(`bar-${id}`);
  if (text === null) { old?.remove(); return; }
  const buttons = actions.map(([name, act]) => h("button", {type: "button", onclick: act}, name));
  const next = h("div", {class: `bar ${level}`, id: `bar-${id}`, role: level === "note" ? "status" : "alert"}, h("span", {class: "sign", "aria-hidden": "true"}, glyph[level]), h("span", {}, text), ...buttons);
  if (old && old.textContent === next.textContent) return;
  if (old) old.replaceWith(next); else byId("bars").append(next);
}

// ---- asking and showing -------------------------------------------------------------------------------------------------

function failed(error: unknown, question: Question): void {
  if (question.settle) owed = false;
  if (error instanceof Refused && takenBack(error.problem, question)) return;
  if (question.case && error instanceof Refused) { leaveCase(); return; }
  if (error instanceof Refused) {
    showErrors(error.problem, question);
  } else if (!(error instanceof ServerLost) && !(error instanceof KeyWrong)) throw error;
}

/** A move that the file does not allow goes back to where it was, and the page says why. */
function takenBack(problem: Problem, question: Question): boolean {
  if (problem.status !== 422 || store.now !== movedTo || question.of !== movedTo.changes || store.past.at(-1) !== good) return false;
  const {what} = store.now, why = problem.errors[0];
  movedTo = null;
  store.undo();
  store.future.pop();
  showFrame();
  if (lay) { drawing.set(pictureOf(lay.geometry)); showNumbers(); }
  bar("move", "marginal", `“${what}” is taken back: ${why ? [why.key, why.message].filter(Boolean).join(" ") : problem.detail}${why?.need ? ` (need ${why.need})` : ""}.`, ["Close", () => bar("move", "marginal", null)]);
  return true;
}

function showErrors(problem: Problem, question: Question | null): void {
  const list = problem.errors;
  text.setErrors(list, problem.more, problem.hints);
  if (!live.more && !wholeTimer) document.body.dataset.rest = "true";
  tabs.mark("text", list.length ? `✕ ${list.length + problem.more}` : "");
  const first: FileError | undefined = list[0], where = first?.line ? `line ${first.line}, column ${first.column}: ` : "";
  bar("errors", "fail", `${problem.status === 422 ? problem.title : problem.detail}. ${first ? `${where}${first.key ? `${first.key}: ` : ""}${first.message}` : ""}${list.length > 1 ? ` and ${list.length - 1 + problem.more} more` : ""}. The drawing shows the last good state.`,
    ["Show", () => { tabs.show("text"); if (first) text.goTo(first); }]);
  document.body.classList.toggle("behind", question !== null);
  showGlance();
  if (tabs.current === "hardware" && !hardware) showHardware(); // it was opened before this was known
}

function clearErrors(hints?: FileError[]): void {
  bar("errors", "fail", null);
  text.setErrors([], 0, hints);
  tabs.mark("text", "");
  document.body.classList.remove("behind");
}

function showLay(answer: Lay, question: Question): void {
  // The hand may have gone on since this was asked: then the drawing is ahead of the answer, and another is on its way.
  const first = lay === null, behind = question.text !== store.now.text || question.of !== (previewing ?? store.now.changes);
  const moving = drawing.dragging || (side.now?.dragging ?? false);
  if (!question.whole && question.case !== (shown?.case ?? null)) return; // of a case that is left, or that is to come: another is on its way
  ofCase = question.case;
  clearErrors(answer.hints);
  if (!behind && !previewing) good = store.now;
  if (!behind) noteFileUnits(answer.units);
  if (!behind && unitsOfFile(answer.units)) { relabel(); askWhole(); } // its sentences came in the other units; an answer on the file before says nothing of this one
  if (!question.settle && lay && answer.geometry.laid) keepOpen(answer, lay);
  lay = answer;
  if (answer.problem) bar("answer", "fail", `${answer.problem.detail}.`.replace("..", "."), ...(answer.problem.errors[0]?.line ? [["Show", () => { tabs.show("text"); text.goTo((answer.problem as Problem).errors[0]); }] as [string, () => void]] : []));
  else bar("answer", "fail", null);
  if (question.whole) {
    if (question.settle) owed = false;
    stale = behind;
    judged = {verdict: answer.check?.verdict ?? null, blower: answer.check?.blower ?? null, findings: answer.check?.findings ?? null, notJudged: answer.check?.not_judged ?? []};
    if (answer.hardware) hardware = answer.hardware;
    if (!behind && question.settle) remedyJudged(judged);
    if (shown && question.settle) askLive(); // the whole is answered in the normal state
  }
  if (question.whole || first) cautions = answer.cautions;
  photo.now?.setShape(answer.geometry);
  distance.now?.answer(answer.geometry, question.measure, judged.findings ?? []);
  if (moving || !behind) drawing.set(pictureOf(answer.geometry)); // under a hand the last answer that came, if of a moment before
  if (first) drawing.fit();
  showNumbers();
  if (first || question.settle) showFrame(); else if (question.whole) markFindings();
  drawing.layOut();
  if (!behind && !moving && !live.more && !wholeTimer && !owed) document.body.dataset.rest = "true";
}

/** A question that held what was open makes it look given: put the file's own word back. */
function keepOpen(answer: Lay, last: Lay): void {
  if (!last.geometry.belt.length_given) answer.geometry.belt.length_given = false;
  for (const p of answer.geometry.pulleys) {
    const before_ = last.geometry.pulleys.find((one) => one.name === p.name);
    if (p.slot && before_?.slot?.open && !store.now.changes.some((c) => c.path === `${p.name}.slot.setting`)) p.slot.open = true;
  }
}

/** What changes with every answer. */
function showNumbers(): void {
  if (!lay) { if (tabs.current === "hardware") showHardware(); return; }
  const known = judged.findings ?? lay.check?.findings ?? [], levels = levelsOf(known);
  drawing.marks.note(lay.geometry, known, stale);
  drawFasteners(drawing.hardware, lay.geometry, known);
  drawing.annotate(lay.check, levels);
  side.now?.set(lay.geometry, known);
  drawRibbon(lay.geometry, lay.check, store.showBefore ? before?.check ?? null : null);
  if (tabs.current === "drive") drivePanel(panels.drive, lay, before, levels);
  if (tabs.current === "planes") planesPanel(panels.planes, lay.geometry, judged.findings ?? []);
  if (tabs.current === "hardware") showHardware();
  showGlance();
}
function showHardware(): void { hardwareTable.now?.hardwarePanel(hardwareTable.element, lay && hardware, judged.findings ?? lay?.check?.findings ?? [], goTo, since()); }

function since(): Since {
  if (serverState() === "lost" && !answersHere(store.file, store.now.text)) return "lost";
  if (document.body.classList.contains("behind")) return "errors";
  return previewing && stale ? "move" : stale ? "change" : "now";
}
function showGlance(): void {
  if (!lay) return;
  glance.show(judged, since(), lay.check, lay.check?.build.designation || (lay.geometry.belt.length_mm ? `${lay.geometry.belt.ribs}${lay.geometry.belt.section}${Math.round(lay.geometry.belt.length_mm)}` : "no belt"));
  showCase(shown ? (ofCase === shown.case && lay.check?.state.words) || "…" : null, leaveCase);
  byId<HTMLSelectElement>("running").value = shown?.case.case ?? store.running;
}

function showCaution(): void {
  const gravest = cautions[0];
  byId("caution-text").textContent = gravest ? `${gravest.signal}: ${gravest.text}` : "";
}

/** What changes with the file or the whole check only. */
function showFrame(): void {
  const name = lay?.check?.title || store.file;
  byId("title").textContent = name || "snub";
  showCaution();
  document.title = `${store.dirty ? "• " : ""}${name ? `${name} — ` : ""}snub`;
  for (const [id, off] of [["undo", !store.past.length], ["redo", !store.future.length], ["save", !store.dirty]] as const) byId(id).setAttribute("aria-disabled", String(off)); // the focus stays where it is
  byId("save").textContent = store.dirty ? "Save •" : "Saved";
  markFindings();
  if (tabs.current === "chart") chart.now?.draw();
  if (tabs.current === "papers") papers.now?.draw();
  showRail();
}

/** How many are wrong stands at the tab. */
function markFindings(): void {
  const of = (level: Level): number => judged.findings?.filter((f) => f.level === level).length ?? 0, fails = of("fail"), marginals = of("marginal");
  tabs.mark("findings", `${fails ? ` ✕ ${fails}` : ""}${marginals ? ` ◐ ${marginals}` : ""}`.trim());
  if (tabs.current === "findings") showFindings();
}

function showFindings(): void {
  findingsPanel(panels.findings, judged.findings, cautions, stale, chosen, goTo, (f, key) => remedyButton(f, key, () => tryRemedy(f, judged)), remedyTable(showFindings), judged.notJudged);
}

/** Under a hand the core in this page answers. What stands at last is the server's answer: it sees the catalogue and the maps as they are now. */
async function layFor({of: _of, settle, ...body}: Question): Promise<Answer<Lay>> {
  if (!settle) return askCore<Lay>("/api/lay", body);
  try {
    const answer = await call<Lay>("POST", "/api/lay", body);
    renewSnapshot(body.file, body.text);
    return answer;
  } catch (error) {
    if (error instanceof ServerLost && answersHere(body.file, body.text)) return askCore<Lay>("/api/lay", body);
    throw error;
  }
}
const live = new Latest<Question, Answer<Lay>>(layFor, ({body}, q) => showLay(body, q), failed);

/** What the file leaves open stays as it was settled last while a hand or the speed moves; it is settled anew after. */
function held(changes: Change[]): Change[] {
  if (!lay?.check?.pulleys.length) return changes;
  const more: Change[] = [], {belt, pulleys} = lay.geometry;
  if (!belt.length_given && belt.length_mm !== null) more.push({path: "belt.length", value: belt.length_mm});
  for (const p of pulleys) if (p.slot?.open && p.slot.setting_mm !== null && !changes.some((c) => c.path === `${p.name}.slot.setting`)) more.push({path: `${p.name}.slot.setting`, value: p.slot.setting_mm});
  return more.length ? [...changes, ...more] : changes;
}

function askLive(settle = false): void {
  const asked = ask();
  if (owed && live.more) settle = true; // it has not gone out yet: what replaces it must bring it
  owed = owed || settle;
  const ofCase = settle ? null : shown?.case ?? null, whole = settle || (ofCase === null && answersHere(asked.file, asked.text)); // the core judges the whole rev range in every frame
  live.put({...asked, changes: settle ? asked.changes : held(asked.changes), rpm: store.rpm, rate: rate(), whole, case: ofCase, measure: distance.now?.question() ?? null, mount: whole && tabs.current === "hardware", of: asked.changes, settle});
}
/** The whole rev range, once the hand rests. */
function askWhole(): void {
  stale = true;
  showGlance();
  document.body.dataset.rest = "false";
  clearTimeout(wholeTimer);
  wholeTimer = window.setTimeout(() => { wholeTimer = 0; askLive(true); curves.now?.update(); log.now?.update(); }, 140);
}

function askBefore(): void {
  if (!store.showBefore) { before = null; drawing.setBefore(null); return; }
  void call<Lay>("POST", "/api/lay", {file: store.file, text: store.opened.text, changes: [], units: serverUnits(), rpm: store.rpm, rate: rate(), whole: !shown, case: shown?.case ?? null}).then(({body}) => {
    before = body;
    drawing.setBefore(pictureOf(body.geometry));
    showNumbers();
  }, () => undefined);
}

/** On the bench with the case in which a finding met its value: the drawing and all numbers are of that case. */
function goTo(f: Finding): void {
  const pulley = pulleyOf(f), rpm = shown?.rpm ?? store.rpm;
  if (pulley) store.select(pulley);
  shown = f.case ? {case: f.case, of: keyOf(f), rpm} : null;
  setSpeed(f.case ? f.case.engine_rpm : rpm, true, true);
  chosen = keyOf(f);
  showFrame();
  announce(`${pulley ?? f.rule}${f.at_rpm !== null ? ` at ${show("rpm", f.at_rpm)} rpm` : ""}`);
}
/** What is asked from now on is the normal state. */
function dropCase(): void {
  chosen = "";
  if (shown) { shown = null; showGlance(); }
}
/** Back to the normal view, at the speed of before. */
function leaveCase(): void {
  if (!shown) return;
  const {rpm} = shown;
  setSpeed(rpm);
  showFrame();
  announce("Normal view");
}

// ---- engine speed ---------------------------------------------------------------------------------------------------------

function setSpeed(rpm: number, settle = true, ofCase = false): void {
  if (!ofCase) dropCase();
  document.body.dataset.rest = "false";
  store.rpm = rpm;
  byId<HTMLInputElement>("rpm-rail").value = String(rpm);
  if (document.activeElement !== byId("rpm")) byId<HTMLInputElement>("rpm").value = show("rpm", rpm);
  byId("rpm-rail").setAttribute("aria-valuetext", `${show("rpm", rpm)} rpm`);
  askLive();
  if (settle) { curves.now?.point(rpm); log.now?.point(rpm); if (store.showBefore) askBefore(); }
}

function showRail(): void {
  const most = lay?.geometry.engine ? Math.ceil(lay.geometry.engine.redline_rpm * 1.05 / 100) * 100 : 8000;
  const rail = byId<HTMLInputElement>("rpm-rail"), svg = byId<SVGSVGElement>("flags"), W = (rail.getBoundingClientRect().width || 400) / em();
  rail.max = String(most);
  rail.value = String(store.rpm);
  const x = (rpm: number): number => 8 + rpm / most * (W - 16), parts: SVGElement[] = [];
  svg.setAttribute("viewBox", `0 0 ${W} 40`);
  const step = W < 420 ? 1000 : 500;
  for (let rpm = 0; rpm <= most; rpm += step / 5) parts.push(s("path", {class: "tick", d: `M${x(rpm)} 24v${rpm % step === 0 ? 7 : 4}`}));
  for (let rpm = 0; rpm <= most; rpm += W < 420 ? 2000 : 1000) parts.push(s("text", {x: x(rpm), y: 40, "text-anchor": "middle"}, String(rpm)));
  const engine = lay?.geometry.engine;
  if (engine) parts.push(s("path", {class: "range", d: `M${x(engine.idle_rpm)} 24H${x(engine.redline_rpm)}`}));
  const seen = new Map<string, number>();
  for (const f of judged.findings ?? []) {
    if (f.at_rpm === null || (f.level !== "fail" && f.level !== "marginal")) continue;
    const key = `${f.level}${Math.round(x(f.at_rpm) / 9)}`;
    if (seen.has(key)) continue;
    seen.set(key, 1);
    parts.push(s("text", {class: `flag ${f.level}`, x: x(f.at_rpm), y: 9, "text-anchor": "middle"}, glyph[f.level]));
  }
  svg.replaceChildren(...parts);
}

// ---- file, save, server -----------------------------------------------------------------------------------------------------

let opening = 0; // the file that is asked for last is what opens
/** @param idle  only if nothing is done meanwhile: what a hand makes while the file is on its way stays */
async function open(file: string, idle = false): Promise<void> {
  const was = store.now, turn = ++opening;
  try {
    const {body} = await readDrive(file);
    if (turn !== opening || (idle && store.now !== was)) return;
    lay = null; hardware = null; distance.now?.again(); judged = {verdict: null, blower: null, findings: null, notJudged: []}; shown = null; before = null; cautions = always; showCaution();
    bar("kept", "note", null); bar("disk", "marginal", null); bar("answer", "fail", null);
    store.open(body.file, body.text, body.etag);
    byId<HTMLSelectElement>("file").value = body.file;
    location.hash = encodeURIComponent(body.file);
    const kept = store.kept();
    if (kept) {
      restore(kept);
      bar("kept", "note", `Unsaved work from ${new Date(kept.at).toLocaleString()} was restored.${kept.base.etag !== body.etag ? " The file on disk has changed since then." : ""}`,
        ["Keep it", () => bar("kept", "note", null)], ["Discard it", () => { store.discard(); bar("kept", "note", null); }]);
    }
    await offerWork();
  } catch (error) {
    if (error instanceof Refused) showErrors(error.problem, null);
  }
}

/** Work that was put aside, as a state of its own. Where it began with the file as it is, it shares that base. */
function restore(kept: Kept): void {
  const base = kept.base.text === store.opened.base.text ? store.opened.base : kept.base;
  store.commit({text: kept.text, changes: kept.changes, base}, "restored work");
}
/** What tabs that are gone left unsaved on this file. */
async function offerWork(): Promise<void> {
  const file = store.file, left = await leftWork(file);
  if (file !== store.file) return;
  for (const old of document.querySelectorAll("[id^=bar-left-]")) if (!left.some((one) => old.id === `bar-left-${one.kept.at}`)) old.remove();
  for (const {key, kept} of left) {
    const id = `left-${kept.at}`, what = kept.changes.length ? `: ${kept.changes.map((one) => one.path).slice(0, 4).join(", ")}${kept.changes.length > 4 ? ", …" : ""}` : ": edits of the text";
    bar(id, "note", `A tab that is no longer open left unsaved work from ${new Date(kept.at).toLocaleString()}${what}.`,
      ["Take it", () => { restore(kept); dropWork(key); bar(id, "note", null); }], ["Drop it", () => { dropWork(key); bar(id, "note", null); }]);
  }
}

/** `create`: there must be no such file yet. */
async function save(create = false, name = store.file, picks: Pick[] = []): Promise<void> {
  const sent = store.now, headers: Record<string, string> = create ? {"If-None-Match": "*"} : {};
  try {
    const {body} = await call<Saved>("POST", "/api/save", {...ask(sent.changes), file: name, ...(create ? {} : {base: sent.base.text, picks})}, headers);
    bar("disk", "marginal", null); bar("kept", "note", null); bar("save", "fail", null);
    files.now?.leaveSave();
    if (name !== store.file) { if (store.now === sent) store.discard(); await fillFiles(name); await open(name); }
    else store.wasSaved(sent, body);
    if (body.taken.length) bar("taken", "note", takenWords(body.taken), ["Close", () => bar("taken", "note", null)]);
    else bar("taken", "note", null);
    announce(`${name} saved`);
  } catch (error) {
    if (error instanceof Refused && error.problem.conflicts) void review();
    else if (error instanceof Refused && error.problem.status === 412 && !create) void review(false, error.problem);
    else notSaved(error, () => void (create ? review(true) : save(create, name, picks)));
  }
}

function notSaved(error: unknown, again: () => void): void {
  const close: [string, () => void] = ["Close", () => bar("save", "fail", null)];
  if (!(error instanceof Refused || error instanceof KeyWrong || error instanceof ServerLost)) throw error;
  bar("save", "fail", error instanceof Refused ? `Not saved. ${error.problem.title}: ${error.problem.detail}` : error instanceof KeyWrong ? "Not saved: the server has a new key. Enter it first. The work is kept in this browser." : "Not saved: the server does not answer. The work is kept in this browser.",
    ["Try again", () => { bar("save", "fail", null); again(); }], close);
}

function takenWords(taken: string[]): string {
  const keys = taken.filter((path) => path !== "");
  return `Saved. Another program or tab has changed the file meanwhile; its changes are kept${keys.length ? `: ${fewPaths(keys)}` : ""}.`;
}

function dialog(title: string, ...body: HTMLElement[]): HTMLDialogElement {
  const box = byId<HTMLDialogElement>("dialog");
  box.replaceChildren(h("h2", {id: "dialog-title"}, title), ...body);
  box.showModal();
  return box;
}

/** Show what a save will change, and let it be saved. `as`: under another name. */
async function review(as = false, problem: Problem | null = null): Promise<void> {
  text.flush();
  const asked: Asked = {file: store.file, review: null, conflicts: [], trouble: null, as}, sent = store.now;
  try {
    if (!problem && store.dirty) asked.review = (await call<Review>("POST", "/api/save", {...ask(sent.changes), base: sent.base.text, picks: [], review: true})).body;
  } catch (error) {
    if (!(error instanceof Refused && (error.problem.conflicts || error.problem.status === 412))) { notSaved(error, () => void review(as)); return; }
    problem = error.problem;
  }
  if (problem?.conflicts) Object.assign(asked, {conflicts: problem.conflicts, review: {differences: problem.differences ?? [], taken: []}});
  else if (problem) asked.trouble = problem.detail;
  const {saveDialog} = await files.want();
  if (store.now === sent) saveDialog(asked, {dialog, save: (create, name, picks) => void save(create, name, picks), reread: () => { store.discard(); void open(store.file); }});
}

async function fillFiles(first?: string): Promise<string | null> {
  const {body} = await readFolder();
  byId("file").replaceChildren(...[...new Set([...body.files, ...(first ? [first] : [])])].map((name) => h("option", {value: name}, name)));
  always = body.cautions;
  language = body.language;
  if (!cautions.length) { cautions = always; showCaution(); }
  const {file} = readFragment(location.hash);
  return first ?? (body.files.includes(file) ? file : body.first ?? body.files[0] ?? null); // one may have come after the server began
}

onServer((state) => {
  const said = byId("server");
  said.className = state;
  (said.lastElementChild as HTMLElement).textContent = {there: "connected", lost: "server lost", key: "no key"}[state];
  bar("server", "fail", state === "lost" ? "snub’s server does not answer. Nothing is lost: carry on. Your work is kept in this browser, and the page reconnects by itself." : null);
  showEnter(store.file !== "");
  showNumbers();
  if (state === "there") for (const part of [...Object.values(late), files, begin, side, legend, distance]) part.again();
  if (state === "there" && store.file) askWhole();
});

async function beat(): Promise<void> {
  if (!store.file) { await boot(); return; }
  try {
    const asked = store.etag, answer = await readDrive(store.file, asked);
    if (asked !== store.etag) return; // saved or opened meanwhile: this answer is of before
    if (answer.status === 304) { bar("disk", "marginal", null); void offerWork(); return; }
    if (answer.body.text === store.now.text && !store.now.changes.length) { store.wasSaved(store.now, {...answer.body, taken: []}); return; }
    if (!store.dirty) { await open(store.file, true); announce("The file changed on disk and was reloaded"); return; }
    bar("disk", "marginal", "Another program or tab has changed the file on disk. Your unsaved work stays as it is. Save brings both together.",
      ["Save", () => void review()], ["Reload it and lose my changes", () => { store.discard(); void open(store.file); }]);
  } catch (error) {
    if (error instanceof Refused && error.problem.status === 404) bar("disk", "marginal", "The file is no longer on disk. Save writes it again.", ["Save", () => void save(true)]);
  }
}

// ---- the parts -------------------------------------------------------------------------------------------------------------

const moves = {
  preview: (changes: Change[]): void => { previewing = changes; stale ||= !answersHere(store.file, store.now.text); dropCase(); motion.now?.leave(); showGlance(); askLive(); },
  settle: (): void => { previewing = null; search.now?.unseen(); movedTo = store.now; bar("move", "marginal", null); askWhole(); },
};
const fromSide = (): boolean => document.body.dataset.view === "side";
const distance: Later<Distance, typeof import("./distance")> = new Later(() => import("./distance"), ({Distance: Panel}) => new Panel({ask: () => { if (lay) askLive(); drawing.refresh(); side.now?.refresh(); }, ended: () => drawing.dropCross(), side: fromSide}));
byId("measure").addEventListener("click", () => void distance.want().then((panel) => panel.toggle()));
const side: Later<SideView, typeof import("./side-view")> = new Later(() => import("./side-view"), ({SideView: View}) => new View({...moves, get take() { const panel = distance.now; return panel?.asking ? (thing: Thing) => panel.take(thing) : null; }, drawn: ({ruler, view}) => distance.now?.line(ruler, view)}));
const drawing: Drawing = new Drawing({
  ...moves,
  picking: () => photo.now?.asking || distance.now?.asking || search.now?.asking || false,
  pick: (point) => (distance.now?.pick(drawing.current(), point, drawing.view) ?? false) || (search.now?.pick(point) ?? false) || (photo.now?.pick(point) ?? false),
  aim: (point) => { if (photo.now?.asking) photo.now.aim(point); search.now?.aim(point); },
  drawn: (picture) => { hand.drawn(picture); search.now?.drawn(picture.shape); distance.now?.line(drawing.ruler, drawing.view); },
});
/** From the front, or along the crank. */
async function look(at: "front" | "side"): Promise<void> {
  const view = at === "side" ? await side.want() : side.now;
  document.body.dataset.view = at;
  byId("view-side").setAttribute("aria-pressed", String(at === "side"));
  distance.now?.again();
  if (lay) view?.set(lay.geometry, judged.findings ?? []);
  if (at === "front") drawing.refresh();
}
byId("view-side").addEventListener("click", () => void look(fromSide() ? "front" : "side"));
const onView = (id: string, act: (view: Drawing | SideView) => void): void => byId(id).addEventListener("click", () => act(fromSide() && side.now ? side.now : drawing));
onView("zoom-in", (view) => view.zoom(1.25));
onView("zoom-out", (view) => view.zoom(0.8));
onView("zoom-fit", (view) => { view.fit(); view.refresh(); });
const panels = {drive: h("div"), findings: h("div"), planes: h("div")};
const hand: DrawParts = new DrawParts(drawing, moves, () => lay?.geometry ?? null);
const legend = bindLegend();
const files = new Later(() => import("./files"), (script) => script);
const photo = new LaterPanel(h("div", {class: "photo"}), "Photo", () => import("./photo"), ({PhotoPanel}, element) => { const panel = new PhotoPanel(element, drawing); if (lay) panel.setShape(lay.geometry); return panel; });
const chart = new LaterPanel(h("div", {class: "chart"}), "Chart", () => import("./chart"), ({ChartPanel}, element) => new ChartPanel(element, () => ask(), (changes, what) => {
  store.commit({changes: withChanges(store.now.changes, changes)}, what);
}));
const curves = new LaterPanel(h("div", {class: "curves"}), "Curves", () => import("./curves"), ({CurvesPanel}, element) => new CurvesPanel(element, () => ask(), (rpm) => setSpeed(Math.round(rpm), false), () => undefined, (rpm) => setSpeed(Math.round(rpm)), () => lay?.geometry ?? null));
const hardwareTable = new LaterPanel(h("div"), "Hardware", () => import("./hardware"), (script) => script);
const log = new LaterPanel(h("div", {class: "curves log"}), "Log", () => script<typeof import("./log")>("/log.js"), ({LogPanel}, element) => { const panel = new LogPanel({ask: () => ask(), call: (body) => call("POST", "/api/log", body), failure: failureOf, plots: plotLibrary, moved: (rpm) => setSpeed(rpm, false), chosen: (rpm) => setSpeed(rpm), unit, show}); element.append(panel.element); return panel; });
let language = "en";
const motion = new LaterPanel(h("div", {class: "motion-view"}), "Motion", async () => (await Promise.all([script<typeof import("./motion")>("/motion.js"), sheet("/motion.css")]))[0], ({open: view}, element): MotionView => view({call, failureOf, ask: () => ask(), shape: () => lay?.geometry ?? null, show, showUnit, setSpeed: (rpm) => setSpeed(Math.round(rpm)), layer: drawing.motion, front: () => { if (fromSide()) void look("front"); }, language: () => language}, element));
const study = {ask: () => ask(store.now.changes), shape: () => lay?.geometry ?? null, drawing, language: () => language, front: () => { if (fromSide()) void look("front"); }};
const search = new LaterPanel(h("div", {class: "study-view"}), "Search", () => import("./study"), ({SearchPanel}, element) => new SearchPanel(element, study, moves));
const kits = new LaterPanel(h("div", {class: "study-view"}), "Kits", () => import("./study"), ({KitsPanel}, element) => new KitsPanel(element, study, moves));
const text = new TextPanel(() => ask(store.now.changes), errorList, hintList);
bindEdits(() => ask(store.now.changes));
bindBeltOrder(() => lay?.geometry ?? null);
const entries = new LaterPanel(h("div", {class: "entries"}), "Entries", () => import("./entries"), ({EntriesPanel}, element) => new EntriesPanel(element, () => ask(store.now.changes), (m) => { tabs.show("text"); text.goTo(m); }, (count) => tabs.mark("entries", count)));
const papers = new LaterPanel(h("div", {class: "papers"}), "Papers", () => import("./files"), ({PapersPanel}, element) => new PapersPanel(element, {file: () => store.file, etag: () => store.etag, dirty: () => store.dirty, offers: offered, save: () => void review()}));
/** Builds of the chart of the saved file, by which `--build` knows them. */
function offered(): Offer[] {
  const now = store.now.text === store.saved.text ? JSON.stringify(store.now.changes) : "";
  return (chart.now?.buildsOf(store.saved.text) ?? []).map(({number, build}) => ({number, words: [build.designation ?? "no belt", build.variant, build.package, ...Object.entries(build.options ?? {}).map(([path, value]) => `${path.replaceAll(".", " ")} ${value}`)].filter(Boolean).join(" · "),
    here: Boolean(build.changes?.length) && JSON.stringify(changesInFile(withChanges([], build.changes ?? []))) === now}));
}
const begin = new Later(() => import("./files"), ({Begin}) => new Begin(dialog, async (file, fromPhoto) => {
  begin.now?.leavePage();
  await fillFiles(file);
  await open(file);
  setSpeed(store.rpm, false);
  if (fromPhoto) { tabs.show("photo"); await photo.want(); setTimeout(() => photo.element.querySelector("input")?.focus()); }
}));
const late: Record<string, Part> = {chart, curves, hardware: hardwareTable, photo, entries, papers, log, motion, search, kits};
const tabs = new Tabs([
  {id: "drive", name: "Drive", element: panels.drive}, {id: "findings", name: "Findings", element: panels.findings},
  {id: "chart", name: "Chart", element: chart.element}, {id: "curves", name: "Curves", element: curves.element}, {id: "log", name: "Log", element: log.element}, {id: "motion", name: "Motion", element: motion.element}, {id: "search", name: "Search", element: search.element}, {id: "kits", name: "Kits", element: kits.element},
  {id: "planes", name: "Alignment", element: panels.planes}, {id: "hardware", name: "Hardware", element: hardwareTable.element, shown: () => { hardware = null; showHardware(); }}, {id: "photo", name: "Photo", element: photo.element},
  {id: "entries", name: "Entries", element: entries.element},
  {id: "text", name: "File", element: text.element},
  {id: "papers", name: "Papers", element: papers.element},
], (id) => setTimeout(() => {
  document.body.dataset.tab = id;
  if (late[id] && !late[id].now) { late[id].again(); void late[id].want().then(() => { if (tabs.current === id) opened(id); }); }
  opened(id);
}));
function opened(id: string): void {
  if (curves.now) curves.now.shown = id === "curves";
  if (log.now) log.now.shown = id === "log";
  text.shown = id === "text";
  if (entries.now) entries.now.shown = id === "entries";
  if (id === "entries") entries.now?.update();
  if (id === "curves") curves.now?.update();
  if (id === "log") log.now?.update();
  for (const [one, {now}] of [["motion", motion], ["search", search], ["kits", kits]] as const) now?.show(id === one);
  if (id === "papers") void papers.now?.show();
  if (id === "chart") chart.now?.follows(true);
  if (id === "text") text.update();
  if (id === "hardware" && lay) askLive(true);
  showNumbers();
  showFrame();
}

const glance = new Glance((f) => { tabs.show("findings"); goTo(f); });
store.onChange(() => { followText(store.file, store.now.text); dropCase(); askLive(); askWhole(); motion.now?.changed(); search.now?.changed(); kits.now?.changed(); text.update(); entries.now?.update(); chart.now?.follows(tabs.current === "chart"); showFrame(); });
store.onSelect(() => { hand.selected(); showNumbers(); });

const undo = (): void => { const what = store.undo(); if (what) announce(`Undone: ${what}`); };
const redo = (): void => { const what = store.redo(); if (what) announce(`Redone: ${what}`); };
byId("undo").addEventListener("click", undo);
byId("redo").addEventListener("click", redo);
byId("save").addEventListener("click", () => void review());
byId("save-as").addEventListener("click", () => void review(true));
byId("begin-new").addEventListener("click", () => void begin.want().then((one) => one.inDialog()));
byId("print").addEventListener("click", () => window.print());
byId("file").addEventListener("change", (event) => void open((event.target as HTMLSelectElement).value));
byId("compare").addEventListener("click", () => {
  store.showBefore = !store.showBefore;
  byId("compare").setAttribute("aria-pressed", String(store.showBefore));
  askBefore();
  showNumbers();
});
function relabel(): void { fillSnap(); byId("units").textContent = unitSystem(); byId("units").setAttribute("aria-label", `${unitSystem()}: ${unitSystem() === "mm" ? "metric" : "inch"} units. Switch`); }
byId("units").addEventListener("click", () => {
  setUnitSystem(unitSystem() === "mm" ? "in" : "mm");
  relabel();
  showNumbers();
  showFrame();
  photo.now?.draw();
  curves.now?.restyle();
  log.now?.restyle();
  motion.now?.restyle();
  askWhole(); // the server's sentences as well
  chart.now?.draw();
});
const themes = ["auto", "light", "dark"];
function theme(name: string): void {
  document.documentElement.dataset.theme = name;
  localStorage.setItem("snub:theme", name);
  byId("theme").textContent = `Theme: ${name}`;
  byId("theme").setAttribute("aria-label", `Theme: ${name}. Switch`);
  curves.now?.restyle();
  log.now?.restyle();
}
byId("theme").addEventListener("click", () => theme(themes[(themes.indexOf(document.documentElement.dataset.theme ?? "auto") + 1) % 3]));
for (const media of ["(forced-colors: active)", "(prefers-color-scheme: dark)"]) matchMedia(media).addEventListener("change", () => { curves.now?.restyle(); log.now?.restyle(); });
byId("rpm-rail").addEventListener("input", (event) => setSpeed(Number((event.target as HTMLInputElement).value)));
byId("rpm").addEventListener("change", (event) => {
  const input = event.target as HTMLInputElement, value = parse("rpm", input.value);
  input.setAttribute("aria-invalid", String(!(value >= 0 && value <= 100000)));
  if (value >= 0 && value <= 100000) setSpeed(value);
});
byId("running").addEventListener("change", (event) => { store.running = (event.target as HTMLSelectElement).value as typeof store.running; dropCase(); askLive(); curves.now?.update(); askBefore(); });
byId("cautions").addEventListener("click", () => {
  const places = [...new Set(cautions.map((c) => c.place))];
  const box = dialog("Cautions", ...places.flatMap((place) => [h("h3", {}, place), cautionList(cautions.filter((c) => c.place === place))]).filter((one): one is HTMLElement => one !== null),
    h("p", {class: "hint"}, "The fitting sheet prints each caution before its step: snub sheet FILE -o fitting.pdf"), h("p", {}, h("button", {type: "button", onclick: () => box.close()}, "Close")));
  box.scrollTop = 0; // the focus went to the button below; the gravest stands first
});
byId("keys").addEventListener("click", () => {
  const rows: [string, string][] = [["Tab", "next part of the drawing, next field"], ["Arrow keys", "move the part by one snap step; with the drawing itself in focus, move the view"], ["Shift, Alt with arrows", "ten times the step, a tenth of it"], ["+  −  0", "zoom in, zoom out, show all"], ["Enter", "select the part; accept a typed value; mark a point of the photo at the cross, which the arrows move"], ["Esc", "discard a typed value; cancel a drag; from the case of a finding back to the normal view"], ["Ctrl+Z, Ctrl+Shift+Z", "undo, redo"], ["Ctrl+S", "show what will change; once more: save"], ["Alt while dragging", "the finest step"], ["← → in the side view", "move the plane, or take the next pack of shims"]];
  const box = dialog("Shortcuts", h("table", {class: "keys"}, h("tbody", {}, ...rows.map(([key, what]) => h("tr", {}, h("th", {scope: "row"}, key), h("td", {}, what))))), h("p", {}, h("button", {type: "button", onclick: () => box.close()}, "Close")));
});
/** Once it shows what will change, once more it saves. */
function saveKey(): void {
  text.flush();
  if (!byId<HTMLDialogElement>("dialog").open) { if (store.dirty) void review(); } else document.getElementById("dialog-save")?.click();
}
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && distance.now?.asking && !event.defaultPrevented && !byId<HTMLDialogElement>("dialog").open) { event.preventDefault(); distance.now.end(); return; }
  if (event.key === "Escape" && shown && !event.defaultPrevented && !byId<HTMLDialogElement>("dialog").open) { event.preventDefault(); leaveCase(); return; }
  if (!(event.ctrlKey || event.metaKey)) return;
  const key = event.key.toLowerCase(), typing = event.target instanceof HTMLTextAreaElement;
  if (key === "s") { event.preventDefault(); saveKey(); }
  else if (key === "z" && !typing) { event.preventDefault(); if (event.shiftKey) redo(); else undo(); }
  else if (key === "y" && !typing) { event.preventDefault(); redo(); }
});
for (const name of ["dragover", "drop"]) {
  document.addEventListener(name, (event) => {
    event.preventDefault();
    const file = (event as DragEvent).dataTransfer?.files[0];
    if (name === "drop" && file && isLog(file)) { tabs.show("log"); void log.want().then((panel) => panel.load(file)); }
    else if (name === "drop" && file) { tabs.show("photo"); void photo.want().then((panel) => panel.load(file)); }
  });
}
new ResizeObserver(() => { measureRibbon(); showRail(); if (lay) drawRibbon(lay.geometry, lay.check, store.showBefore ? before?.check ?? null : null); }).observe(byId("unrolled"));

/** Is it a log rather than a photo? */
function isLog(file: File): boolean { return /\.(csv|tsv|txt|log|dat|asc|gz)$/i.test(file.name) || file.type.startsWith("text/"); }

let booting: Promise<void> | null = null;
/** Once at a time: where the server is slow, a second one would open the file again over what a hand has made in it. */
function boot(): Promise<void> { return booting ??= begun().finally(() => { booting = null; }); }
async function begun(): Promise<void> {
  void startCore();
  await claimTab();
  try {
    const first = await fillFiles();
    if (!first) await (await begin.want()).onPage();
    else if (!begin.now?.touched) { begin.now?.leavePage(); await open(first); }
    if (lay === null && store.file) setSpeed(store.rpm, false);
  } catch (error) {
    if (error instanceof Refused) showErrors(error.problem, null);
  }
}

/** The key does not stay in the address. @return there was one */
function takeKey(): boolean {
  const {key, file} = readFragment(location.hash), name = file || store.file;
  if (key !== null) keepKey(key);
  if (key !== null || location.search) history.replaceState(null, "", location.pathname + (name ? `#${encodeURIComponent(name)}` : ""));
  return key !== null;
}
addEventListener("hashchange", () => { if (takeKey()) void beat(); }); // an address that is pasted over ours loads nothing anew
takeKey();
keepFocus();
onEnter(beat);
relabel();
theme(localStorage.getItem("snub:theme") ?? "auto");
byId<HTMLInputElement>("rpm").value = show("rpm", store.rpm);
void boot();
(function watch(): void { setTimeout(() => { void beat().finally(watch); }, byId("server").className === "there" ? 3000 : 1000); })();
