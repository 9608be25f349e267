// A run in time: what the engine does is chosen, the server computes it, and then it can be watched at any pace.
import {announce, h, renew} from "./dom";
import {Film, type Stage} from "./motion-draw";
import {Refusal, ServerJob} from "./server-job";
import {RunPlot, signs, type Strip} from "./motion-plot";
import type {Columns, Host, MotionAnswer, MotionRun, RunEvent} from "./motion-types";
import {say, type Word} from "./motion-words";
import type {Shape} from "./types";

const scenarios = ["pull", "shift", "lift", "blip", "launch", "hold"] as const;
const SAMPLE = 5e-4, SLIPS = 1e-3, SLOWEST = 500; // s; m/s; times
const windows = [1, 0.2, 0.05, 0.01]; // s

export class Runs {
  readonly element = h("section", {"aria-labelledby": "motion-run"});
  private readonly form = h("div");
  private readonly work = h("div");
  private readonly result = h("div");
  private readonly live = h("p", {class: "m-now"});
  private readonly job: ServerJob;
  private readonly plot: RunPlot;
  private readonly film = new Film((seconds) => this.advance(seconds));
  private scenario: string = "pull";
  private rpm = "";
  private seconds = "2";
  private even = false;
  private answer: MotionAnswer<MotionRun> | null = null;
  private shape: Shape | null = null; // of the drive that ran
  private turned: Float64Array[] = [];
  private stale = false;
  private time = 0;
  private slow = 0.5; // of the slider: 1 is the slowest
  private window = 0; // s; 0: all
  private pulley = -1;
  private span = -1;
  private drawn = false;
  private running = false;
  private slider: HTMLInputElement | null = null;
  private button: HTMLButtonElement | null = null;

  constructor(private readonly host: Host, private readonly stage: Stage, private readonly taken: () => void) {
    this.job = new ServerJob("/api/motion", host.call);
    this.plot = new RunPlot((time) => this.go(time));
    this.element.append(h("h2", {id: "motion-run"}, say("run")), this.form, this.work, this.result);
    new ResizeObserver(() => { if (this.plot.svg.isConnected && this.element.clientWidth) this.drawPlot(); }).observe(this.element);
    this.drawForm();
  }

  /** The drive is another now. */
  changed(): void {
    if (this.running) { this.job.stop(); this.endWork(); }
    this.leave();
    this.stale = this.answer !== null;
    this.drawResult();
  }
  /** The drive that is on the bench, as the program knows it: after a save or an undo a run may be of now again. */
  known(fingerprint: string, shape: Shape | null): void {
    if (!this.stale || !shape || this.answer?.motion.build.fingerprint !== fingerprint) return;
    this.stale = false;
    this.shape = shape;
    this.drawResult();
  }
  leave(): void { this.film.stop(); this.label(); if (this.drawn) this.stage.clear(); this.drawn = false; }
  /** Another file, or other units. */
  forget(): void { this.job.stop(); this.endWork(); this.leave(); this.answer = null; this.drawResult(); }
  restyle(): void { this.drawForm(); this.drawResult(); }

  // ---- asking ------------------------------------------------------------------------------------------------------------

