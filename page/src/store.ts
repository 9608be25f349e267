// What the page holds: the file as opened, the state now, and everything in between.
import type {Base, Change, Saved, Value} from "./types";
import {changesInFile} from "./units";
import {keepWork, ownWork, type Kept} from "./work";

/** A state of the work. `text` is the drive file; `changes` lie over it until a save writes them into it. `base` is the
 *  file that it began with: a save tells it, so that what another program wrote since is kept. */
export interface Snapshot { text: string; changes: Change[]; what: string; base: Base }

/** The last value of a path stands; what is added to a list (`+`) is added each time. */
export function withChange(changes: Change[], path: string, value: Value): Change[] {
  return [...changes.filter((change) => change.path !== path || path.split(".").includes("+")), {path, value}];
}

export function withChanges(changes: Change[], more: Change[]): Change[] { return more.reduce((all, one) => withChange(all, one.path, one.value), changes); }

type Listener = () => void;

class Store {
  file = "";
  etag = "";
  opened: Snapshot = {text: "", changes: [], what: "as opened", base: {text: "", etag: ""}};
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
    this.opened = this.now = this.saved = {text, changes: [], what: "as opened", base: {text, etag}};
    this.past = [];
    this.future = [];
    for (const listener of this.listeners) listener();
  }
  /** A new state; the one before can be come back to, without limit. `same`: it belongs to the last one, as of a key that is held down. */
  commit(next: {text?: string; changes?: Change[]; base?: Base}, what: string, same = false): void {
    const text = next.text ?? this.now.text, changes = next.changes ? changesInFile(next.changes) : this.now.changes;
    if (text === this.now.text && JSON.stringify(changes) === JSON.stringify(this.now.changes)) return;
    if (!same || this.now.what !== what || !this.past.length) this.past.push(this.now);
    this.future = [];
    this.now = {text, changes, what, base: next.base ?? this.now.base};
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
  /** The state `sent` now stands in the file, with what others wrote. The way back stays open: a state of before is
   *  compared with the page's own text of that save, so that going back does not undo what others wrote. */
  wasSaved(sent: Snapshot, {text, etag, taken, mine}: Saved): void {
    const before = sent.base, base = taken.length ? {text, etag} : before;
    before.text = mine ?? text;
    before.etag = taken.length ? "" : etag;
    this.etag = etag;
    this.saved = {text, changes: [], what: sent.what, base};
    if (this.now === sent) this.now = this.saved; // else the hand has gone on meanwhile
    const known = (one: Snapshot): boolean => one.base === base || one.base === before;
    this.past = this.past.filter(known);
    this.future = this.future.filter(known);
    this.changed();
  }
  /** Back to the file as it was read or saved last. */
  discard(): void {
    this.now = this.saved;
    this.past = [];
    this.future = [];
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

  /** Nothing typed is lost: unsaved work outlives the page and the server. */
  keep(): void {
    keepWork(this.file, this.dirty ? {text: this.now.text, changes: this.now.changes, base: this.now.base, at: Date.now()} : null);
  }
  kept(): Kept | null {
    const kept = ownWork(this.file);
    return !kept || (kept.changes.length === 0 && kept.text === this.now.text) ? null : kept;
  }
}

export const store = new Store();
