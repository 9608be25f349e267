// A better bracket: what may move and where, what must hold, what to gain; the search on the server; its proposals, to look at and to take.
import {ask as askCore, call, failureOf, Refused, type Ask} from "./api";
import {announce, h, renew} from "./dom";
import type {Drawing} from "./drawing";
import {editFile, type Edit} from "./edits";
import type {Entries} from "./entries-types";
import {Refusal, ServerJob} from "./server-job";
import type {Hooks} from "./shape-grips";
import {store, withChanges} from "./store";
import {Ghosts} from "./study-ghosts";
import {Rooms} from "./study-rooms";
import {aimEdits, isAngle, isPoint, movable, moveEdits, nameOf, partOf, pulleyOfMove, removeEdits, sectionOf, whereWords, withinOf, type Section} from "./study-section";
import {say, speak, type Word} from "./study-words";
import type {Change, Job, Lay, Shape, Value, Vec} from "./types";
import {lengthInFile, parse, show, showIn, showUnit, tidy, unit, unitSystem} from "./units";

export interface StudyHost { ask: () => Ask; shape: () => Shape | null; drawing: Drawing; language: () => string; front: () => void }

interface KitCount { samples: number; fail: number; low: number | null; high: number | null; why_not: string | null }
interface Came { pass: number; marginal: number; fail: number; kits: KitCount | null; [aim: string]: number | string | null | unknown }
interface Proposal extends Came { moves: {path: string; unit: string; from: number | Vec; to: number | Vec}[]; changes: Record<string, string>; aims: Record<string, number | null> }
export interface Found { builds: number; asked: number; of: number; converged: boolean; stopped: boolean; found: boolean; today: Came; proposals: Proposal[]; broken: {rule: string; text: string} | null }
interface SoFar { today: Record<string, number | null>; best: Record<string, number | null> | null }

const AIMS = ["worst grip", "fewest belts", "bearing life", "hub load", "wrap", "least change", "most passes"] as const, HOLDS = ["today", "marginal", "pass"] as const;
/** Keys of the JSON, with unit, decimals, and whether more is better. */
const MEASURES: [Word, string, number, boolean][] = [["worst_grip", "", 3, false], ["fewest_belts", "", 0, false], ["bearing_life_h", "h", 0, true], ["hub_load_N", "N", 0, false], ["wrap_deg", "deg", 1, true], ["change_mm", "mm", 1, false], ["builds_that_pass", "", 0, true]];
function measured(key: string, value: number | null | undefined): string {
  const [, name, decimals] = MEASURES.find(([one]) => one === key) ?? ["", "", 3];
  return value === null || value === undefined ? "–" : showIn(name, value, decimals);
}
/** A value as the command writes it into the file. */
function written(text: string): Value {
  const one = (part: string): Value => part.trim() !== "" && Number.isFinite(Number(part)) ? Number(part) : part.trim();
  return text.startsWith("[") ? text.slice(1, -1).split(",").map(one) : one(text);
}
const keyOfWork = (): string => JSON.stringify([store.file, store.now.text, store.now.changes]);

export class SearchPanel {
  private readonly rooms: Rooms;
  private readonly ghosts: Ghosts;
  private readonly job = new ServerJob("/api/study", call);
  private readonly head = h("div");
  private readonly run = h("div");
  private readonly result = h("div");
  private on = false;
  private read: Entries | null = null; // of the drive as it stands
  private section: Section | null = null;
  private wrong = "";
  private what = "";
  private round = false;
  private tries = "";
  private package = "";
  private job_: Job<unknown> | null = null; // while it searches
  private begun = 0;
  private found: {of: string; answer: Found; today: Shape | null; then: (Shape | null)[]} | null = null;
  private failure = "";
  private chosen = 0;
  private seen = false;
  private system = unitSystem();
  private offered = ""; // what may move, as the panel has it
  private file = "";

