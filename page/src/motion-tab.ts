// The tab of motion: its script and its style come when it is opened first. Many a page never shows it.
import {h, renew} from "./dom";
import {script} from "./later";
import type {Host} from "./motion-types";

/** What the script gives. */
export interface MotionView { show(on: boolean): void; changed(): void; leave(): void; restyle(): void }

export class MotionTab {
  readonly element = h("div", {class: "motion-view"});
  language = "en";
  private view: MotionView | null = null;
  private loading = false;
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

  private async load(): Promise<void> {
    this.loading = true;
    renew(this.element, h("p", {class: "hint", role: "status"}, "…"));
    try {
      const [made] = await Promise.all([script<{open: (host: Host, element: HTMLElement) => MotionView}>("/motion.js"), style("/motion.css")]);
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
