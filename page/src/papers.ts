// What the program makes of the drive: sheets, drawings, tables, the page to send. It is made by the program itself, of the
// file on disk; the list and its options are those of the command line.
import {call, failureOf, Refused} from "./api";
import {announce, h, renew} from "./dom";
import {optionField, type Option, type Options} from "./option-field";
import type {Job, Problem} from "./types";

interface Paper { command: string; kind: string; name: string; group: string; of: "build" | "kit"; forms: string[] }
interface List { papers: Paper[]; options: Record<string, Option[]> }
interface Made { name: string; code: number; said: string; data: string }
/** A build of the chart; `here`: the unsaved changes are its. */
export interface Offer { number: number; words: string; here: boolean }
interface Bench { file: () => string; etag: () => string; dirty: () => boolean; offers: () => Offer[]; save: () => void }

export class PapersPanel {
  private list: List | null = null;
  private readonly options: Record<string, Options> = {};
  private build = "";        // number in the chart; "": the file's own
  private followed = false;  // the build was chosen for the one on the bench
  private job = 0;
  private making = "";
  private ready: {url: string; made: Made; size: number; paper: Paper} | null = null;
  private failure = "";
  constructor(readonly element: HTMLElement, private readonly bench: Bench) {}

  async show(): Promise<void> {
    try { this.list ??= (await call<List>("GET", "/api/papers")).body; } catch (error) { this.failed(error); }
    this.draw();
  }

  private failed(error: unknown): void {
    this.failure = `${error instanceof Refused ? `${error.problem.title}. ` : ""}${failureOf(error)}`;
  }

  private async make(paper: Paper, form: string): Promise<void> {
    const options: Options = {...this.options[paper.command]};
    if (paper.of === "build" && this.build) options.build = this.build;
    if (this.ready) URL.revokeObjectURL(this.ready.url);
    Object.assign(this, {ready: null, failure: "", making: `${paper.name}, ${form}`});
    try {
      const {body} = await call<{job: number}>("POST", "/api/paper", {file: this.bench.file(), etag: this.bench.etag(), command: paper.command, kind: paper.kind, form, options});
      this.job = body.job;
      this.draw();
      await this.follow(body.job, paper);
    } catch (error) { this.failed(error); }
    Object.assign(this, {job: 0, making: ""});
    this.draw();
  }
  private async follow(job: number, paper: Paper): Promise<void> {
    for (let wait = 60; ; wait = Math.min(400, wait * 1.5)) {
      await new Promise((done) => setTimeout(done, wait));
      const {body} = await call<Job<Made>>("GET", `/api/job?id=${job}`);
      if (body.state === "running") continue;
      if (body.state === "done") this.hand(body.result as Made, paper);
      else this.failure = body.state === "stopped" ? "Stopped." : `${(body.result as Problem).title}. ${(body.result as Problem).detail}`;
      return;
    }
  }
  private hand(made: Made, paper: Paper): void {
    const bytes = Uint8Array.from(atob(made.data), (c) => c.charCodeAt(0));
    this.ready = {url: URL.createObjectURL(new Blob([bytes], {type: "application/octet-stream"})), made: {...made, data: ""}, size: bytes.length, paper};
    h("a", {href: this.ready.url, download: made.name}).click();
    announce(`${made.name} is made${made.code ? ". DO NOT FIT" : ""}`);
  }