  private drawForm(): void {
    const hold = this.scenario === "hold";
    renew(this.form, h("p", {class: "m-row"}, h("label", {for: "motion-scenario"}, say("scenario")),
      h("select", {id: "motion-scenario", "data-key": "motion-scenario", onchange: (event: Event) => { this.scenario = (event.target as HTMLSelectElement).value; this.drawForm(); }}, ...scenarios.map((name) => h("option", {value: name, selected: name === this.scenario}, say(name)))),
      hold ? h("label", {}, `${say("at")} `, h("input", {id: "motion-rpm", "data-key": "motion-rpm", inputmode: "decimal", size: 6, autocomplete: "off", value: this.rpm || String(this.host.shape()?.engine?.idle_rpm ?? ""), oninput: (event: Event) => { this.rpm = (event.target as HTMLInputElement).value; }}), ` ${say("rpm")}`) : null,
      hold ? h("label", {}, `${say("for")} `, h("input", {id: "motion-seconds", "data-key": "motion-seconds", inputmode: "decimal", size: 4, autocomplete: "off", value: this.seconds, oninput: (event: Event) => { this.seconds = (event.target as HTMLInputElement).value; }}), ` ${say("seconds")}`) : null,
      h("label", {}, h("input", {type: "checkbox", "data-key": "motion-even", checked: this.even, onchange: (event: Event) => { this.even = (event.target as HTMLInputElement).checked; }}), ` ${say("even")}`),
      h("button", {type: "button", class: "main", "data-key": "motion-start", onclick: () => void this.start()}, say("start"))));
  }
  private wanted(): Record<string, unknown> {
    const number = (text: string): number => Number(text.replace(",", ".")), asked: Record<string, unknown> = {run: this.scenario, every: SAMPLE, even: this.even};
    if (this.scenario !== "hold") return asked;
    const rpm = this.rpm.trim() || String(this.host.shape()?.engine?.idle_rpm ?? "");
    return {...asked, ...(rpm ? {rpm: Number.isFinite(number(rpm)) ? number(rpm) : rpm} : {}), seconds: Number.isFinite(number(this.seconds)) ? number(this.seconds) : this.seconds}; // what is no number is the server's to refuse
  }
  private async start(): Promise<void> {
    this.forget();
    this.stale = false;
    this.running = true;
    this.progress(0, 0);
    this.shape = this.host.shape();
    try {
      const answer = await this.job.ask<MotionAnswer<MotionRun>>({...this.host.ask(), motion: this.wanted()}, ({done, of}) => this.progress(done, of));
      if (!answer) return;
      this.endWork();
      this.take(answer);
    } catch (error) {
      this.endWork(h("pre", {class: "failure", role: "alert"}, error instanceof Refusal ? error.message : this.host.failureOf(error)));
    }
  }
  private progress(done: number, of: number): void {
    const words = `${say("running", {done: (done / 100).toFixed(2)})}${of ? say("of", {of: (of / 100).toFixed(2)}) : ""}`, bar = this.work.querySelector("progress"), text = this.work.querySelector("span");
    if (bar && text) { if (of) { bar.max = of; bar.value = done; } text.textContent = words; return; }
    this.element.setAttribute("aria-busy", "true");
    renew(this.work, h("p", {class: "work"}, h("progress", {"aria-label": say("run")}), " ", h("span", {}, words), " ", h("button", {type: "button", "data-key": "motion-stop", onclick: () => { this.job.stop(); this.endWork(h("p", {class: "hint", role: "status"}, say("stopped"))); }}, say("stop"))));
  }
  private endWork(words: HTMLElement | null = null): void { this.running = false; this.element.removeAttribute("aria-busy"); renew(this.work, words); }

  // ---- what came ---------------------------------------------------------------------------------------------------------

  private take(answer: MotionAnswer<MotionRun>): void {
    this.answer = answer;
    this.time = this.window = 0;
    const {columns} = answer;
    this.turned = columns ? columns.pulleys.map(({rpm}) => angles(columns.time_s, rpm)) : [];
    const blower = this.shape?.pulleys.findIndex((p) => p.blower) ?? -1;
    this.pulley = blower >= 0 ? blower : 0;
    this.span = -1;
    this.drawResult();
    announce(answer.motion.started ? `${say("events")}: ${answer.motion.events.length}` : say("nothing"));
  }
  private get columns(): Columns | null { return this.answer?.columns ?? null; }

  private drawResult(): void {
    const {answer, columns} = this;
    this.slider = this.button = null;
    if (!answer) { renew(this.result); return; }
    const {motion} = answer, stale = this.stale ? h("p", {class: "hint stale-note", role: "status"}, say("oldRun")) : null;
    if (!motion.started || !columns) { renew(this.result, stale, h("p", {class: "m-alert", role: "alert"}, say("notStarted", {why: motion.no_balance ?? ""}))); return; }
    const thrown = motion.belt_thrown_at_event === null ? null : motion.events[motion.belt_thrown_at_event];
    renew(this.result, stale,
      motion.whole ? null : h("p", {class: "m-alert", role: "alert"}, say("ended", {time: motion.ended_s.toFixed(3), why: motion.stopped_by ?? ""})),
      thrown ? h("p", {class: "m-alert", role: "alert"}, h("span", {class: "sign fail", "aria-hidden": "true"}, "✕ "), say("thrownWords", {at: thrown.at.replace(" - ", " – ")})) : null,
      motion.crank_even_why ? h("p", {class: "hint"}, say("evenWhy", {why: motion.crank_even_why})) : null,
      motion.assumed.length ? h("p", {class: "hint", lang: "en"}, say("assumed", {list: motion.assumed.join("; ")})) : null,
      this.player(motion, columns), this.chooser(motion), h("div", {class: "scroll m-plot-holder"}, this.plot.svg as unknown as HTMLElement), h("p", {class: "hint"}, say("straight", {ms: (1000 * stepOf(columns)).toFixed(1)})), this.eventList(motion), this.extremes(motion));
    this.plot.svg.setAttribute("aria-label", say("plot"));
    this.drawPlot();
    this.show();
  }

