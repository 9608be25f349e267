// Kits within their tolerances: how many fail and by which rules, how their numbers scatter, which tolerance to tighten; a kit that fails in the drawing.
import {call, failureOf} from "./api";
import {announce, h, renew} from "./dom";
import {Refusal, ServerJob} from "./server-job";
import type {Hooks} from "./shape-grips";
import {store, withChanges} from "./store";
import type {StudyHost} from "./study-search";
import {say, speak, type Word} from "./study-words";
import type {Job} from "./types";
import {showIn} from "./units";

interface Share { kits: number; share: number | null; low: number | null; high: number | null }
interface Kit { kit: number; verdict: string; set: Record<string, string> }
interface Change { factor: number; change: number; error: number; trusted: boolean }
interface Kits {
  checked_verdict: string; nominal: Kit; samples: number; stopped: boolean; failing: Share; rules: (Share & {rule: string; marginal: number; example: Kit | null})[]; tighten_first: string | null; loosen_first: string | null;
  numbers: Record<string, {kits: number; nominal: number | null; mean: number | null; standard_deviation: number | null; least: number | null; greatest: number | null}>; tighten: {path: string; half: Change | null; wider: Change | null}[];
}
interface Answer { kits: Kits; words: string; histograms: string | null }
const percent = (share: number | null | undefined, digits = 1): string => typeof share === "number" ? (100 * share).toFixed(digits).replace("-", "−") : "–";

export class KitsPanel {
  private readonly job = new ServerJob("/api/study", call);
  private on = false;
  private count = "";
  private running: Job<unknown> | null = null;
  private ending = false;
  private failure = "";
  private answer: Answer | null = null;
  private of = "";
  private file = store.file;
  private shown: {kit: number; rule: string} | null = null;

  constructor(private readonly element: HTMLElement, private readonly host: StudyHost, private readonly hooks: Hooks) {
    element.lang = speak(host.language());
    document.getElementById("units")?.addEventListener("click", () => { if (this.on) this.draw(); });
  }
  show(on: boolean): void {
    this.on = on;
    if (!on) this.leave();
    if (on) this.draw();
  }
  changed(): void {
    this.leave();
    if (store.file !== this.file) {
      this.job.stop();
      Object.assign(this, {file: store.file, answer: null, running: null, failure: ""});
    }
    if (this.on) this.draw();
  }
  private leave(): void { if (this.shown) { this.shown = null; this.hooks.settle(); } }
  private work(): string { return JSON.stringify([store.file, store.now.text, store.now.changes]); }

  private async start(): Promise<void> {
    const kits = Number(this.count || "1000"), of = this.work();
    this.failure = Number.isInteger(kits) && kits >= 1 && kits <= 100000 ? "" : `${say("kits")}: 1 … 100000`;
    if (this.failure) { this.draw(); return; }
    this.leave();
    Object.assign(this, {answer: null, ending: false, running: {job: 0, state: "running", done: 0, of: kits, so_far: null, result: null}});
    this.draw();
    this.element.querySelector<HTMLElement>("[data-key=kits-stop]")?.focus();
    try {
      const answer = await this.job.ask<Answer>({...this.host.ask(), study: {what: "kits", kits}}, (job) => { this.running = job; if (this.on) this.draw(); });
      if (!answer) return; // of a file that is left
      Object.assign(this, {answer, of});
    } catch (error) { this.failure = error instanceof Refusal ? error.message : failureOf(error); }
    this.running = null;
    this.draw();
    if (this.answer) announce(this.answer.words);
  }
  private bench(kit: Kit | null, rule = ""): void {
    this.shown = kit && {kit: kit.kit, rule};
    if (kit) this.hooks.preview(withChanges(store.now.changes, Object.entries(kit.set).map(([path, text]) => ({path, value: Number.isFinite(Number(text)) ? Number(text) : text})))); else this.hooks.settle();
    this.draw();
  }

