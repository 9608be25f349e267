// What the page holds: the file as opened, the state now, and everything in between.
import type {Change, Value} from "./types";

/** A state of the work. `text` is the drive file; `changes` lie over it until a save writes them into it. */
export interface Snapshot { text: string; changes: Change[]; what: string }

export function withChange(changes: Change[], path: string, value: Value): Change[] {
  const rest = changes.filter((change) => change.path !== path);
  rest.push({path, value});
  return rest;
}

interface Kept { text: string; changes: Change[]; etag: string; at: number }
type Listener = () => void;

class Store {
  file = "";
  etag = "";
  opened: Snapshot = {text: "", changes: [], what: "as opened"};
  now: Snapshot = this.opened;
  saved: Snapshot = this.opened;
  past: Snapshot[] = [];
  future: Snapshot[] = [];
  selected: string | null = null;
  rpm = 3000;
  running: "steady" | "accelerating" | "overrun" | "throttle blip" = "steady";
  showBefore = false;
  private listeners: Listener[] = [];
  private selectListeners: Listener[] = [];

  onChange(listener: Listener): void { this.listeners.push(listener); }
  onSelect(listener: Listener): void { this.selectListeners.push(listener); }
  private changed(): void { this.keep(); for (const listener of this.listeners) listener(); }

  open(file: string, text: string, etag: string): void {
    this.file = file;
    this.etag = etag;
    this.opened = this.now = this.saved = {text, changes: [], what: "as opened"};
    this.past = [];
    this.future = [];
    for (const listener of this.listeners) listener();
  }
  /** A new state; the one before can be come back to, without limit. */
  commit(next: {text?: string; changes?: Change[]}, what: string): void {
    const text = next.text ?? this.now.text, changes = next.changes ?? this.now.changes;
    if (text === this.now.text && JSON.stringify(changes) === JSON.stringify(this.now.changes)) return;
    this.past.push(this.now);
    this.future = [];
    this.now = {text, changes, what};
    this.changed();
  }
  set(path: string, value: Value, what: string): void { this.commit({changes: withChange(this.now.changes, path, value)}, what); }
  undo(): string | null {
    const back = this.past.pop();
    if (!back) return null;
    this.future.push(this.now);
    const what = this.now.what;
    this.now = back;
    this.changed();
    return what;
  }
  redo(): string | null {
    const next = this.future.pop();
    if (!next) return null;
    this.past.push(this.now);
    this.now = next;
    this.changed();
    return next.what;
  }
  /** The state now stands in the file as `text`. The way back stays open. */
  wasSaved(text: string, etag: string): void {
    this.etag = etag;
    this.now = this.saved = {text, changes: [], what: this.now.what};
    this.changed();
  }
  get dirty(): boolean {
    return this.now !== this.saved && (this.now.text !== this.saved.text || this.now.changes.length > 0);
  }
  select(name: string | null): void {
    if (name === this.selected) return;
    this.selected = name;
    for (const listener of this.selectListeners) listener();
  }

  private get key(): string { return `snub:work:${this.file}`; }
  /** Nothing typed is lost: unsaved work outlives the page and the server. */
  keep(): void {
    try {
      if (!this.dirty) localStorage.removeItem(this.key);
      else localStorage.setItem(this.key, JSON.stringify({text: this.now.text, changes: this.now.changes, etag: this.etag, at: Date.now()} satisfies Kept));
    } catch { /* storage full or forbidden: the work stays in memory */ }
  }
  kept(): Kept | null {
    try {
      const kept = JSON.parse(localStorage.getItem(this.key) ?? "null") as Kept | null;
      if (!kept || typeof kept.text !== "string" || !Array.isArray(kept.changes)) return null;
      return kept.changes.length === 0 && kept.text === this.now.text ? null : kept;
    } catch { return null; }
  }
}

export const store = new Store();