  private player(motion: MotionRun, columns: Columns): HTMLElement {
    const slow = (): string => { const by = SLOWEST ** this.slow; return `1:${by < 10 ? by.toFixed(1).replace(/\.0$/, "") : by.toFixed(0)}`; };
    const out = h("output", {for: "motion-slow"}, slow());
    this.slider = h("input", {type: "range", id: "motion-time", "data-key": "motion-time", min: 0, max: motion.ended_s, step: stepOf(columns), oninput: (event: Event) => this.go(Number((event.target as HTMLInputElement).value))});
    this.slider.value = String(this.time);
    const pace = h("input", {type: "range", id: "motion-slow", "data-key": "motion-slow", min: 0, max: 100, step: 1, "aria-valuetext": slow(), oninput: (event: Event) => { const input = event.target as HTMLInputElement; this.slow = Number(input.value) / 100; out.textContent = slow(); input.setAttribute("aria-valuetext", slow()); }});
    pace.value = String(100 * this.slow);
    this.button = h("button", {type: "button", class: "main", "data-key": "motion-play", disabled: this.stale, onclick: () => { if (this.film.on) { this.film.stop(); this.label(); } else this.play(); }}, say("play"));
    return h("div", {class: "m-player", role: "group", "aria-label": say("run")},
      h("p", {class: "m-row"}, this.button, h("button", {type: "button", "data-key": "motion-to-start", onclick: () => this.go(0)}, say("toStart")), h("button", {type: "button", "data-key": "motion-leave", onclick: () => this.leave()}, say("stop"))),
      h("p", {class: "m-slide"}, h("label", {for: "motion-time"}, say("time")), this.slider), h("p", {class: "m-slide"}, h("label", {for: "motion-slow"}, say("slow")), pace, out), this.live, this.film.calm ? h("p", {class: "hint"}, say("still")) : null);
  }
  private chooser(motion: MotionRun): HTMLElement {
    const select = (key: string, label: Word, value: number, options: [number, string][], chosen: (value: number) => void): HTMLElement =>
      h("label", {}, `${say(label)} `, h("select", {"data-key": key, onchange: (event: Event) => { chosen(Number((event.target as HTMLSelectElement).value)); this.drawPlot(); this.show(false); }}, ...options.map(([of, name]) => h("option", {value: of, selected: of === value}, name))));
    return h("p", {class: "m-row"}, select("motion-window", "window", this.window, [[0, say("wholeRun")], ...windows.filter((one) => one < motion.ended_s).map((one): [number, string] => [one, `${one} ${say("seconds")}`])], (value) => { this.window = value; }),
      select("motion-pulley", "pulley", this.pulley, motion.pulleys.map((one, i): [number, string] => [i, one.name]), (value) => { this.pulley = value; }),
      select("motion-span", "spans", this.span, [[-1, say("three")], ...motion.spans.map((one, i): [number, string] => [i, one.span.replace(" - ", " – ")])], (value) => { this.span = value; }));
  }
  private eventWords(event: RunEvent): string {
    const {showUnit, show} = this.host, at = event.at.replace(" - ", " – ");
    const what: Record<string, () => string> = {slack: () => say("sSlack", {at, loose: showUnit("length", event.loose_mm)}), slips: () => say("sSlips", {at, speed: showUnit("speed", event.slip_m_s)}), freewheels: () => say("sFree", {at, rpm: show("rpm", event.faster_rpm)}), "arm at free end": () => say("sRest"), "arm at stop": () => say("sStop"), "arm sticks": () => say("sSticks")};
    const ms = (1000 * event.longest_s).toFixed(1);
    return `${what[event.what]?.() ?? event.what}${event.times > 1 ? `; ${say("times", {n: event.times, ms})}` : ` ${say("once", {ms})}`}`;
  }
  private eventList(motion: MotionRun): HTMLElement {
    const {show} = this.host, when = (e: RunEvent): string => e.times > 1 ? `${e.from_s.toFixed(3)} – ${e.to_s.toFixed(3)} s, ${show("rpm", e.from_rpm)} – ${show("rpm", e.to_rpm)} ${say("rpm")}` : `${e.from_s.toFixed(3)} s, ${show("rpm", e.from_rpm)} ${say("rpm")}`;
    return h("div", {}, h("h3", {}, say("events")), motion.events.some((one) => one.what !== "arm sticks") ? null : h("p", {class: "hint"}, say("nothing")), // that an arm sticks is no event of note
      motion.events.length ? h("ul", {class: "m-events"}, ...motion.events.map((event, i) => h("li", {class: i === motion.belt_thrown_at_event ? "thrown" : null}, h("button", {type: "button", "data-key": `event-${i}`, onclick: () => this.go(event.from_s)},
        h("span", {class: "sign", "aria-hidden": "true"}, i === motion.belt_thrown_at_event ? signs.thrown : signs[event.what] ?? "·"), h("b", {}, ` ${when(event)} `), this.eventWords(event), i === motion.belt_thrown_at_event ? `. ${say("thrown")}` : "")))) : null,
      motion.events_cut ? h("p", {class: "hint"}, say("more")) : null);
  }
  private extremes(motion: MotionRun): HTMLElement {
    const {show} = this.host;
    return h("details", {}, h("summary", {}, say("extremes")), h("div", {class: "scroll", tabindex: 0, role: "region", "aria-label": say("extremes")}, h("table", {class: "ledger"},
      h("thead", {}, h("tr", {}, h("th", {scope: "col"}, say("span")), h("th", {scope: "col"}, say("least"), h("small", {}, this.host.showUnit("force", 0).replace(/^0 /, ""))), h("th", {scope: "col"}, say("greatest")), h("th", {scope: "col"}, say("slackShare")))),
      h("tbody", {}, ...motion.spans.map((one) => h("tr", {}, h("th", {scope: "row"}, one.span.replace(" - ", " – ")), h("td", {}, show("force", one.tension_N.low)), h("td", {}, show("force", one.tension_N.high)), h("td", {}, (100 * one.slack_share).toFixed(1)))))),
      h("table", {class: "ledger"}, h("thead", {}, h("tr", {}, h("th", {scope: "col"}, say("pulley")), h("th", {scope: "col"}, say("hub")))), h("tbody", {}, ...motion.pulleys.map((one) => h("tr", {}, h("th", {scope: "row"}, one.name), h("td", {}, show("force", one.hub_N.high))))))));
  }

