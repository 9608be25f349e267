// The tab of motion: its script and its style come when it is opened first. Many a page never shows it.
import {h, renew} from "./dom";
import type {Host} from "./motion-types";

/** What the script gives. */
export interface MotionView { show(on: boolean): void; changed(): void; leave(): void; restyle(): void }

export class MotionTab {
  readonly element = h("div", {class: "motion-view"});
  language = "en";
  private view: MotionView | null = null;
  private loading = false;
  private tries = 0;
  private on = false;
  constructor(private readonly host: Omit<Host, "language">) {}

  show(on: boolean): void {
    this.on = on;
    if (this.view) this.view.show(on);
    else if (on && !this.loading) void this.load();
  }
  changed(): void { this.view?.changed(); }
  leave(): void { this.view?.leave(); }
  restyle(): void { this.view?.restyle(); }

  /** Under another name each time: a browser does not ask again for a script that it once could not have. */
  private async load(): Promise<void> {
    const again = this.tries++ ? `?${this.tries}` : "";
    this.loading = true;
    renew(this.element, h("p", {class: "hint", role: "status"}, "…"));
    try {
      const [made] = await Promise.all([import(`/motion.js${again}`) as Promise<{open: (host: Host, element: HTMLElement) => MotionView}>, style(`/motion.css${again}`)]);
      renew(this.element);
      this.view = made.open({...this.host, language: () => this.language}, this.element);
      this.view.show(this.on);
    } catch {
      renew(this.element, h("p", {role: "alert"}, "The view of motion could not be fetched: the server does not answer. "), h("button", {type: "button", "data-key": "motion-load", onclick: () => void this.load()}, "Try again"));
    }
    this.loading = false;
  }
}

function style(href: string): Promise<void> {
  return new Promise((done, failed) => {
    const link = h("link", {rel: "stylesheet", href});
    link.addEventListener("load", () => done());
    link.addEventListener("error", () => { link.remove(); failed(new Error(href)); });
    document.head.append(link);
  });
}
