// A data log against the build on the bench: what `snub log` says of it, its curves, and the drive at the speed under the cursor.
import type uPlot from "uplot";
import {Latest, type Answer, type Ask} from "./api";
import {em, h, renew} from "./dom";
import type {Level} from "./types";
import type {Kind} from "./units";

/** What the page gives: its questions to the server and its units are the page's, of which there is one each. */
export interface LogHost {
  ask(): Ask;
  call<T>(body: unknown): Promise<Answer<T>>;
  failure(error: unknown): string;
  plots(): Promise<typeof uPlot>;
  moved(rpm: number): void;
  chosen(rpm: number): void;
  unit(kind: Kind): {name: string; factor: number; digits: number};
  show(kind: Kind, value: number | null, digits?: number): string;
}
/** As `snub log --json` has it. */
interface Slip {
  runs_on: boolean; start_s: number; end_s: number; plot_s: [number, number]; start_rpm: number; end_rpm: number; mean_pct: number; mean_error_pct: number; worst_pct: number; worst_rpm: number;
  heat_J: number | null; likely_pulley: string | null; check_says: string; looks_like: string | null; text: string;
}
interface Pull { start_s: number; end_s: number; start_rpm: number; end_rpm: number }
interface Log { verdict: Level; slips: Slip[]; slips_not_listed: number; pulls: Pull[]; gear_changes: Pull[]; words: string[]; calibration: {threshold_pct: number; least_slip_pct: number; window_s: number} }
interface Series { kind: string; name: string; unit: string; low: (number | null)[]; high: (number | null)[] }
interface Read { log: Log; curves: {time_s: number[]; series: Series[]} }
interface Question extends Ask { log: {name: string; data: string; by: string; column: Record<string, string>; unit: Record<string, string>; rate?: number; pulses?: number} }

/** Bytes of a question that the server takes, less the drive file. */
const MOST = 11 << 20, PACK_FROM = 1 << 16;
const columns = ["time", "engine", "blower", "throttle", "boost", "temperature"];
const kinds: {kind: string; unit: Kind; name: string; height: number}[] = [{kind: "speed", unit: "rpm", name: "speed", height: 210}, {kind: "slip", unit: "percent", name: "belt slip", height: 150}, {kind: "boost", unit: "pressure", name: "boost", height: 150}];
const says: Record<string, string> = {holds: "holds", over_design: "over the design grip", slips: "slips as well", no_balance: "no balance"};
const dashes = [[], [7, 4], [2, 3]];

/** Base64, packed where that makes it shorter to send. */
async function encoded(file: File): Promise<string> {
  const packed = file.size < PACK_FROM || /\.gz$/i.test(file.name) ? file : await new Response(file.stream().pipeThrough(new CompressionStream("gzip"))).blob();
  return new Promise((ok, no) => {
    const reader = new FileReader();
    reader.onload = () => ok(String(reader.result).replace(/^[^,]*,?/, ""));
    reader.onerror = () => no(reader.error);
    reader.readAsDataURL(packed);
  });
}

export class LogPanel {
  readonly element = h("div");
  private file: {name: string; data: string} | null = null;
  private read: Read | null = null;
  private plots: uPlot[] = [];
  private library: typeof uPlot | null = null;
  private event = -1;   // the slip that is chosen
  private silent = false;
  private readonly note = h("p", {class: "hint", role: "status"});
  private readonly words = h("div", {class: "log-words"});
  private readonly slips = h("div", {class: "scroll", tabindex: 0, role: "region", "aria-label": "Slips in the log"});
  private readonly detail = h("p", {class: "log-detail", role: "status"});
  private readonly under = h("p", {class: "hint log-cursor"});
  private readonly holder = h("div", {class: "plot"});
  private readonly pulls = h("details", {hidden: true});
  private readonly all = h("button", {type: "button", hidden: true, onclick: () => this.choose(-1)}, "Show the whole log");
  private readonly by = h("select", {onchange: () => this.update()}, ...[["any", "the log, else boost"], ["speed", "the log"], ["boost", "boost"], ["ripple", "ripple of boost"]].map(([id, name]) => h("option", {value: id}, name)));
  private readonly fields = new Map<string, HTMLInputElement>();
  private readonly latest: Latest<Question, Answer<Read>>;

  shown = false;

