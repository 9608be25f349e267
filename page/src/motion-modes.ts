// The list of natural frequencies, and the one that is chosen in the drawing.
import {h, renew} from "./dom";
import {Film, type Stage} from "./motion-draw";
import type {Host, Mode, MotionMap} from "./motion-types";
import {say, type Word} from "./motion-words";
import type {Shape} from "./types";

const ARM = ".arm", SHARE = 0.05; // less of the energy is not worth a word, as on a terminal
const MOST_TURN = 30 * Math.PI / 180, MOST_ARM = 8 * Math.PI / 180; // as it is drawn

export function moving(mode: Mode): string {
  const all = Object.entries(mode.energy_share).sort((a, b) => b[1] - a[1]).filter(([, share]) => share >= SHARE);
  return all.map(([name, share]) => `${name.endsWith(ARM) ? `${say("arm")}` : name} ${(100 * share).toFixed(0)} %`).join(", ");
}

/** How much larger than its shape a mode is drawn: as far as a pulley or the arm may turn, and the arm stays in its travel. */
export function drawnScale(mode: Mode, shape: Shape): {arm: number; turn: number; scale: number} {
  const arm = shape.pulleys.find((p) => p.arm), of = (name: string): number => Math.abs(mode.shape[name] ?? 0), swings = arm ? of(`${arm.name}${ARM}`) : 0;
  const turns = Math.max(...shape.pulleys.map((p) => of(p.name)), 1e-9), room = arm?.arm && shape.wind_deg !== null ? Math.max(0.5, Math.min(shape.wind_deg, arm.arm.travel_deg - shape.wind_deg)) * Math.PI / 180 : MOST_ARM;
  const scale = Math.min(MOST_TURN / turns, swings > 0 ? Math.min(MOST_ARM, room) / swings : Infinity);
  return {arm: scale * swings, turn: scale * turns, scale};
}

export class Modes {
  readonly element = h("section", {"aria-labelledby": "motion-modes"});
  private map: MotionMap | null = null;
  private shape: Shape | null = null;
  private chosen = -1;
  private phase = 0; // of the swing, turns
  private period = 2;
  private readonly film = new Film((seconds) => { this.phase = this.film.calm ? (this.phase < 0.5 ? 0.75 : 0.25) : (this.phase + seconds / this.period) % 1; this.drawNow(); return true; });
  constructor(private readonly host: Host, private readonly stage: Stage, private readonly taken: () => void) {}

  show(map: MotionMap | null, shape: Shape | null): void {
    this.map = map;
    this.shape = shape;
    if (this.chosen >= 0) this.leave();
    this.draw();
  }
  /** Another has the drawing, or it is left. */
  leave(): void { this.film.stop(); if (this.chosen >= 0) this.stage.clear(); this.chosen = -1; this.draw(); }

  private choose(index: number): void {
    if (!this.map || !this.shape) return;
    if (index === this.chosen) { this.leave(); return; }
    this.taken();
    this.host.front();
    this.chosen = index;
    this.phase = 0.25;
    this.drawNow();
    if (!this.film.calm) this.film.play();
    this.draw();
  }
  private drawNow(): void {
    const {map, shape} = this, mode = map?.modes[this.chosen];
    if (!mode || !shape) return;
    const {scale} = drawnScale(mode, shape), swing = scale * Math.sin(2 * Math.PI * this.phase), arm = shape.pulleys.find((p) => p.arm);
    const nobody = shape.pulleys.map(() => false);
    this.stage.draw({wind_deg: shape.wind_deg === null || !arm ? null : shape.wind_deg + swing * (mode.shape[`${arm.name}${ARM}`] ?? 0) * 180 / Math.PI,
      turned: shape.pulleys.map((p) => swing * (mode.shape[p.name] ?? 0)), from: shape.pulleys.map(() => 0), loose: nobody, slips: nobody, thrown: null});
  }