  constructor(private readonly element: HTMLElement, private readonly host: StudyHost, private readonly hooks: Hooks) {
    element.lang = speak(host.language());
    this.ghosts = new Ghosts(host.drawing);
    this.rooms = new Rooms(host.drawing, {preview: (changes) => this.take(changes), settle: () => void this.update()}, (what, room) => void this.edit(moveEdits(this.section, what, {within: withinOf(room)}), say("drewRegion", {name: nameOf(what)})), () => this.draw());
    this.file = store.file;
    element.append(this.head, this.run, this.result);
    store.onSelect(() => { const own = this.things().find((one) => pulleyOfMove(one) === store.selected); if (own && !this.asking) { this.what = own; if (this.on) this.draw(); } });
    document.addEventListener("keydown", (event) => {
      if (!this.asking || event.defaultPrevented || document.querySelector("dialog[open]")) return;
      if (event.key === "Escape") { event.preventDefault(); this.endSketch(); }
      else if (event.key === "Backspace" && (event.target as Element).id === "drawing") { event.preventDefault(); this.rooms.back(); }
    });
  }

  // ---- what the page tells it ------------------------------------------------------------------------------------------

  show(on: boolean): void {
    this.on = on;
    if (!on) this.leave();
    this.rooms.show(on);
    this.ghosts.show(on);
    if (on) { this.draw(); void this.update(); }
  }
  get asking(): boolean { return this.rooms.sketch !== null; }
  pick(p: Vec): boolean { return this.rooms.pick(p); }
  aim(p: Vec): void { this.rooms.aim(p); }
  drawn(shape: Shape): void {
    if (!this.on) return;
    this.rooms.draw(shape);
    this.ghosts.draw();
    if (this.system !== unitSystem() || this.offered !== this.things().join()) this.draw();
  }
  /** The work is another one. */
  changed(): void {
    if (this.seen) this.hooks.settle();
    if (store.file !== this.file) this.another();
    this.take(store.now.changes);
    if (this.on) { this.draw(); void this.update(); }
  }
  /** Nothing of one file is said of another. */
  private another(): void {
    this.file = store.file;
    if (this.job_) { this.begun++; this.job.stop(); this.job_ = null; }
    this.rooms.end();
    Object.assign(this, {read: null, section: null, found: null, failure: "", wrong: "", package: ""});
  }
  /** A proposal in the drawing is for looking at it here. */
  private leave(): void { if (this.seen) this.see(false); }

  // ---- the section ------------------------------------------------------------------------------------------------------

  private asked = 0;
  private async update(): Promise<void> {
    const mine = ++this.asked;
    try {
      const {body} = await call<Entries>("POST", "/api/entries", this.host.ask());
      if (mine !== this.asked) return;
      this.read = body;
      const errors = body.errors.filter((one) => one.key.startsWith("search"));
      this.wrong = errors.map((one) => `${one.key}: ${one.message}${one.need ? ` (need ${one.need})` : ""}`).join("; ");
      this.take(store.now.changes);
    } catch (error) { this.wrong = failureOf(error); }
    if (this.on) this.draw();
  }
  /** Regions as a hand has them, before the server has read them. */
  private take(over: Change[]): void {
    this.section = this.read && sectionOf(this.read, over);
    this.rooms.set(this.section?.moves ?? []);
  }
  private async edit(edits: Edit[], what: string): Promise<void> {
    if (!edits.length) return;
    this.wrong = await editFile(edits, [], what) ?? "";
    this.draw();
  }
  private things(): string[] { const shape = this.host.shape(); return shape ? movable(shape) : []; }

  // ---- drawing a region ---------------------------------------------------------------------------------------------------

  private begin(what: string): void {
    this.leave();
    this.host.front();
    this.what = what;
    this.rooms.begin(what, this.round);
    this.draw();
    announce(this.prompt());
  }
  private endSketch(): void { this.rooms.end(); this.draw(); this.element.querySelector<HTMLElement>("[data-key=search-draw]")?.focus(); }
  private prompt(): string {
    const {sketch} = this.rooms, name = sketch ? nameOf(sketch.what) : "";
    return !sketch ? "" : !sketch.round ? say("clickCorners", {name}) : sketch.points.length ? say("clickRim") : say("clickMiddle", {name});
  }
  private sketching(): HTMLElement {
    const button = (key: string, word: Word, act: () => void, disabled = false): HTMLElement => h("button", {type: "button", "data-key": key, disabled, onclick: act}, say(word));
    return h("div", {class: "ask", role: "group", "aria-label": say("draw")}, h("p", {role: "status"}, this.prompt()), h("p", {class: "hint"}, say("keys")),
      h("p", {class: "s-row"}, this.rooms.sketch?.round ? null : button("search-done", "done", () => this.rooms.finish(), !this.rooms.whole), button("search-back", "back", () => this.rooms.back(), !this.rooms.sketch?.points.length), button("search-cancel", "cancel", () => this.endSketch())));
  }