  constructor(private readonly host: LogHost) {
    this.latest = new Latest(async (q) => { this.library ??= await host.plots(); return host.call<Read>(q); }, ({body}) => this.take(body), (error) => this.refuse(host.failure(error)));
    const choose = h("input", {type: "file", accept: ".csv,.tsv,.txt,.log,.dat,.asc,.gz,text/*", "data-key": "file", onchange: (event: Event) => { const file = (event.target as HTMLInputElement).files?.[0]; if (file) void this.load(file); }});
    this.element.append(
      h("p", {class: "hint"}, "Choose a data log of this build, or drop it on the page: text or gzip, with the speeds of engine and blower, or with boost. It is read as snub log reads it, and not kept."),
      h("p", {}, h("label", {class: "variant"}, "Log ", choose), " ", h("label", {class: "variant"}, "Blower speed from ", this.by)),
      this.chooser(), this.note, this.words, this.slips, this.detail, this.all, this.holder, this.under, this.pulls);
    new ResizeObserver(() => { for (const plot of this.plots) if (this.holder.clientWidth > 50 && plot.width !== this.holder.clientWidth) plot.setSize({width: this.holder.clientWidth, height: plot.height}); }).observe(this.holder);
  }

  /** Names and units of columns where the log's own are unusual. */
  private chooser(): HTMLElement {
    const field = (key: string, label: string): HTMLInputElement => {
      const input = h("input", {size: 14, autocomplete: "off", spellcheck: "false", "aria-label": label, onchange: () => this.update()});
      this.fields.set(key, input);
      return input;
    };
    return h("details", {}, h("summary", {}, "Columns and units"), h("p", {class: "hint"}, "Fill in what is not found by itself: the name of a column as its heading has it, or its number from 1; a unit where the log has none."),
      h("div", {class: "scroll", tabindex: 0, role: "region", "aria-label": "Columns and units"}, h("table", {class: "ledger"}, h("thead", {}, h("tr", {}, ...["of", "column", "unit"].map((name) => h("th", {scope: "col"}, name)))),
        h("tbody", {}, ...columns.map((one) => h("tr", {}, h("th", {scope: "row"}, one), h("td", {}, field(`column ${one}`, `Column of ${one}`)), h("td", {}, one === "throttle" ? "" : field(`unit ${one}`, `Unit of ${one}`))))))),
      h("p", {}, h("label", {class: "variant"}, "Rows per second, of a log without time ", field("rate", "Rows per second"))),
      h("p", {}, h("label", {class: "variant"}, "Pulses of pressure per turn of the blower’s pulley, for ripple ", field("pulses", "Pulses per turn"))));
  }
  private question(): Question | null {
    if (!this.file) return null;
    const given = (what: string): Record<string, string> => Object.fromEntries(columns.map((one) => [one, this.fields.get(`${what} ${one}`)?.value.trim() ?? ""]).filter(([, value]) => value !== ""));
    const rate = Number(this.fields.get("rate")?.value), pulses = this.by.value === "ripple" ? Number(this.fields.get("pulses")?.value) : 0;
    return {...this.host.ask(), log: {...this.file, by: this.by.value, column: given("column"), unit: given("unit"), ...(rate > 0 ? {rate} : {}), ...(pulses > 0 ? {pulses} : {})}};
  }

  async load(file: File): Promise<void> {
    this.file = null;
    this.event = -1;
    this.note.textContent = `Reading ${file.name} …`;
    const data = await encoded(file).catch(() => null);
    if (data === null) this.refuse(`${file.name} cannot be read.`);
    else if (data.length > MOST) this.refuse(`${file.name} is too large for the page. Read it by snub log on the command line.`);
    else { this.file = {name: file.name, data}; this.update(); }
  }
  update(): void {
    if (!this.shown) return;
    const question = this.question(), wrong = [...this.fields].find(([key, input]) => (key === "rate" || key === "pulses") && input.value.trim() !== "" && !(Number(input.value) > 0));
    if (wrong) this.refuse(`${wrong[1].getAttribute("aria-label")} needs a number above 0.`);
    else if (question && this.by.value === "ripple" && !question.log.pulses) this.refuse("Give the pulses of pressure per turn of the blower’s pulley, under Columns and units.");
    else if (question) this.latest.put(question);
    else this.draw();
  }
  private take(read: Read): void {
    this.read = read;
    if (this.event >= read.log.slips.length) this.event = -1;
    this.note.textContent = this.file?.name ?? "";
    this.draw();
  }
  private refuse(why: string): void {
    this.read = null;
    this.event = -1;
    this.note.textContent = why;
    this.draw();
  }

