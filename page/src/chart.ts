// Every build that the kit offers, as a grid with the reason behind each cell.
import "./shared";
import {call, Refused, type Ask} from "./api";
import {chartHere} from "./chart-here";
import {announce, h, renew} from "./dom";
import {glyph} from "./drawing";
import {cautionList, notJudgedList, valueAgainstLimit} from "./panels";
import type {Change, Chart, ChartBuild, ChartColumn, Job, Problem} from "./types";
import {show, showIn} from "./units";

// ms: between two looks at a chart that is on its way, and without a change before a chart is asked for anew.
const LOOK_FIRST = 25, LOOK_MOST = 250, REST = 120;
/** So often a busy server is asked again. */
const BUSY_MOST = 20;

/** The same build of another chart: by its code, which a `+` says more was changed of; where the file's text is another one, by what it is sold as. */
function sameBuild(builds: ChartBuild[], was: ChartBuild): number {
  const bare = (b: ChartBuild): string => b.code.replace(/\+$/, ""), sold = (b: ChartBuild): string => JSON.stringify([b.variant, b.package, b.options]);
  const at = builds.findIndex((one) => bare(one) === bare(was));
  return at >= 0 ? at : builds.findIndex((one) => sold(one) === sold(was));
}

export class ChartPanel {
  private chart: Chart | null = null;
  private of = "";
  private saved: {chart: Chart; of: string} | null = null; // the last one of a text without changes
  private units: string | undefined = undefined; // of the sentences in it
  private job = 0;                              // of the server
  private here: AbortController | null = null;  // of the workers of this page, or of a server that has not begun yet
  private progress: Job<Chart> | null = null;
  private failure = "";
  private chosen = -1;
  private variant = "";
  private asked = ""; // mark of the job
  private again = 0; // timer of a chart that follows a change
  constructor(readonly element: HTMLElement, private readonly ask: () => Ask, private readonly take: (changes: Change[], what: string) => void) {}

  /** Its builds with their numbers, where it is of this very text. */
  buildsOf(text: string): {number: number; build: ChartBuild}[] {
    if (!this.saved || this.saved.of !== `${text}[]`) return [];
    const {columns, builds} = this.saved.chart, at = columns.findIndex((one) => one.key === "build");
    return builds.map((build) => ({number: Number(build.cells[at]), build}));
  }

  private get stale(): boolean { return this.chart !== null && this.of !== this.mark(); }
  private mark(): string { const {text, changes} = this.ask(); return text + JSON.stringify(changes); }

