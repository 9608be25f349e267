// The drive file's own text: read it, change anything in it, see each mistake at its place.
import {call, type Ask} from "./api";
import {h, renew} from "./dom";
import {store} from "./store";
import type {Base, FileError} from "./types";

export class TextPanel {
  readonly element = h("div", {class: "text"});
  shown = false;
  private readonly area = h("textarea", {spellcheck: "false", autocapitalize: "off", autocomplete: "off", wrap: "off", "aria-label": "Text of the drive file", rows: 28});
  private readonly numbers = h("pre", {class: "lines", "aria-hidden": "true"});
  private readonly list = h("div");
  private readonly hints = h("div");
  private timer = 0;
  private own: string | null = null; // what was typed here and committed
  private base: Base | null = null;  // of what stands here: a save may bring another's words in while someone types

  constructor(private readonly ask: () => Ask, private readonly listOf: (errors: FileError[], more: number, go: (m: FileError) => void) => HTMLElement,
              private readonly hintsOf: (hints: FileError[], go: (m: FileError) => void) => HTMLElement) {
    this.area.addEventListener("input", () => { this.count(); clearTimeout(this.timer); this.timer = window.setTimeout(() => this.flush(), 350); });
    this.area.addEventListener("scroll", () => { this.numbers.scrollTop = this.area.scrollTop; });
    this.area.addEventListener("blur", () => this.flush());
    this.element.append(h("p", {class: "hint"}, "The file as Save would write it: changed values in place, every comment kept."), this.list, this.hints, h("div", {class: "sheet"}, this.numbers, this.area));
  }
  /** Take what was typed so far. */
  flush(): void {
    clearTimeout(this.timer);
    this.timer = 0;
    if (!this.shown || this.own === null || this.area.value === this.own) return;
    this.own = this.area.value;
    store.commit({text: this.area.value, changes: [], base: this.base ?? store.now.base}, "edit of the file");
  }
  setErrors(errors: FileError[], more: number, hints: FileError[] = []): void {
    renew(this.list, errors.length ? this.listOf(errors, more, (m) => this.goTo(m)) : null);
    const open = this.hints.querySelector("details")?.open ?? false, list = hints.length ? this.hintsOf(hints, (m) => this.goTo(m)) : null;
    if (list) list.toggleAttribute("open", open);
    renew(this.hints, list);
  }
  goTo(m: FileError): void {
    void this.update().then(() => {
      const lines = this.area.value.split("\n"), before = lines.slice(0, Math.max(0, m.line - 1)).join("\n").length + (m.line > 1 ? 1 : 0);
      if (!m.line) return;
      // Columns count characters, the area counts UTF-16 units.
      const start = before + [...(lines[m.line - 1] ?? "")].slice(0, Math.max(0, m.column - 1)).join("").length;
      this.area.focus();
      this.area.setSelectionRange(start, start + Math.max(1, (m.got || " ").length));
      this.area.scrollTop = Math.max(0, (m.line - 6) * this.lineHeight());
    });
  }
  private lineHeight(): number { return parseFloat(getComputedStyle(this.area).lineHeight) || 18; }
  private count(): void {
    const n = this.area.value.split("\n").length;
    this.numbers.textContent = Array.from({length: n}, (_, i) => i + 1).join("\n");
    this.numbers.scrollTop = this.area.scrollTop;
  }
  private fill(text: string): void {
    if (this.area.value === text) this.base = store.now.base;
    if (this.timer || this.area.value === text) { this.own ??= text; return; } // someone is typing
    this.own = text;
    this.base = store.now.base;
    this.area.value = text;
    this.count();
  }
  async update(): Promise<void> {
    if (!this.shown) return;
    if (!store.now.changes.length) { this.fill(store.now.text); return; }
    const asked = store.now;
    try {
      const {body} = await call<{text: string}>("POST", "/api/apply", this.ask());
      if (store.now === asked) this.fill(body.text);
    } catch { if (store.now === asked) this.fill(store.now.text); }
  }
}