  // ---- what is seen of it ---------------------------------------------------------------------------------------------------

  private draw(): void { this.system = unitSystem(); this.offered = this.things().join(); this.drawHead(); this.drawRun(); this.drawResult(); }
  private select(id: string, label: string, now: string, options: [string, string][], change: (value: string) => void): HTMLElement {
    return h("label", {}, label && h("span", {}, label), h("select", {id, "data-key": id, "aria-label": label ? null : say("hold"), onchange: (event: Event) => change((event.target as HTMLSelectElement).value)}, ...options.map(([value, name]) => h("option", {value, selected: value === now}, name))));
  }
  private drawHead(): void {
    const {section} = this;
    renew(this.head, h("h2", {}, say("searchTitle")), h("h3", {}, say("move")), h("p", {class: "hint"}, say("moveHint")), section?.moves.length ? this.moves(section) : h("p", {}, say("nothing")),
      this.asking ? this.sketching() : this.adding(), this.wrong ? h("p", {class: "wrong", role: "alert"}, this.wrong) : null, section ? this.wishes(section) : null);
  }
  private moves(section: Section): HTMLElement {
    return h("ul", {class: "s-moves"}, ...section.moves.map((move, i) => h("li", {}, h("span", {}, h("b", {}, nameOf(move.what)), ` ${whereWords(move)}`), h("span", {class: "s-row"},
      move.room ? h("button", {type: "button", "data-key": `search-again-${i}`, "aria-label": `${say("again")}: ${nameOf(move.what)}`, onclick: () => this.begin(move.what.replace(/^pulleys\./, ""))}, say("again")) : null,
      h("button", {type: "button", "data-key": `search-remove-${i}`, "aria-label": `${say("remove")}: ${nameOf(move.what)}`, onclick: () => void this.edit(removeEdits(section, move), `${say("remove")}: ${nameOf(move.what)}`)}, "✕")))));
  }
  private adding(): HTMLElement | null {
    const things = this.things();
    if (!things.length) return null; // there is no drawing yet
    if (!things.includes(this.what)) this.what = things.find((one) => pulleyOfMove(one) === store.selected) ?? things[0] ?? "";
    const pulleys = [...new Set(things.map(pulleyOfMove))], what = h("label", {}, h("span", {}, say("what")), h("select", {id: "search-what", "data-key": "search-what", onchange: (event: Event) => { this.what = (event.target as HTMLSelectElement).value; this.draw(); }},
      ...pulleys.map((name) => h("optgroup", {label: name}, ...things.filter((one) => pulleyOfMove(one) === name).map((one) => h("option", {value: one, selected: one === this.what}, `${name}: ${partOf(one)}`))))));
    if (!isPoint(this.what)) return this.addingNumber(what);
    const shape = this.select("search-shape", say("region"), this.round ? "round" : "byCorners", [["byCorners", say("byCorners")], ["round", say("round")]], (value) => { this.round = value === "round"; });
    return h("div", {class: "s-row"}, what, shape, h("button", {type: "button", "data-key": "search-draw", onclick: () => this.begin(this.what)}, say("draw")));
  }
  /** A length or an angle goes from one value to another. */
  private addingNumber(what: HTMLElement): HTMLElement {
    const kind = isAngle(this.what) ? "angle" : "length", {name} = unit(kind), fields = (["from", "to"] as const).map((key) => h("input", {type: "text", inputmode: "decimal", size: 7, autocomplete: "off", id: `search-${key}`, "data-key": `search-${key}`}));
    const add = (): void => {
      const values = fields.map((field) => parse(kind, field.value));
      if (!values.every(Number.isFinite)) { this.wrong = `${say("from")}, ${say("to")}: ${name}`; this.drawHead(); return; }
      const [from, to] = values.map((value) => kind === "length" ? lengthInFile(tidy(value)) : tidy(value));
      void this.edit(moveEdits(this.section, this.what, {from, to}), nameOf(this.what));
    };
    return h("div", {class: "s-row"}, what, ...fields.map((field, i) => h("label", {}, h("span", {}, `${say(i ? "to" : "from")}, ${name}`), field)), h("button", {type: "button", "data-key": "search-let", onclick: add}, say("letIt")));
  }
  private wishes(section: Section): HTMLElement {
    const [first = "worst grip", second = ""] = section.aims, pulleys = (this.host.shape()?.pulleys ?? []).map((p): [string, string] => [p.name, p.name]);
    const set = (aims: string[], pulley = section.pulley): void => void this.edit(aimEdits(section, aims.filter(Boolean), pulley || (aims.includes("wrap") ? store.selected ?? pulleys.find(([name]) => name !== "crank")?.[0] ?? "" : "")), say("aims"));
    const names = AIMS.map((one): [string, string] => [one, say(one)]), of = [first, second];
    return h("div", {}, h("h3", {}, say("hold")), h("p", {class: "s-row"}, this.select("search-hold", "", section.hold, HOLDS.map((one) => [one, say(one)]), (value) => void this.edit([this.read?.entries.some((one) => one.path === "search.hold" && one.value !== undefined) ? {set: "search.hold", value} : {insert: "search", before: "", key: "hold", value}], say("hold")))),
      h("h3", {}, say("aims")), h("p", {class: "s-row"}, this.select("search-first", say("first"), first, names, (value) => set([value, value === second ? "" : second])),
        this.select("search-second", say("second"), second, [["", say("noSecond")], ...names.filter(([one]) => one !== first)], (value) => set([first, value])),
        of.includes("wrap") || of.includes("hub load") ? this.select("search-pulley", say("of"), section.pulley, [...(of.includes("wrap") ? [] : [["", say("anyPulley")] as [string, string]]), ...pulleys], (value) => set(of, value)) : null));
  }
  private drawRun(): void {
    const {section, job_} = this, packages = Object.keys((this.read?.entries.find((one) => one.path === "packages")?.value ?? {}) as object);
    if (job_) { renew(this.run, h("h3", {}, say("run")), this.progress(job_)); return; }
    const tries = h("input", {type: "text", inputmode: "numeric", size: 15, autocomplete: "off", id: "search-tries", "data-key": "search-tries", value: this.tries, placeholder: say("usual"), onchange: (event: Event) => { this.tries = (event.target as HTMLInputElement).value.trim(); }});
    renew(this.run, section && h("h3", {}, say("run")), section && h("p", {class: "s-row"}, h("label", {}, h("span", {}, say("tries")), tries),
      packages.length ? this.select("search-package", say("package"), this.package, [["", say("all")], ...packages.map((one): [string, string] => [one, one])], (value) => { this.package = value; }) : null,
      h("button", {type: "button", class: "main", "data-key": "search-start", disabled: !section.moves.length, onclick: () => void this.start()}, say("start"))),
      this.failure ? h("p", {class: "wrong", role: "alert"}, this.failure) : null);
  }
  private progress(job: Job<unknown>): HTMLElement {
    const so = job.so_far as SoFar | null, best = so && Object.keys(so.today).map((key) => so.best ? say("soFar", {name: say(key as Word), best: measured(key, so.best[key]), today: measured(key, so.today[key])}) : say("noneYet"));
    return h("div", {class: "work"}, h("p", {class: "s-row", role: "status"}, h("progress", {"aria-label": say("run"), value: job.of ? job.done : null, max: job.of || 1}), h("span", {}, this.ending ? say("ending") : job.of ? say("searching", {done: job.done, of: job.of}) : say("begins")),
      h("button", {type: "button", "data-key": "search-stop", onclick: () => { this.ending = true; this.job.finish(); this.drawRun(); }}, say("stop"))), ...(best ?? []).map((one) => h("p", {class: "s-best"}, one)), h("p", {class: "hint"}, say("stopHint")));
  }