  async start(): Promise<void> {
    this.failure = "";
    clearTimeout(this.again);
    const mark = this.mark(), units = this.ask().units;
    this.asked = mark;
    const began = performance.now();
    try {
      if (await this.startHere(mark, units)) { if (this.of === mark) performance.measure("snub-chart", {start: began, end: performance.now()}); return; }
      const job = await this.begin(mark);
      if (!job) return;
      this.job = job;
      this.progress = {job, state: "running", done: 0, of: 0, result: null};
      this.draw();
      await this.follow(job, mark, units);
      if (this.of === mark && !this.job) performance.measure("snub-chart", {start: began, end: performance.now()});
    } catch (error) {
      if (this.asked !== mark) return; // a newer one is on its way
      this.job = 0;
      this.here = null;
      this.failure = error instanceof Refused ? `${error.problem.title}. ${error.problem.detail} ${error.problem.errors.map((m) => m.message).join("; ")}` : (error as Error).message;
      this.draw();
    }
  }
  /** At the server, which may be busy for a while: a chart that was dropped is still ending. @return the job; 0: ended by a move or by hand */
  private async begin(mark: string): Promise<number> {
    const own = this.here = new AbortController(), gone = (): boolean => own.signal.aborted;
    for (let busy = 0; ; busy++) {
      try {
        const {body: {job}} = await call<{job: number}>("POST", "/api/chart", {...this.ask(), builds_only: true});
        if (!gone()) this.here = null;
        if (!gone() && this.mark() === mark) return job;
        await this.drop(job); // it was changed meanwhile: the next one is on its way
        return 0;
      } catch (error) {
        if (gone()) return 0;
        if (!(error instanceof Refused) || error.problem.status !== 503 || busy === BUSY_MOST) throw error;
      }
      await new Promise((done) => setTimeout(done, LOOK_MOST));
      if (gone()) return 0;
    }
  }
  /** By the workers of this page. @return false: the server must be asked */
  private async startHere(mark: string, units: string | undefined): Promise<boolean> {
    this.endHere();
    const own = this.here = new AbortController();
    let drawn = performance.now();
    const progress = (done: number, of: number): void => {
      if (this.here !== own) return;
      this.progress = {job: 0, state: "running", done, of, result: null};
      if (performance.now() - drawn > LOOK_MOST) { drawn = performance.now(); this.draw(); }
    };
    progress(0, 0);
    this.draw();
    try {
      const got = await chartHere({...this.ask(), builds_only: true} as Ask, progress, own.signal);
      if (this.here !== own) return true;
      this.here = null;
      if (!got) return false;
      if (got.status === 200) this.show(got.body as Chart, mark, units); else this.failed(got.body as Problem);
    } catch (error) { // ended by a move or by hand: whoever did so has said what comes next
      if (!own.signal.aborted) throw error;
      return true;
    }
    this.draw();
    return true;
  }
  private show(chart: Chart, mark: string, units: string | undefined): void {
    const was = this.chart?.builds[this.chosen];
    this.chart = chart;
    this.chosen = was ? sameBuild(chart.builds, was) : -1;
    this.of = mark;
    if (mark.endsWith("[]")) this.saved = {chart, of: mark};
    this.units = units;
    announce(`Chart ready: ${chart.builds.length} builds`);
  }
  private failed(problem: Problem): void { this.failure = `${problem.title}. ${problem.errors.map((m) => m.text || m.message).join("\n") || problem.detail}`; }
  private async follow(job: number, mark: string, units: string | undefined): Promise<void> {
    for (let wait = LOOK_FIRST; this.job === job; wait = Math.min(LOOK_MOST, wait * 1.3)) {
      await new Promise((done) => setTimeout(done, wait));
      const {body} = await call<Job<Chart>>("GET", `/api/job?id=${job}`);
      if (this.job !== job) return;
      this.progress = body;
      if (body.state === "running") { this.draw(); continue; }
      this.job = 0;
      if (body.state === "done") this.show(body.result as Chart, mark, units);
      else if (body.state === "stopped") this.failure = "Stopped.";
      else this.failed(body.result as Problem);
    }
    this.draw();
  }
  private get running(): boolean { return this.job !== 0 || this.here !== null; }
  private endHere(): void { this.here?.abort(); this.here = null; }
  private async stop(): Promise<void> {
    if (this.here) { this.endHere(); this.failure = "Stopped."; this.draw(); }
    if (this.job) await call("DELETE", `/api/job?id=${this.job}`);
  }
  private async drop(job: number): Promise<void> { try { await call("DELETE", `/api/job?id=${job}`); } catch { /* it ends by itself */ } }
  /** The drive was changed: a chart that is shown stays, dimmed, until the new one is there; one that is on its way is dropped. Whoever says so draws it then. */
  follows(visible: boolean): void {
    if (!visible) return;
    if (this.running ? this.asked !== this.mark() : this.stale) {
      const job = this.job;
      clearTimeout(this.again);
      this.endHere();
      this.job = 0;
      if (job) void this.drop(job);
      this.again = window.setTimeout(() => void this.start(), REST);
    }
  }

