// Curves over the rev range; the cursor moves the arm in the drawing.
import "./shared";
import type uPlot from "uplot";
import {chartsCore} from "./local";
import {ask as askCore, Latest, Refused, type Answer, type Ask} from "./api";
import {em, h, renew} from "./dom";
import {plotLibrary} from "./plot-library";
import {drawLimits, limitsOf, limitWords, rangeWith} from "./limits";
import type {Shape, Sweep} from "./types";
import {show, unit, type Kind} from "./units";

const kinds: {id: string; name: string; unit: Kind}[] = [
  {id: "grip", name: "Grip used", unit: "plain"}, {id: "tension", name: "Span tension", unit: "force"}, {id: "hub", name: "Hub load", unit: "force"}, {id: "turn", name: "Pulley speed", unit: "rpm"},
  {id: "torque", name: "Torque", unit: "torque"}, {id: "arm", name: "Arm angle from free", unit: "angle"}, {id: "slip", name: "Slip speed", unit: "speed"}, {id: "heat", name: "Slip heat", unit: "heat"},
  {id: "boost", name: "Boost", unit: "pressure"}, {id: "power", name: "Power", unit: "power"}, {id: "speed", name: "Belt speed", unit: "speed"},
];
// Told apart by dash and by colour.
const dashes = [[], [7, 4], [2, 3], [10, 3, 2, 3], [4, 2], [12, 5], [1, 4]];

export class CurvesPanel {
  private kind = "grip";
  private way = "steady";
  private data: Sweep | null = null;
  private plot: uPlot | null = null;
  private library: typeof uPlot | null = null;
  private readonly holder = h("div", {class: "plot"});
  private readonly note = h("p", {class: "hint", role: "status"});
  private readonly limits = h("div");
  private readonly table = h("div", {class: "scroll", tabindex: 0, role: "region", "aria-label": "Values of the curves"});
  private readonly latest: Latest<Ask & {way: string}, Answer<Sweep>>;
  private silent = false;
  shown = false;

  constructor(readonly element: HTMLElement, private readonly ask: () => Ask, private readonly moved: (rpm: number) => void, private readonly left: () => void, private readonly chosen: (rpm: number) => void, private readonly shape: () => Shape | null) {
    this.latest = new Latest(async (q) => { const here = chartsCore(); this.library ??= await plotLibrary(); await here; return askCore<Sweep>("/api/sweep", q); }, ({body}) => { this.data = body; this.note.textContent = ""; this.draw(); },
      (error) => { this.data = null; this.note.textContent = error instanceof Refused ? error.problem.errors.map((m) => m.message).join("; ") || error.problem.detail : "No curves: the server does not answer."; this.draw(); });
    const select = h("select", {"data-key": "kind", onchange: (event: Event) => { this.kind = (event.target as HTMLSelectElement).value; this.draw(); }}, ...kinds.map((k) => h("option", {value: k.id}, k.name)));
    const ways: [string, string][] = [["steady", "steady, throttle open"], ["accelerating", "accelerating, throttle open"], ["overrun", "overrun: slowing, throttle closed"], ["closed throttle", "closed throttle: speed held"], ["no-lift shift", "no-lift shift: gear change, throttle open"], ["throttle blip", "throttle blip: out of gear, throttle open"], ["after a blip", "after a blip: out of gear, throttle closed"]];
    const way = h("select", {onchange: (event: Event) => { this.way = (event.target as HTMLSelectElement).value; this.update(); }}, ...ways.map(([id, name]) => h("option", {value: id}, name)));
    this.element.append(h("label", {class: "variant"}, "Curves ", select), " ", h("label", {class: "variant"}, "Running ", way), this.note, this.holder, this.limits, h("p", {class: "hint"}, "Point at the curves to move the arm in the drawing; click to set the speed."), h("details", {}, h("summary", {}, "Values"), this.table));
    new ResizeObserver(() => { if (this.plot && this.holder.clientWidth > 50) this.plot.setSize({width: this.holder.clientWidth, height: 300 * em()}); }).observe(this.holder);
  }
  update(): void {
    if (!this.shown) return;
    this.latest.put({...this.ask(), way: this.way});
  }
  restyle(): void { if (this.shown) this.draw(); }

