// The tab of data logs. What it shows is a script of its own, since many a page never sees a log.
import {h} from "./dom";
import {laterStyle, script} from "./later";
import type {LogHost, LogPanel} from "./log";

/** Is it a log rather than a photo? */
export function isLog(file: File): boolean { return /\.(csv|tsv|txt|log|dat|asc|gz)$/i.test(file.name) || file.type.startsWith("text/"); }

export class LogTab {
  readonly element = h("div", {class: "curves log"});
  private panel: LogPanel | null = null;
  private loading: Promise<LogPanel> | null = null;
  private readonly said = h("p", {class: "hint", role: "status"});
  shown = false;

  constructor(private readonly host: LogHost) { this.element.append(this.said); }
  private async made(): Promise<LogPanel> {
    const [{LogPanel: Made}] = await Promise.all([script<typeof import("./log")>("/log.js"), laterStyle()]);
    const panel = new Made(this.host);
    this.element.replaceChildren(panel.element);
    return panel;
  }
  /** `file`: one that was dropped. */
  async show(file?: File): Promise<void> {
    try { this.panel ??= await (this.loading ??= this.made()); } catch { this.loading = null; this.said.textContent = "The page's part for logs did not come: the server does not answer."; return; }
    if (file) await this.panel.load(file);
    else this.update();
  }
  /** The build is another one. */
  update(): void { if (this.shown) this.panel?.update(); }
  restyle(): void { if (this.shown) this.panel?.draw(); }
  point(rpm: number): void { if (this.shown) this.panel?.point(rpm); }
}