  draw(): void {
    const {running, progress} = this;
    const bar = running ? h("p", {class: "work"}, h("progress", progress && progress.of ? {max: progress.of, value: progress.done, "aria-label": "Builds calculated"} : {"aria-label": "Builds calculated"}), ` ${progress?.done ?? 0} of ${progress?.of || "…"} builds `,
      h("button", {type: "button", "data-key": "stop", onclick: () => void this.stop()}, "Stop"))
      : h("p", {class: "work"}, h("button", {type: "button", class: "main", "data-key": "start", onclick: () => void this.start()}, this.chart ? "Recalculate" : "Calculate every build"), this.stale ? h("span", {class: "stale-note"}, " The drive has changed since then.") : this.chart && this.units !== this.ask().units ? h("span", {class: "stale-note"}, " Recalculate for sentences in these units.") : null);
    this.element.classList.toggle("old", this.stale);
    this.element.setAttribute("aria-busy", String(running));
    renew(this.element, bar, this.failure ? h("pre", {class: "failure", role: "alert"}, this.failure) : null, ...(this.chart ? this.grid(this.chart) : [running ? null : h("p", {class: "hint"}, "Every choice of the file’s options, in every package, for every variant: stock belt, slot setting, wrap, grip, and the reason if it does not pass. Belt and settings are chosen again for each build, whatever the file gives.")]));
  }

  private grid(chart: Chart): (HTMLElement | null)[] {
    const variants = [...new Set(chart.builds.map((b) => b.variant ?? ""))];
    if (!variants.includes(this.variant)) this.variant = variants[0];
    const builds = chart.builds.map((build, index) => ({build, index})).filter(({build}) => (build.variant ?? "") === this.variant);
    const named = (b: ChartBuild): [string, unknown][] => chart.columns.flatMap((column, i): [string, unknown][] => column.key === "options" && column.of ? [[column.of, b.cells[i]]] : []);
    // columns are packages where the file has them, else rib counts; what is left of the options names the rows
    const packaged = builds.some(({build}) => build.package);
    const columnOf = (b: ChartBuild): string => packaged ? b.package ?? "" : String(b.ribs);
    const rowKey = (b: ChartBuild): string => named(b).filter(([k]) => packaged || k !== "belt.ribs").map(([k, v]) => k === "belt.ribs" ? `${v} ribs` : `${k.replace(/\.diameter$/, "")} ${v}`).join(", ") || "as in the file";
    const columns = [...new Map(builds.map(({build}) => [columnOf(build), build.ribs]))].sort(packaged ? () => 0 : (a, b) => a[1] - b[1]).map(([key]) => key);
    const columnTitle = (key: string): string => {
      const ribs = [...new Set(builds.filter(({build}) => columnOf(build) === key).map(({build}) => build.ribs))];
      return packaged ? ribs.length === 1 ? `${key}, ${ribs[0]} ribs` : key : `${key} ribs`;
    };
    const rows = [...new Set(builds.map(({build}) => rowKey(build)))];
    const cell = (row: string, column: string): HTMLElement => {
      const found = builds.find(({build}) => rowKey(build) === row && columnOf(build) === column);
      if (!found) return h("td", {class: "empty"}, packaged ? "not sold" : "");
      const {build, index} = found, reason = build.findings.find((f) => f.level === build.verdict) ?? build.findings[0];
      const wrap = Object.values(build.wrap_deg)[0];
      return h("td", {}, h("button", {type: "button", class: `cell ${build.verdict}`, "data-key": `b${index}`, "aria-pressed": String(index === this.chosen), onclick: () => { this.chosen = index; this.draw(); }},
        h("span", {class: "verdict"}, h("span", {class: "sign", "aria-hidden": "true"}, glyph[build.verdict]), ` ${build.verdict}`),
        h("b", {}, build.designation ?? "no belt"), h("span", {class: "numbers"}, build.designation ? `${wrap === undefined ? "" : `${show("angle", wrap, 0)}° `}grip ${show("plain", build.grip_used, 2)}` : ""),
        reason ? h("span", {class: "why"}, `${reason.rule.replaceAll("_", " ")}${reason.pulley ? `: ${reason.pulley}` : ""}`) : null));
    };
    const table = h("div", {class: "scroll", tabindex: 0, role: "region", "aria-label": "Chart of builds"}, h("table", {class: "grid"}, h("caption", {class: "hidden"}, `Builds${this.variant ? ` of ${this.variant}` : ""}`),
      h("thead", {}, h("tr", {}, h("td", {}, ""), ...columns.map((key) => h("th", {scope: "col"}, columnTitle(key))))), h("tbody", {}, ...rows.map((row) => h("tr", {}, h("th", {scope: "row"}, row), ...columns.map((key) => cell(row, key)))))));
    const pick = variants.length > 1 ? h("label", {class: "variant"}, "Variant ", h("select", {"data-key": "variant", onchange: (event: Event) => { this.variant = (event.target as HTMLSelectElement).value; this.chosen = -1; this.draw(); }}, ...variants.map((v) => h("option", {value: v, selected: v === this.variant}, v || "as in the file")))) : null;
    const count = (level: string): number => chart.builds.filter((b) => b.verdict === level).length;
    const notSold = chart.excluded.filter((one) => one.builds > 0).map((one) => h("p", {class: "hint"}, `${one.package} is not sold with ${[one.variants.join(", "), ...Object.entries(one.options).map(([path, values]) => `${path.replaceAll(".", " ")} ${values.join(", ")}`)].filter(Boolean).join("; ")}: ${one.reason}`));
    return [pick, h("p", {class: "sum"}, `${chart.builds.length} builds: ${glyph.pass} ${count("pass")} pass, ${glyph.marginal} ${count("marginal")} marginal, ${glyph.fail} ${count("fail")} fail. `), h("details", {}, h("summary", {}, `${chart.belts.length} belts cover them`), h("p", {class: "hint"}, chart.belts.map((b) => `${b.designation} (${b.builds})`).join(", "))),
      cautionList(chart.cautions), table, ...notSold, this.chosen >= 0 ? this.detail(chart.builds[this.chosen], chart.columns) : h("p", {class: "hint"}, "Select a cell to see its reasons."), notJudgedList(chart.not_judged)];
  }

