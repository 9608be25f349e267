// Parts of the page that are sent when they are first wanted. Where the server does not answer then, they come as soon as it is back.
import {h, renew} from "./dom";

const tries: Record<string, number> = {};
/** A script that is built on its own, as "/log.js". Under another name each time: a browser does not ask again for one that it once could not have. */
export async function script<M>(name: string): Promise<M> {
  const before = tries[name] ?? 0;
  tries[name] = before + 1;
  return (await import(`${name}${before ? `?${before}` : ""}`)) as M;
}

const styles: Record<string, Promise<void>> = {};
/** A style sheet, before that of the page. */
export function sheet(href: string): Promise<void> {
  return styles[href] ??= new Promise((there, failed) => {
    const link = h("link", {rel: "stylesheet", href, onload: () => there(), onerror: () => { delete styles[href]; link.remove(); failed(new Error(href)); }});
    document.querySelector("link[rel=stylesheet]")?.before(link);
  });
}

export interface Part { readonly now: unknown; want(): Promise<unknown>; again(): void }

/** T of the script M. */
export class Later<T, M = unknown> implements Part {
  now: T | null = null;
  private wanted: Promise<T> | null = null;
  private retry: (() => void) | null = null;
  /** @param failed  each time that the script cannot be had */
  constructor(private readonly script: () => Promise<M>, private readonly make: (script: M) => T, private readonly failed: (error: unknown) => void = () => undefined) {}
  /** Does not end before the part is there. */
  want(): Promise<T> { return this.wanted ??= this.load(); }
  private async load(): Promise<T> {
    while (!this.now) {
      let script: M;
      try { [script] = await Promise.all([this.script(), sheet("later.css")]); } catch (error) {
        this.failed(error);
        await new Promise<void>((again) => { this.retry = again; });
        continue;
      }
      this.now = this.make(script);
    }
    return this.now;
  }
  /** The server answers again. */
  again(): void { this.retry?.(); this.retry = null; }
}

/** A panel whose element stands from the beginning. */
export class LaterPanel<T, M = unknown> extends Later<T, M> {
  constructor(readonly element: HTMLElement, name: string, script: () => Promise<M>, make: (script: M, element: HTMLElement) => T) {
    const say = (words: string): void => renew(element, h("p", {class: "hint", role: "status"}, words));
    super(script, (of) => { element.replaceChildren(); return make(of, element); },
      () => say(`${name} is sent when it is first opened, and snub’s server does not answer. It opens as soon as the server is back.`));
    say("Opening…");
  }
}
