// The view of motion: natural frequencies in the drawing, the map of speed against order, runs in time. A script of its own, that comes when its tab is first opened.
import "./motion.css";
import {h, renew} from "./dom";
import {Stage} from "./motion-draw";
import {OrderMap} from "./motion-map";
import {Modes} from "./motion-modes";
import {Runs} from "./motion-run";
import type {Host, MotionAnswer, MotionMap, MotionView} from "./motion-types";
import {Refusal, ServerJob} from "./server-job";
import {say, speak, type Word} from "./motion-words";

const SPEEDS = 25, WAIT = 250; // ms after the last change
const loads = ["steady", "closed-throttle"] as const;

class View implements MotionView {
  private readonly stage: Stage;
  private readonly job: ServerJob;
  private readonly modes: Modes;
  private readonly map: OrderMap;
  private readonly runs: Runs;
  private readonly head = h("div");
  private load: (typeof loads)[number] = "steady";
  private on = false;
  private due = true; // there is no answer of the drive as it stands
  private timer = 0;
  private answer: MotionMap | null = null;
  private file = "";

  constructor(private readonly host: Host, element: HTMLElement) {
    element.lang = speak(host.language());
    this.stage = new Stage(host.layer);
    this.job = new ServerJob("/api/motion", host.call);
    this.modes = new Modes(host, this.stage, () => this.runs.leave());
    this.map = new OrderMap(host);
    this.runs = new Runs(host, this.stage, () => this.modes.leave());
    element.append(this.head, this.modes.element, this.map.element, this.runs.element);
  }
  show(on: boolean): void {
    this.on = on;
    if (!on) this.leave(); else if (this.due) void this.ask();
  }
  /** The drawing is for something else now, as under a hand. */
  leave(): void { this.modes.leave(); this.runs.leave(); }
  changed(): void {
    const {file} = this.host.ask();
    this.due = true;
    this.job.stop();
    this.modes.leave();
    if (file !== this.file) { this.file = file; this.runs.forget(); this.put(null); } else this.runs.changed();
    clearTimeout(this.timer);
    if (this.on) this.timer = window.setTimeout(() => void this.ask(), WAIT);
  }
  restyle(): void { this.runs.restyle(); this.put(this.answer); if (this.on) void this.ask(); else this.due = true; } // the program's sentences come in the other units

  private async ask(): Promise<void> {
    const before = this.answer;
    this.due = false;
    this.file = this.host.ask().file;
    this.headWith(h("span", {role: "status"}, say("calculating")));
    try {
      const answer = await this.job.ask<MotionAnswer<MotionMap>>({...this.host.ask(), motion: {case: this.load, speeds: SPEEDS}});
      if (!answer) return;
      const shape = this.host.shape();
      if (shape) this.stage.take(shape, answer.places);
      this.headWith(null);
      this.put(answer.motion);
      this.runs.known(answer.motion.build.fingerprint, shape);
    } catch (error) {
      this.due = true;
      if (before) this.put(null);
      this.headWith(h("span", {class: "m-alert", role: "alert"}, error instanceof Refusal ? error.message : this.host.failureOf(error)), h("button", {type: "button", "data-key": "motion-again", onclick: () => void this.ask()}, say("again")));
    }
  }
  private put(map: MotionMap | null): void {
    this.answer = map;
    this.modes.show(map, this.host.shape());
    this.map.show(map);
  }
  private headWith(...more: (HTMLElement | null)[]): void {
    const select = h("select", {id: "motion-load", "data-key": "motion-load", onchange: (event: Event) => { this.load = (event.target as HTMLSelectElement).value as typeof this.load; void this.ask(); }}, ...loads.map((one) => h("option", {value: one, selected: one === this.load}, say(one as Word))));
    renew(this.head, h("p", {class: "m-row"}, h("label", {for: "motion-load"}, say("load")), select, ...more));
  }
}

export function open(host: Host, element: HTMLElement): MotionView { return new View(host, element); }