  // ---- the search ---------------------------------------------------------------------------------------------------------

  private ending = false;
  private async start(): Promise<void> {
    const mine = ++this.begun, of = keyOfWork(), tries = Number(this.tries);
    if (this.tries !== "" && !(Number.isInteger(tries) && tries >= 10)) { this.failure = `${say("tries")}: ≥ 10`; this.drawRun(); return; }
    this.leave();
    Object.assign(this, {failure: "", found: null, ending: false, job_: {job: 0, state: "running", done: 0, of: 0, so_far: null, result: null}});
    this.ghosts.set(null, [], -1, false);
    this.draw();
    this.element.querySelector<HTMLElement>("[data-key=search-stop]")?.focus();
    const asked = this.host.ask();
    try {
      const answer = await this.job.ask<{search: Found}>({...asked, study: {what: "search", ...(this.tries ? {tries} : {}), ...(this.package ? {package: this.package} : {})}}, (job) => { this.job_ = job; if (this.on) this.drawRun(); });
      if (mine !== this.begun) return;
      this.job_ = null;
      if (answer) await this.show_(answer.search, asked, of);
    } catch (error) {
      this.job_ = null;
      this.failure = error instanceof Refusal ? error.message : failureOf(error);
    }
    this.draw();
    if (this.found) announce(this.count());
  }
  private async show_(answer: Found, asked: Ask, of: string): Promise<void> {
    const lay = (changes: Change[]): Promise<Shape | null> => askCore<Lay>("/api/lay", {...asked, changes: withChanges(asked.changes, changes), rpm: store.rpm, rate: 0, whole: true, case: null} as Ask).then(({body}) => body.geometry, (error: unknown) => { if (error instanceof Refused) return null; throw error; });
    const today = await lay([]), then: (Shape | null)[] = [];
    for (const one of answer.proposals) then.push(await lay(this.changes(one)));
    this.found = {of, answer, today, then};
    this.choose(0);
  }
  private changes(proposal: Proposal): Change[] { return Object.entries(proposal.changes).map(([path, text]) => ({path, value: written(text)})); }
  private choose(i: number): void { if (this.seen) this.see(false); this.chosen = i; this.shades(); this.drawResult(); }
  private shades(): void { const {found} = this; this.ghosts.set(found?.today ?? null, found?.of === keyOfWork() ? found.then : [], this.chosen, this.seen); }
  /** The proposal in the drawing, with its numbers, or today's drive again. */
  private see(on: boolean): void {
    const proposal = this.found?.answer.proposals[this.chosen];
    if (!on || !proposal) return this.hooks.settle();
    this.seen = true;
    this.hooks.preview(withChanges(store.now.changes, this.changes(proposal)));
    this.shades();
    this.drawResult();
  }
  /** The drawing is today's again, as after a drag that was given up. */
  unseen(): void {
    if (!this.seen) return;
    this.seen = false;
    this.shades();
    this.drawResult();
  }
  private accept(): void {
    const proposal = this.found?.answer.proposals[this.chosen];
    if (!proposal) return;
    this.seen = false;
    const what = say("took", {n: this.chosen + 1});
    store.commit({changes: withChanges(store.now.changes, this.changes(proposal))}, what);
    this.hooks.settle();
    announce(what);
  }