  /** Every column of the chart that has a value for this build, but for those that stand in its head or its findings. */
  private detail(build: ChartBuild, columns: ChartColumn[]): HTMLElement {
    const told = new Set(["build", "verdict", "variant", "package", "options", "ribs", "designation", "first_reason", "findings"]);
    const facts = columns.map((column, i) => ({column, value: build.cells[i]})).filter(({column, value}) => value !== null && value !== undefined && !told.has(column.key));
    const options = Object.entries(build.options ?? {}).map(([path, value]) => `${path.replaceAll(".", " ")} ${value}`);
    return h("article", {class: "detail"}, h("h2", {}, [build.designation ?? "No belt", build.variant, build.package, ...options].filter(Boolean).join(" · ")),
      h("dl", {}, ...facts.flatMap(({column, value}) => [h("dt", {}, column.title), h("dd", {}, typeof value === "number" ? showIn(column.unit, value, column.decimals) : String(value))])),
      h("ul", {}, ...build.findings.map((f) => h("li", {class: f.level}, h("span", {class: "sign", "aria-hidden": "true"}, glyph[f.level]), h("b", {}, ` ${f.level} `), `${f.rule.replaceAll("_", " ")}${f.pulley ? `, ${f.pulley}` : ""} ${valueAgainstLimit(f)}. ${f.text}`))),
      cautionList(build.cautions),
      build.changes && build.belt_length_mm !== null ? h("button", {type: "button", class: "main", "data-key": "take", onclick: () => this.onBench(build)}, "Use this build") : h("p", {class: "hint"}, "This build has no belt."));
  }

  /** The server says what differs from the file; what the file leaves open is settled there as it was here. */
  private onBench(build: ChartBuild): void {
    this.take([...(build.changes ?? [])], `build ${build.designation}`);
    announce(`${build.designation} in use`);
  }
}
