// Values of the drive file on one line, as YAML writes them between brackets: [80, 90], {at: [1, 2]}, 3.25 in.
import type {Written} from "./entries-types";
import {Mistyped} from "./typed";
import type {Value} from "./types";

const NUMBER = /^[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?$/;

function word(text: string): string { return text === "" || text !== text.trim() || /[[\]{},"'#]|:(?: |$)/.test(text) ? JSON.stringify(text) : text; }

/** A value of the file as somebody would type it; flowValue reads it back. */
export function flowText(value: Written): string {
  if (Array.isArray(value)) return `[${value.map(flowText).join(", ")}]`;
  if (typeof value === "object") return `{${Object.entries(value).map(([key, one]) => `${word(key)}: ${flowText(one)}`).join(", ")}}`;
  return word(value);
}

class Flow {
  private at = 0;
  constructor(private readonly text: string) {}
  private blank(): void { while (/\s/.test(this.text[this.at] ?? "")) this.at++; }
  private take(char: string): boolean { this.blank(); if (this.text[this.at] !== char) return false; this.at++; return true; }
  private wrong(what: string): never { throw new Mistyped(`Column ${this.at + 1}: ${what}.`); }

  private quoted(mark: string): string {
    let out = "";
    for (this.at++; this.text[this.at] !== mark; this.at++) {
      if (this.at >= this.text.length) this.wrong(`a closing ${mark} is missing`);
      if (mark === "\"" && this.text[this.at] === "\\") this.at++;
      out += this.text[this.at];
    }
    this.at++;
    return out;
  }
  /** A key, or a plain value up to what ends it. */
  private plain(ends: RegExp): string {
    const from = this.at;
    while (this.at < this.text.length && !ends.test(this.text.slice(this.at, this.at + 2))) this.at++;
    const text = this.text.slice(from, this.at).trim();
    return text === "" ? this.wrong("a value is missing") : text;
  }
  private list(): Value[] {
    const list: Value[] = [];
    while (!this.take("]")) {
      if (list.length && !this.take(",")) this.wrong("a comma or ] is missing");
      if (list.length && this.take("]")) break;
      list.push(this.value(true));
    }
    return list;
  }
  private map(): Value {
    const map: {[key: string]: Value} = {};
    for (let first = true; !this.take("}"); first = false) {
      if (!first && !this.take(",")) this.wrong("a comma or } is missing");
      this.blank();
      const mark = this.text[this.at], key = mark === "\"" || mark === "'" ? this.quoted(mark) : this.plain(/^(?::[\s[{"']?$|:\s|[,}\]])/);
      if (!this.take(":")) this.wrong(`a colon after “${key}” is missing`);
      map[key] = this.value(true);
    }
    return map;
  }
  value(inside = false): Value {
    this.blank();
    const mark = this.text[this.at];
    if (mark === "[") { this.at++; return this.list(); }
    if (mark === "{") { this.at++; return this.map(); }
    if (mark === "\"" || mark === "'") return this.quoted(mark);
    const text = this.plain(inside ? /^[,\]}]/ : /^$/);
    if (text === "null" || text === "~") return null;
    if (text === "true" || text === "false") return text === "true";
    return NUMBER.test(text) ? Number(text) : text;
  }
  end(): void { this.blank(); if (this.at < this.text.length) this.wrong("there is more than one value"); }
}

/** @throws Mistyped */
export function flowValue(text: string): Value {
  const flow = new Flow(text), value = flow.value();
  flow.end();
  return value;
}