  // ---- the curves --------------------------------------------------------------------------------------------------------

  private spansShown(motion: MotionRun): number[] {
    if (this.span >= 0) return [this.span];
    return motion.spans.map((one, i) => ({i, swing: one.tension_N.high - one.tension_N.low})).sort((a, b) => b.swing - a.swing).slice(0, 3).map(({i}) => i).sort((a, b) => a - b);
  }
  private drawPlot(): void {
    const {answer, columns} = this;
    if (!answer || !columns) return;
    const {showUnit} = this.host, {motion} = answer, rpm = (v: number | null): string => showUnit("rpm", v);
    const strips: Strip[] = [{name: say("engine"), values: columns.engine_rpm, beside: columns.crank_rpm, show: rpm}];
    if (this.pulley >= 0) strips.push({name: say("speedOf", {name: motion.pulleys[this.pulley].name}), values: columns.pulleys[this.pulley].rpm, show: rpm});
    for (const i of this.spansShown(motion)) strips.push({name: say("tensionOf", {name: motion.spans[i].span.replace(" - ", " – ")}), values: columns.spans[i].tension_N, low: columns.spans[i].low_N, high: columns.spans[i].high_N, show: (v) => showUnit("force", v)});
    if (motion.arm) strips.push({name: say("armAngle"), values: columns.arm_deg, show: (v) => showUnit("angle", v)});
    this.plot.take(columns.time_s, strips, motion.events.map((event, i) => ({event, thrown: i === motion.belt_thrown_at_event})));
    this.follow(true);
  }
  /** The window holds the moment; it turns over like a page. */
  private follow(force: boolean): void {
    const end = this.answer?.motion.ended_s ?? 1, [from, until] = this.plot.range, inSight = this.time >= from && this.time <= until && Math.abs(until - from - (this.window || end)) < 1e-6;
    if (!force && (inSight || !this.window)) return;
    if (!this.window) this.plot.sight(0, end);
    else { const at = Math.min(Math.max(0, end - this.window), Math.max(0, this.time - 0.1 * this.window)); this.plot.sight(at, at + this.window); }
    this.plot.draw(Math.max(240, this.element.clientWidth - 26));
  }