  /** A slip of the list, or the whole log: -1. */
  private choose(i: number): void {
    this.event = this.event === i ? -1 : i;
    const slip = this.read?.log.slips[this.event];
    if (slip) this.host.chosen(Math.round(slip.worst_rpm));
    this.draw();
  }
  /** Colours or units are others. */
  restyle(): void { if (this.shown) this.draw(); }
  private draw(): void {
    for (const plot of this.plots) plot.destroy();
    this.plots = [];
    const {read, library} = this;
    this.all.hidden = this.event < 0;
    this.pulls.hidden = !read;
    this.under.textContent = "";
    this.detail.textContent = read?.log.slips[this.event]?.text ?? "";
    if (!read) { renew(this.words); renew(this.slips); renew(this.holder); return; }
    this.list(read.log);
    if (library) this.drawPlots(read, library);
  }
  private list(log: Log): void {
    const {show, unit} = this.host, percent = (value: number): string => show("percent", value, 1);
    renew(this.words, h("p", {class: `log-verdict ${log.verdict}`}, h("b", {}, `Log: ${log.verdict}. `), log.slips.length ? `Slips: ${log.slips.length + log.slips_not_listed}.` : `No slip of ${log.calibration.least_slip_pct.toFixed(1)} % or more for ${log.calibration.window_s.toFixed(2)} s or longer in this log; less does not show.`), ...log.words.map((one) => h("p", {class: "hint"}, one)));
    const head = ["time, s", `engine, ${unit("rpm").name}`, "slip, %", "worst, %", "heat, J", "likelier at", "the check there"];
    renew(this.slips, log.slips.length > 0 && h("table", {class: "ledger"}, h("thead", {}, h("tr", {}, ...head.map((one) => h("th", {scope: "col"}, one)))),
      h("tbody", {}, ...log.slips.map((slip, i) => h("tr", {}, h("th", {scope: "row"}, h("button", {type: "button", "data-key": `slip-${i}`, "aria-pressed": String(i === this.event), onclick: () => this.choose(i)}, `${slip.start_s.toFixed(2)}–${slip.end_s.toFixed(2)}`)),
        h("td", {}, `${show("rpm", slip.start_rpm)}–${show("rpm", slip.end_rpm)}`), h("td", {}, `${slip.runs_on ? "−" : ""}${percent(slip.mean_pct)} ± ${percent(slip.mean_error_pct)}`), h("td", {}, percent(slip.worst_pct)), h("td", {}, slip.heat_J === null ? "–" : slip.heat_J.toFixed(0)),
        h("td", {}, slip.likely_pulley ?? "–"), h("td", {}, `${says[slip.check_says] ?? slip.check_says}${slip.looks_like === "leak_or_filter" ? "; may be a leak" : ""}`))))));
    const lines = (name: string, pulls: Pull[]): HTMLElement => h("p", {}, `${name}: ${pulls.map((p) => `${p.start_s.toFixed(2)} s to ${p.end_s.toFixed(2)} s, ${show("rpm", p.start_rpm)} to ${show("rpm", p.end_rpm)} rpm`).join("; ") || "none"}.`);
    renew(this.pulls, h("summary", {}, "Pulls and gear changes"), lines("Pulls", log.pulls), lines("Gear changes", log.gear_changes));
  }