  private draw(): void {
    this.plot?.destroy();
    this.plot = null;
    const {data, library} = this;
    renew(this.limits);
    if (!data || !library) { renew(this.table); return; }
    const kind = kinds.find((k) => k.id === this.kind) ?? kinds[0], factor = unit(kind.unit).factor;
    const scaled = (values: (number | null)[]): (number | null)[] => values.map((v) => (v === null ? null : v * factor));
    const lines = data.series.filter((one) => one.kind === kind.id && one.values.some((v) => v !== null && v !== 0)).map((one) => ({name: one.name, values: scaled(one.values)}));
    if (!lines.length) { this.note.textContent = `${kind.name}: none from idle to redline.`; renew(this.table); return; }
    this.note.textContent = "";
    const limits = limitsOf(kind.id, this.shape());
    renew(this.limits, limitWords(limits));
    const style = getComputedStyle(document.documentElement), ink = style.getPropertyValue("--ink"), faint = style.getPropertyValue("--line");
    const axis = {stroke: ink, grid: {stroke: faint, width: 1}, ticks: {stroke: faint}, font: `${11 * em()}px system-ui, sans-serif`};
    const paint = [1, 2, 3, 4, 5, 6, 7].map((i) => style.getPropertyValue(`--c${i}`).trim());
    this.plot = new library({
      width: Math.max(280, this.holder.clientWidth), height: 300 * em(), padding: [12, 78 * em(), 0, 0], legend: {live: true}, scales: {x: {time: false}, y: {range: rangeWith(limits, factor, library)}},
      cursor: {drag: {x: false, y: false}, bind: {click: (plot) => () => { const i = plot.cursor.idx; if (i !== null && i !== undefined) this.chosen(data.rpm[i]); return null; }}},
      axes: [{...axis, label: "engine speed, rpm", labelSize: 20 * em(), labelFont: axis.font}, {...axis, label: `${kind.name.toLowerCase()}${unit(kind.unit).name ? `, ${unit(kind.unit).name}` : ""}`, labelSize: 20 * em(), labelFont: axis.font, size: 54 * em()}],
      series: [{label: "rpm", value: (_p, v) => (v === null ? "–" : v.toFixed(0))}, ...lines.map((line, i): uPlot.Series => ({label: line.name, stroke: paint[i % paint.length], width: 1.6, dash: dashes[i % dashes.length], points: {show: false}, value: (_p, v) => (v === null ? "–" : v.toFixed(unit(kind.unit).digits))}))],
      hooks: {draw: [(plot) => { drawLimits(plot, limits, factor); endLabels(plot, paint); }], setCursor: [(plot) => {
        if (this.silent) return;
        const i = plot.cursor.idx;
        if (i === null || i === undefined || (plot.cursor.left ?? -1) < 0) this.left(); else this.moved(data.rpm[i]);
      }]},
    }, [data.rpm, ...lines.map((line) => line.values)] as uPlot.AlignedData, this.holder);
    const every = Math.max(1, Math.round(data.rpm.length / 20));
    renew(this.table, h("table", {class: "ledger"}, h("thead", {}, h("tr", {}, h("th", {scope: "col"}, "rpm"), ...lines.map((l) => h("th", {scope: "col"}, l.name)))),
      h("tbody", {}, ...data.rpm.map((rpm, i) => ({rpm, i})).filter(({i}) => i % every === 0).map(({rpm, i}) => h("tr", {}, h("th", {scope: "row"}, show("rpm", rpm)), ...lines.map((l) => h("td", {}, l.values[i] === null ? "–" : (l.values[i] as number).toFixed(unit(kind.unit).digits))))))));
  }
  /** Put the cursor where the speed rail stands. */
  point(rpm: number): void {
    if (!this.plot || !this.data) return;
    this.silent = true;
    this.plot.setCursor({left: this.plot.valToPos(rpm, "x"), top: 10});
    this.silent = false;
  }
}

/** Each curve's name at its end, moved apart where they would lie on one another. */
function endLabels(plot: uPlot, paint: string[]): void {
  const pen = plot.ctx, ratio = (devicePixelRatio || 1) * em(), x = plot.bbox.left + plot.bbox.width + 5 * ratio;
  const labels = plot.series.slice(1).map((one, i) => {
    const values = plot.data[i + 1] as (number | null)[], last = [...values].reverse().find((v) => v !== null) ?? null;
    return {name: String(one.label), y: last === null ? NaN : plot.valToPos(last, "y", true), colour: paint[i % paint.length]};
  }).filter((one) => Number.isFinite(one.y)).sort((a, b) => a.y - b.y);
  pen.save();
  pen.font = `${11 * ratio}px system-ui, sans-serif`;
  pen.textBaseline = "middle";
  pen.textAlign = "left";
  let end = -Infinity;
  for (const one of labels) {
    end = Math.max(one.y, end + 12 * ratio);
    pen.fillStyle = one.colour;
    pen.fillText(one.name, x, end, 74 * ratio);
  }
  pen.restore();
}