  // ---- the film ----------------------------------------------------------------------------------------------------------

  private play(): void {
    if (this.answer && this.time >= this.answer.motion.ended_s - 1e-9) this.time = 0;
    this.taken();
    this.host.front();
    this.film.play();
    this.label();
  }
  private label(): void { if (this.button) this.button.textContent = say(this.film.on ? "pause" : "play"); }
  private advance(seconds: number): boolean {
    const end = this.answer?.motion.ended_s ?? 0;
    this.time = Math.min(end, this.time + seconds / SLOWEST ** this.slow);
    this.show();
    if (this.time < end) return true;
    setTimeout(() => this.label());
    return false;
  }
  /** A moment that a hand chose. */
  private go(time: number): void {
    this.film.stop();
    this.label();
    this.time = Math.min(this.answer?.motion.ended_s ?? 0, Math.max(0, time));
    if (!this.stale) { this.taken(); this.host.front(); }
    this.show();
  }
  private show(draw = !this.stale && (this.drawn || this.film.on || this.time > 0)): void {
    const {answer, columns, shape} = this;
    if (!answer || !columns) return;
    const row = this.plot.rowAt(this.time), {motion} = answer;
    this.follow(false);
    this.plot.cursor(this.time, row);
    const loose = columns.spans.map((one) => one.loose[row] === 1), slips = columns.pulleys.map((one) => Math.abs(one.slip_m_s[row]) > SLIPS), thrown = motion.belt_thrown_at_event !== null && this.time >= motion.events[motion.belt_thrown_at_event].from_s;
    const {show, showUnit} = this.host, names = (flags: boolean[], of: (i: number) => string): string => flags.map((on, i) => (on ? of(i).replace(" - ", " – ") : "")).filter(Boolean).join(", ");
    const slackList = names(loose, (i) => motion.spans[i].span), slipList = names(slips, (i) => motion.pulleys[i].name), arm = columns.arm_deg[row];
    const words = say("now", {time: this.time.toFixed(4), rpm: show("rpm", columns.engine_rpm[row])}) + (arm === null ? "" : say("nowArm", {arm: showUnit("angle", arm)})) + (slackList ? say("nowSlack", {list: slackList}) : "") + (slipList ? say("nowSlips", {list: slipList}) : "") + (thrown ? say("nowThrown") : "");
    this.live.textContent = words;
    if (this.slider) { if (document.activeElement !== this.slider || this.film.on) this.slider.value = String(this.time); this.slider.setAttribute("aria-valuetext", words); }
    if (!draw || !shape) return;
    this.drawn = true;
    const {time_s: times} = columns, next = Math.min(row + 1, times.length - 1), t = next > row ? Math.min(1, Math.max(0, (this.time - times[row]) / (times[next] - times[row]))) : 0, between = (a: number, b: number): number => a + t * (b - a), armNext = columns.arm_deg[next];
    this.stage.take(shape, answer.places);
    this.stage.draw({wind_deg: arm === null ? null : between(arm, armNext ?? arm), turned: this.turned.map((one) => between(one[row], one[next])), from: null, loose, slips, thrown: thrown ? motion.spans.findIndex((one) => one.span === motion.events[motion.belt_thrown_at_event ?? 0].at) : null});
  }
}

function stepOf(columns: Columns): number { return columns.time_s.length > 1 ? columns.time_s[1] - columns.time_s[0] : 1e-3; }
/** Where each pulley stands, rad: its speed summed over the rows, to draw it by. */
function angles(times: number[], rpm: number[]): Float64Array {
  const all = new Float64Array(times.length);
  for (let i = 1; i < times.length; i++) all[i] = all[i - 1] + (rpm[i] + rpm[i - 1]) / 2 * (times[i] - times[i - 1]) * Math.PI / 30;
  return all;
}