  draw(): void {
    const {list} = this;
    renew(this.element, this.status(), this.unsaved(), list ? this.which() : null, ...(list ? [...new Set(list.papers.map((one) => one.group))].sort(byWork).map((group) => this.group(group)) : []));
  }
  private status(): HTMLElement {
    const {ready, failure} = this;
    if (this.making) return h("p", {class: "work", role: "status"}, h("progress", {"aria-label": this.making}), ` ${this.making} `, this.job ? h("button", {type: "button", "data-key": "paper-stop", onclick: () => void call("DELETE", `/api/job?id=${this.job}`).catch(() => undefined)}, "Stop") : null);
    if (failure) return h("pre", {class: "failure", role: "alert"}, failure);
    if (!ready) return h("p", {class: "hint"}, "Each is made by snub itself, as on the command line, and downloaded.");
    const fails = ready.made.code !== 0, paper = ready.paper.group === "Sheets" || ready.paper.group === "Drawings";
    return h("div", {class: `ask${fails ? " warn" : ""}`, role: "status"}, h("a", {href: ready.url, download: ready.made.name}, ready.made.name), ` ${(ready.size / 1000).toFixed(ready.size < 10000 ? 1 : 0)} kB`,
      fails ? h("p", {class: "do-not-fit"}, h("span", {class: "sign", "aria-hidden": "true"}, "✕"), h("b", {}, " DO NOT FIT. "), ready.paper.of === "build" ? `This build fails${paper ? ", and the paper says so with its reasons" : ""}.` : "At least one of its builds fails; the chart gives the reasons.") : null,
      ready.made.said ? h("details", {}, h("summary", {}, "What snub says of it"), h("pre", {}, ready.made.said)) : null);
  }
  private unsaved(): HTMLElement | null {
    if (!this.bench.dirty()) return null;
    const here = this.bench.offers().find((one) => one.here);
    return h("p", {class: "ask warn", role: "status"}, here ? `The drive as it stands is build ${here.number} of the chart, which is chosen below. The file does not have it yet. ` : "There are unsaved changes. Papers are made of the file on disk. ", h("button", {type: "button", "data-key": "paper-save", onclick: this.bench.save}, "Save first"));
  }
  /** Of which build. That on the bench is chosen by itself where it is one of the chart. */
  private which(): HTMLElement {
    const offers = this.bench.offers(), here = offers.find((one) => one.here);
    if (here && !this.followed) this.build = String(here.number);
    if ((!here && this.followed) || !offers.some((one) => String(one.number) === this.build)) this.build = "";
    this.followed = here !== undefined;
    const select = h("select", {id: "paper-build", "data-key": "paper-build", onchange: (event: Event) => { this.build = (event.target as HTMLSelectElement).value; }},
      h("option", {value: ""}, "the file’s own"), ...offers.map((one) => h("option", {value: one.number, selected: String(one.number) === this.build}, `${one.number}: ${one.words}`)));
    return h("p", {class: "which"}, h("label", {for: "paper-build"}, "Build "), select, offers.length ? null : h("small", {}, " Calculate the chart of the saved file to choose another."));
  }
  private group(group: string): HTMLElement {
    const list = this.list as List, papers = list.papers.filter((one) => one.group === group);
    const row = (paper: Paper): HTMLElement => h("li", {}, h("span", {}, paper.name, paper.of === "kit" ? h("small", {}, " all builds") : null), h("span", {class: "forms"}, ...paper.forms.map((form) =>
      h("button", {type: "button", "data-key": `paper-${paper.command}-${paper.kind}-${form}`, disabled: this.making !== "", "aria-label": `${paper.name}, ${form}`, onclick: () => void this.make(paper, form)}, form))));
    const commands = [...new Set(papers.map((one) => one.command))];
    const options = commands.map((command) => h("details", {"data-options": command, open: this.element.querySelector<HTMLDetailsElement>(`[data-options="${command}"]`)?.open ?? false}, h("summary", {}, commands.length > 1 ? `Options of ${papers.find((one) => one.command === command)?.name.toLowerCase() ?? command}` : "Options"),
      h("div", {class: "fields"}, ...list.options[command].map((one) => optionField(one, this.options[command] ??= {}, `paper-${command}`)))));
    return h("fieldset", {}, h("legend", {}, group), h("ul", {class: "rows"}, ...papers.map(row)), ...options);
  }
}

const ORDER = ["Sheets", "Drawings", "Tables"];
function byWork(a: string, b: string): number { const at = (one: string): number => (ORDER.indexOf(one) + ORDER.length + 1) % (ORDER.length + 1); return at(a) - at(b); }