  private draw(): void {
    const {map} = this;
    if (!map) { renew(this.element); return; }
    const none = map.modes.length ? null : h("p", {class: "hint"}, say("none", {why: map.modes_missing.map((one) => one.why).join("; ") || say("noBalance")}));
    renew(this.element, h("h2", {id: "motion-modes"}, say("modes")), none ?? h("p", {class: "hint"}, `${say("modesAt", {rpm: this.host.show("rpm", map.modes_at_rpm)})} ${say("heldWords")}`),
      map.arm_moves === false ? h("p", {class: "hint"}, say("armStands")) : null, none ? null : this.table(map), ...(map.modes.length ? map.modes_missing.map((one) => h("p", {class: "hint"}, say("missing", {crank: say(one.crank as Word), why: one.why}))) : []), this.player(map), inertiaList(map));
  }
  private table(map: MotionMap): HTMLElement {
    const {show} = this.host;
    return h("div", {class: "scroll m-modes", tabindex: 0, role: "region", "aria-label": `${say("modes")}, ${say("moves")}`}, h("table", {class: "ledger"},
      h("thead", {}, h("tr", {}, h("th", {scope: "col"}, say("frequency"), h("small", {}, "Hz")), h("th", {scope: "col"}, say("crank")), h("th", {scope: "col"}, say("meets"), h("small", {}, say("rpm"))), h("th", {scope: "col"}, say("moves")))),
      h("tbody", {}, ...map.modes.map((mode, i) => h("tr", {class: i === this.chosen ? "chosen" : null},
        h("th", {scope: "row"}, h("button", {type: "button", class: "pick", "data-key": `mode-${i}`, "aria-pressed": String(i === this.chosen), onclick: () => this.choose(i)}, `${mode.frequency_Hz.toFixed(1)}`)),
        h("td", {class: "side"}, say(mode.crank)), h("td", {}, show("rpm", mode.firing_meets_it_at_rpm)), h("td", {class: "side"}, moving(mode)))))));
  }
  private player(map: MotionMap): HTMLElement | null {
    const mode = map.modes[this.chosen], {shape} = this;
    if (!mode || !shape) return null;
    const {arm, turn} = drawnScale(mode, shape), deg = (rad: number): string => `${(rad * 180 / Math.PI).toFixed(rad < 0.01 ? 2 : 1)}°`;
    const slider = h("input", {type: "range", id: "motion-period", min: 0.5, max: 8, step: 0.5, value: String(this.period), "data-key": "motion-period", "aria-valuetext": `${this.period} ${say("seconds")}`,
      oninput: (event: Event) => { const input = event.target as HTMLInputElement; this.period = Number(input.value); input.setAttribute("aria-valuetext", `${this.period} ${say("seconds")}`); out.textContent = `${this.period} ${say("seconds")}`; }});
    slider.value = String(this.period);
    const out = h("output", {for: "motion-period"}, `${this.period} ${say("seconds")}`);
    return h("div", {class: "m-player", role: "group", "aria-label": say("modes")},
      h("p", {role: "status"}, say(arm > 0 ? "drawnLarge" : "drawnLargeNoArm", {hz: mode.frequency_Hz.toFixed(1), crank: say(mode.crank), arm: deg(arm), turn: deg(turn)}), ` ${say("wedge")}`),
      h("p", {class: "m-row"}, h("button", {type: "button", "data-key": "mode-play", onclick: () => { if (this.film.on) this.film.stop(); else this.film.play(); this.draw(); }}, this.film.on ? say("pause") : say("play")),
        h("button", {type: "button", "data-key": "mode-stop", onclick: () => this.leave()}, say("stop")), h("label", {for: "motion-period"}, say("swingTime")), slider, out),
      this.film.calm ? h("p", {class: "hint"}, say("still")) : null);
  }
}

function inertiaList({inertias}: MotionMap): HTMLElement {
  const assumed = inertias.filter((one) => one.assumed).length;
  return h("details", {class: "m-inertias"}, h("summary", {}, say("inertias", {n: assumed, all: inertias.length})), h("div", {class: "scroll", tabindex: 0, role: "region", "aria-label": say("inertia")}, h("table", {class: "ledger"},
    h("thead", {}, h("tr", {}, h("th", {scope: "col"}, say("part")), h("th", {scope: "col"}, say("inertia")), h("th", {scope: "col"}, say("basis")))),
    h("tbody", {}, ...inertias.map((one) => h("tr", {}, h("th", {scope: "row"}, one.name.endsWith(ARM) ? say("arm") : one.name), h("td", {}, one.inertia_kg_m2 === null ? "–" : one.inertia_kg_m2.toPrecision(3)), h("td", {class: "side", lang: one.assumed ? "en" : null}, one.assumed ? one.basis : say("given"))))))));
}