  private drawPlots({log, curves}: Read, library: typeof uPlot): void {
    const slip = log.slips[this.event], around = slip ? Math.max(1, slip.plot_s[1] - slip.plot_s[0]) : 0;
    const range: [number, number] = slip ? [slip.plot_s[0] - around, slip.plot_s[1] + around] : [curves.time_s[0], curves.time_s.at(-1) ?? 1];
    const sync = library.sync("snub log");
    for (const of of kinds) {
      const series = curves.series.filter((one) => one.kind === of.kind);
      if (!series.length) continue;
      const place = h("div");
      this.holder.append(place);
      this.plots.push(this.plot(place, of, series, range, sync.key, log, library, curves.time_s));
    }
  }
  private plot(place: HTMLElement, of: typeof kinds[0], series: Series[], range: [number, number], key: string, log: Log, library: typeof uPlot, time: number[]): uPlot {
    const style = getComputedStyle(document.documentElement), ink = style.getPropertyValue("--ink"), faint = style.getPropertyValue("--line"), {factor, name} = this.host.unit(of.unit);
    const axis = {stroke: ink, grid: {stroke: faint, width: 1}, ticks: {stroke: faint}, font: `${11 * em()}px system-ui, sans-serif`, labelFont: `${11 * em()}px system-ui, sans-serif`, labelSize: 20 * em()};
    const paint = (i: number): string => style.getPropertyValue(`--c${i + 1}`).trim(), scaled = (values: (number | null)[]): (number | null)[] => values.map((v) => (v === null ? null : v * factor));
    const lines = series.flatMap((one, i) => [{one, i, values: scaled(one.high), named: true}, {one, i, values: scaled(one.low), named: false}]);
    const reported = of.kind === "slip" ? log.calibration.threshold_pct : null;
    return new library({
      width: Math.max(280, this.holder.clientWidth), height: of.height * em(), padding: [10, 12, 0, 0], legend: {show: false}, scales: {x: {time: false, range: () => range}},
      cursor: {drag: {x: false, y: false}, sync: {key, setSeries: false}, bind: {click: (plot) => () => { const rpm = this.engineAt(plot.cursor.idx); if (rpm !== null) this.host.chosen(rpm); return null; }}},
      axes: [{...axis, label: "time, s"}, {...axis, label: `${of.name}, ${name}`, size: 58 * em()}],
      series: [{}, ...lines.map(({one, i}): uPlot.Series => ({label: one.name, stroke: paint(i), width: 1.3, dash: dashes[i % dashes.length], points: {show: false}, spanGaps: false}))],
      bands: series.map((_one, i) => ({series: [2 * i + 1, 2 * i + 2] as [number, number], fill: `${paint(i)}30`})),
      hooks: {
        draw: [(plot) => this.names(plot, series.map((one, i) => ({name: one.name, colour: paint(i)})), reported)],
        setCursor: [(plot) => { if (!this.silent && (plot.cursor.left ?? -1) >= 0) this.cursor(plot.cursor.idx); }],
      },
    }, [time, ...lines.map((line) => line.values)] as uPlot.AlignedData, place);
  }
  /** The names of the curves in their colours, and from where slip is reported. */
  private names(plot: uPlot, names: {name: string; colour: string}[], reported: number | null): void {
    const pen = plot.ctx, ratio = (devicePixelRatio || 1) * em();
    pen.save();
    pen.font = `${11 * ratio}px system-ui, sans-serif`;
    pen.textBaseline = "top";
    pen.textAlign = "left";
    let x = plot.bbox.left + 6 * ratio;
    for (const {name, colour} of names) {
      pen.fillStyle = colour;
      pen.fillText(name, x, plot.bbox.top + 4 * ratio);
      x += pen.measureText(name).width + 14 * ratio;
    }
    if (reported !== null) {
      const y = plot.valToPos(reported, "y", true);
      pen.strokeStyle = getComputedStyle(document.documentElement).getPropertyValue("--marginal") || "#a60";
      pen.setLineDash([6 * ratio, 4 * ratio]);
      pen.beginPath();
      pen.moveTo(plot.bbox.left, y);
      pen.lineTo(plot.bbox.left + plot.bbox.width, y);
      pen.stroke();
    }
    pen.restore();
  }
  private engineAt(i: number | null | undefined): number | null {
    const value = i === null || i === undefined ? null : this.read?.curves.series[0].high[i] ?? null;
    return value === null ? null : Math.round(value);
  }
  /** What stands under the cursor, and the drive at that speed. */
  private cursor(i: number | null | undefined): void {
    const rpm = this.engineAt(i);
    if (rpm === null || !this.read || i === null || i === undefined) return;
    const {curves} = this.read;
    this.under.textContent = [`${curves.time_s[i].toFixed(2)} s`, ...curves.series.filter((one) => one.high[i] !== null).map((one) => { const kind = kinds.find((k) => k.kind === one.kind)?.unit ?? "plain"; return `${one.name} ${this.host.show(kind, one.high[i], kind === "percent" ? 1 : undefined)} ${this.host.unit(kind).name}`; })].join(" · ");
    this.host.moved(rpm);
  }
  /** Put the cursor where the speed rail stands: at the first time that the engine turns so fast in what is shown. */
  point(rpm: number): void {
    if (!this.shown) return;
    const plot = this.plots[0], speeds = this.read?.curves.series[0].high, times = this.read?.curves.time_s;
    if (!plot || !speeds || !times) return;
    const {min, max} = plot.scales.x, i = speeds.findIndex((v, k) => v !== null && Math.abs(v - rpm) < 60 && times[k] >= (min ?? 0) && times[k] <= (max ?? 0));
    if (i < 0) return;
    this.silent = true;
    plot.setCursor({left: plot.valToPos(times[i], "x"), top: 10});
    this.silent = false;
  }
}