  private draw(): void {
    const {answer} = this, old = answer && this.of !== this.work();
    renew(this.element, h("h2", {}, say("kitsTitle")), h("p", {class: "hint"}, say("kitsHint")), this.head(), this.failure ? h("p", {class: "wrong", role: "alert"}, this.failure) : null,
      old ? h("p", {class: "ask warn", role: "status"}, say("changedKits")) : null, ...(answer ? this.result(answer, Boolean(old)) : []));
  }
  private head(): HTMLElement {
    const {running} = this, so = running?.so_far as {failing: Share} | null | undefined;
    if (running) return h("div", {class: "work"}, h("p", {class: "s-row", role: "status"}, h("progress", {"aria-label": say("judge"), value: running.done, max: running.of || 1}), h("span", {}, this.ending ? say("ending") : say("judging", {done: running.done, of: running.of, fail: so?.failing.kits ?? 0})),
      h("button", {type: "button", "data-key": "kits-stop", onclick: () => { this.ending = true; this.job.finish(); this.draw(); }}, say("stop"))), h("p", {class: "hint"}, say("stopKits")));
    return h("p", {class: "s-row"}, h("label", {}, h("span", {}, say("kits")), h("input", {type: "text", inputmode: "numeric", size: 7, autocomplete: "off", id: "kits-count", "data-key": "kits-count", value: this.count, placeholder: "1000", onchange: (event: Event) => { this.count = (event.target as HTMLInputElement).value.trim(); }})),
      h("button", {type: "button", class: "main", "data-key": "kits-start", onclick: () => void this.start()}, say("judge")));
  }
  private result({kits, words, histograms}: Answer, old: boolean): (HTMLElement | null)[] {
    return [h("p", {class: "s-said", role: "status", lang: "en"}, words), kits.stopped ? h("p", {}, say("stoppedKits", {n: kits.samples})) : null, h("p", {}, say("asChecked", {verdict: kits.checked_verdict, nominal: kits.nominal.verdict})),
      this.shown ? h("p", {class: "ask warn", role: "status"}, `${say("shows", {n: this.shown.kit, rule: this.shown.rule})} `, h("button", {type: "button", "data-key": "kit-back", onclick: () => this.bench(null)}, say("unshow"))) : null,
      this.rules(kits, old), histograms ? h("img", {class: "s-plot", alt: say("histograms"), src: `data:image/svg+xml,${encodeURIComponent(histograms)}`}) : null, this.numbers(kits), this.tolerances(kits)];
  }
  private table(label: string, head: string[], rows: (string | HTMLElement)[][]): HTMLElement {
    return h("div", {class: "scroll", tabindex: 0, role: "region", "aria-label": label}, h("table", {class: "ledger"}, h("thead", {}, h("tr", {}, ...head.map((one) => one ? h("th", {scope: "col"}, one) : h("td", {})))),
      h("tbody", {}, ...rows.map(([first, ...rest]) => h("tr", {}, h("th", {scope: "row"}, first), ...rest.map((one) => h("td", {}, one)))))));
  }
  private rules({rules}: Kits, old: boolean): HTMLElement | null {
    const sorted = [...rules].sort((a, b) => b.kits - a.kits || b.marginal - a.marginal);
    return !rules.length ? null : this.table(say("rule"), [say("rule"), say("fail"), say("interval"), say("marginalKits"), ""], sorted.map((one) => [one.rule, String(one.kits), `${percent(one.low)} – ${percent(one.high)} %`, String(one.marginal),
      one.example ? h("button", {type: "button", "data-key": `kit-${one.rule}`, disabled: old, "aria-label": `${say("show")}: ${one.rule}`, onclick: () => this.bench(one.example, one.rule)}, say("show")) : ""]));
  }
  private numbers({numbers}: Kits): HTMLElement {
    const known: [string, Word, string, number][] = [["worst_grip", "grip", "", 3], ["blower_grip", "blower_grip", "", 3], ["blower_wrap_deg", "blower_wrap", "deg", 2], ["arm_wind_stopped_deg", "arm_stopped", "deg", 2], ["arm_wind_redline_deg", "arm_redline", "deg", 2], ["tightest_gap_mm", "gap", "mm", 2], ["boost_kPa", "boost", "kPa", 2]];
    const row = ([key, word, unit, decimals]: (typeof known)[number]): string[] => { const of = numbers[key], cell = (value: number | null): string => value === null ? "–" : showIn(unit, value, decimals); return [say(word), cell(of.nominal), cell(of.mean), cell(of.standard_deviation), cell(of.least), cell(of.greatest)]; };
    return this.table(say("noNumbers"), [say("number"), say("nominal"), say("mean"), say("sd"), say("least"), say("most")], known.filter(([key]) => numbers[key]?.kits).map(row));
  }
  private tolerances({tighten, failing, tighten_first, loosen_first}: Kits): HTMLElement | null {
    if (!failing.kits) return null;
    const cell = (one: Change | null, factor: boolean): string => !one?.trusted ? say("notKnown") : `${one.change >= 0 ? "+" : ""}${percent(one.change)} +- ${percent(one.error)} %${factor ? ` × ${one.factor}` : ""}`, of = (one: Change | null): number => one?.trusted ? one.change : Infinity;
    return h("div", {}, this.table(say("tighten"), [say("tolerance"), say("half"), say("wider")], tighten.filter((one) => one.half).sort((a, b) => of(a.half) - of(b.half)).map((one) => [one.path, cell(one.half, false), cell(one.wider, true)])),
      tighten.some((one) => !one.half) ? h("p", {class: "hint"}, say("notPredicted")) : null, tighten_first ? h("p", {}, say("first1", {path: tighten_first})) : null, loosen_first ? h("p", {}, say("loosen1", {path: loosen_first})) : null);
  }
}