  // ---- proposals ------------------------------------------------------------------------------------------------------------

  private count(): string { const n = this.found?.answer.proposals.length ?? 0; return n === 1 ? say("found1") : n ? say("found", {n}) : say("noProposal"); }
  private drawResult(): void {
    const {found} = this;
    this.shades();
    if (!found) { renew(this.result); return; }
    const {answer} = found, fresh = found.of === keyOfWork(), none = !answer.found && answer.broken;
    renew(this.result, h("h3", {}, this.count()), fresh ? null : h("p", {class: "ask warn", role: "status"}, say("changed")),
      answer.stopped ? h("p", {}, say("stopped", {asked: answer.asked, of: answer.of})) : answer.converged ? null : h("p", {class: "hint"}, say("unsettled")),
      none || answer.proposals.length ? null : h("p", {}, say("noBetter")), none ? h("p", {}, say("noneHolds", {why: `${none.rule}: ${none.text}`})) : null, none ? h("p", {}, say("cure")) : null,
      ...answer.proposals.map((one, i) => this.proposal(one, i, fresh)), answer.proposals.length ? h("p", {class: "hint"}, say("check")) : null);
  }
  private proposal(one: Proposal, i: number, fresh: boolean): HTMLElement {
    const own = i === this.chosen, name = say("proposal", {n: i + 1}), button = h("button", {type: "button", class: "s-name", "data-key": `proposal-${i}`, "aria-pressed": String(own), onclick: () => this.choose(i)}, name), said = h("span", {}, Object.entries(one.aims).map(([key, value]) => `${say(key as Word)} ${measured(key, value)}`).join(", "));
    if (!own) return h("div", {class: "s-proposal"}, h("p", {class: "s-row"}, button, said));
    const moved = new Set(one.moves.map((move) => move.path));
    return h("div", {class: "s-proposal own"}, h("p", {class: "s-row"}, button, said),
      h("ul", {}, ...one.moves.map((move) => h("li", {}, this.moveWords(move))), ...Object.entries(one.changes).filter(([path]) => !moved.has(path)).map(([path, text]) => h("li", {}, say("also", {path, value: Number.isFinite(Number(text)) ? showUnit("length", Number(text), 1) : text})))),
      this.compared(one), h("p", {class: "s-row"}, h("button", {type: "button", "data-key": "proposal-see", "aria-pressed": String(this.seen), disabled: !fresh, onclick: () => this.see(!this.seen)}, say(this.seen ? "unsee" : "see")),
        h("button", {type: "button", class: "main", "data-key": "proposal-take", disabled: !fresh, onclick: () => this.accept()}, say("take"))));
  }
  private moveWords({path, unit: of, from, to}: Proposal["moves"][number]): string {
    const words = (value: number | Vec): string => Array.isArray(value) ? `${show("length", value[0], 1)}, ${show("length", value[1], 1)}` : of === "deg" ? showUnit("angle", value, 1) : showUnit("length", value, 1);
    const by = Array.isArray(from) && Array.isArray(to) ? say("by", {d: showUnit("length", Math.hypot(to[0] - from[0], to[1] - from[1]), 1)}) : "";
    return say("moves", {name: nameOf(path), a: words(from), b: words(to)}) + by;
  }
  private compared(one: Proposal): HTMLElement {
    const today = this.found?.answer.today as Came, rows: HTMLElement[] = MEASURES.filter(([key]) => typeof one[key] === "number" && typeof today[key] === "number").map(([key, , , more]) => {
      const a = measured(key, today[key] as number), b = measured(key, one[key] as number), up = (one[key] as number) > (today[key] as number);
      return h("tr", {}, h("th", {scope: "row"}, say(key)), h("td", {}, a), h("td", {}, b), h("td", {}, a === b || key === "change_mm" ? "" : say(up === more ? "better" : "worse")));
    });
    const share = (value: number | null): string => value === null ? "–" : (100 * value).toFixed(1);
    const count = ({kits}: Came): string => !kits || kits.why_not ? "–" : say("kitsCount", {n: kits.fail, all: kits.samples});
    const range = ({kits}: Came): string => !kits || kits.why_not ? "–" : `${share(kits.low)}–${share(kits.high)} %`;
    const two = (head: Word, of: (one: Came) => string): HTMLElement => h("tr", {}, h("th", {scope: "row"}, say(head)), h("td", {}, of(today)), h("td", {}, of(one)), h("td", {}));
    if (today.kits ?? one.kits) rows.push(two("kitsFailing", count), two("interval", range));
    const verdicts = ({pass, marginal, fail}: Came): string => `${pass}, ${marginal}, ${fail}`;
    return h("table", {class: "ledger"}, h("thead", {}, h("tr", {}, h("td", {}), h("th", {scope: "col"}, say("now")), h("th", {scope: "col"}, say("then")), h("td", {}))),
      h("tbody", {}, ...rows, two("verdicts", verdicts)));
  }
}
