// Every entry of the drive file: what it has, what it may have, from where to where, and what is taken where it is silent.
import "./shared";
import {call, Latest, Refused, type Answer, type Ask} from "./api";
import {h, renew} from "./dom";
import {flowText, flowValue} from "./flow";
import {itemList, namesMap, nameMaps, type Around} from "./entry-lists";
import type {Bounds, Entries, FileKey, Known, Written} from "./entries-types";
import {store} from "./store";
import {bareUnit, Mistyped, shownValue, valueOf} from "./typed";
import type {FileError, Value} from "./types";

/** An entry of this file: its forms, the one that is written first. */
interface Entry { path: string; name: string; means: string; forms: FileKey[]; errors: FileError[] }
interface Section { name: string; title: string; entries: Entry[] }

const ROWS_MOST = 150; // of a search: more is no answer

/** Path of an entry as changes have it: pulleys go by their names. */
function asPath(key: string): string {
  const found = /^pulleys\.(?!\d+(?:\.|$))(.+)$/.exec(key);
  return found ? found[1] : key;
}

/** Path with which the items of a pattern's last list begin, of a path of that pattern. */
function itemOf(path: string, pattern: string): {star: string; item: string} | null {
  const words = pattern.split("."), last = words.lastIndexOf("*");
  if (last < 0) return null;
  const rest = words.length - 1 - last;
  return {star: words.slice(0, last + 1).join("."), item: path.split(".").slice(0, rest ? -rest : undefined).join(".")};
}

/** The items that the file has: "pulleys.*" to their paths. */
function itemsOf(entries: FileKey[]): Map<string, Set<string>> {
  const items = new Map<string, Set<string>>();
  for (const one of entries) {
    const found = itemOf(one.path, one.key);
    if (!found) continue;
    if (!items.has(found.star)) items.set(found.star, new Set());
    items.get(found.star)?.add(found.item);
  }
  return items;
}

/** All entries that this file may have: its own as its reading tells them, the others as they are known. */
function merge(known: FileKey[], own: FileKey[]): Entry[] {
  const items = itemsOf(own), all = new Map<string, Entry>(), means = new Map(known.map((one) => [one.key, one.means ?? ""]));
  const above = new Set(known.flatMap(({key}) => [...key.matchAll(/\./g)].map(({index}) => key.slice(0, index)))); // keys with keys in them
  const values = new Set(known.filter((one) => one.kind !== "map").map((one) => one.key));
  const add = (path: string, form: FileKey): void => {
    const entry = all.get(path) ?? {path, name: path, means: means.get(form.key) ?? "", forms: [], errors: []};
    if (!entry.forms.some((one) => one.kind === form.kind)) entry.forms.push({...form, path, leaf: !above.has(form.kind === "map" ? form.key : `${form.key}.*`)});
    all.set(path, entry);
  };
  for (const one of own) add(one.path, one);
  const read = new Set(all.keys());
  // a reading asks for a map or for a value, by what the file has; either may be written there
  const either = new Set(known.filter((one) => one.kind === "map" && values.has(one.key)).map((one) => one.key));
  for (const one of known) {
    const found = itemOf(one.key, one.key), tail = found ? one.key.slice(found.star.length) : "";
    const paths = found ? [...items.get(found.star) ?? []].map((item) => item + tail) : [one.key];
    for (const path of paths) if (!read.has(path) || either.has(one.key)) add(path, {...one, needed: false});
  }
  return [...all.values()];
}

const titles: Record<string, string> = {engine: "Engine", air: "Air", cooler: "Cooler", belt: "Belt", limits: "Limits", mounts: "Mounts", bearings: "Bearings", obstacles: "Obstacles", contents: "Contents", steps: "Steps", tolerances: "Tolerances", packages: "Packages", options: "Options", variants: "Variants", shims: "Shims", duty: "Duty"};

function sectionOf(entry: Entry, pulleys: Set<string>): {name: string; title: string} {
  const first = entry.path.split(".")[0], key = entry.forms[0].key.split(".")[0];
  if (key === "pulleys" && entry.path !== "pulleys") {
    const name = [...pulleys].find((one) => entry.path.startsWith(`${one}.`)) ?? first;
    return {name: `pulley:${name}`, title: `Pulley ${name}`};
  }
  return titles[first] && first !== "pulleys" ? {name: first, title: titles[first]} : {name: "file", title: "File"};
}

function bounds(one: Bounds, us: boolean): string {
  if (one.unit === undefined) return "";
  const unit = one.unit ? ` ${one.unit}` : "", {least, most} = one;
  if (least === null && most === null) return "";
  const range = least === null ? `up to ${most}` : most === null ? `from ${least}` : `${least} to ${most}`;
  return `${range}${unit}${us && one.us_unit !== one.unit ? `; bare: ${one.us_unit}` : ""}`;
}

/** What may stand there, in one line. */
export function about(forms: FileKey[], us: boolean): string {
  const one = (form: FileKey): string => {
    const parts = [form.kind === "word" || form.kind === "true or false" ? "" : form.kind, bounds(form, us)];
    if (form.second) parts.push(`then ${bounds(form.second, us)}`);
    if (form.kind === "text" && form.count) parts.push(`up to ${form.count[1]} bytes`);
    if (form.kind === "word") parts.push((form.words ?? []).join(", "));
    return parts.filter(Boolean).join(", ");
  };
  return forms.map(one).filter(Boolean).join("; or ");
}

export function silent(form: FileKey): string {
  if (form.needed) return "needed";
  if (form.default === undefined) return "";
  const unit = form.unit ? ` ${form.unit}` : "";
  const usual = form.usual ? `, usually ${form.usual[0]} to ${form.usual[1]}${unit}` : "";
  return `default ${form.default}${unit}${usual}${form.source ? ` (${form.source})` : ""}`;
}

export class EntriesPanel {
  shown = false;
  private known: FileKey[] | null = null;
  private language = "en"; // of the meanings
  private roundNow: Around | null = null; // of the answer that is drawn
  private groups = new Map<string, {name: string; means: string}>(); // maps, by path
  private answer: Entries | null = null;
  private refused = "";
  private readonly open = new Set<string>(["belt"]);
  private readonly filter = h("input", {type: "search", id: "entries-filter", autocomplete: "off", spellcheck: "false", size: 22});
  private readonly all = h("input", {type: "checkbox", id: "entries-all"});
  private readonly list = h("div");
  private readonly paths = h("datalist", {id: "entries-paths"});
  private readonly wrong = h("div", {role: "status"});
  private readonly live: Latest<Ask, Answer<Entries>>;

  /** @param goText  shows a line of the file's own text */
  constructor(readonly element: HTMLElement, private readonly ask: () => Ask, private readonly goText: (m: FileError) => void, mark: (text: string) => void) {
    this.live = new Latest<Ask, Answer<Entries>>((asked) => call<Entries>("POST", "/api/entries", asked), ({body}) => {
      this.answer = body;
      this.roundNow = null;
      this.refused = "";
      mark(body.errors.length ? `✕ ${body.errors.length + body.more}` : "");
      this.draw();
    }, (error) => {
      if (!(error instanceof Refused)) return;
      const first = error.problem.errors[0];
      this.refused = first ? `${first.line ? `line ${first.line}: ` : ""}${first.key ? `${first.key}: ` : ""}${first.message}` : error.problem.detail;
      mark("✕");
      this.draw();
    });
    this.filter.addEventListener("input", () => this.draw());
    this.filter.addEventListener("keydown", (event) => { if (event.key === "Escape" && this.filter.value) { this.filter.value = ""; this.draw(); event.stopPropagation(); } });
    this.all.addEventListener("change", () => this.draw());
    this.element.append(this.paths, h("p", {class: "hint"}, "Every entry that a drive file may have. A value in grey is taken where the file has none; bounds say what is absurd, not what is good."),
      h("div", {class: "find", role: "search", "aria-label": "Entries"}, h("label", {for: "entries-filter"}, "Find an entry"), " ", this.filter, " ", h("label", {}, this.all, " Show those that the file leaves out")), this.wrong, this.list);
  }

  update(): void {
    if (!this.shown) return;
    if (!this.known) void call<Known>("GET", "/api/keys").then(({body}) => { this.known = body.keys; this.roundNow = null; this.language = body.language; this.draw(); }, () => undefined);
    this.live.put(this.ask());
  }

  /** Bring one entry into view, whatever is hidden now, and put the cursor there. */
  goTo(path: string): void {
    const entry = this.entries().find((one) => one.path === path);
    if (!entry) return;
    this.filter.value = "";
    this.open.add(this.sectionName(entry));
    if (!this.isWritten(entry)) this.all.checked = true;
    this.draw();
    this.list.querySelector<HTMLElement>(`[data-key="${CSS.escape(`e-${path}`)}"]`)?.focus();
  }

  private get us(): boolean { return this.answer?.entries.find((one) => one.path === "units")?.value === "us"; }
  private pulleys(): Set<string> { return itemsOf(this.answer?.entries ?? []).get("pulleys.*") ?? new Set(); }
  private sectionName(entry: Entry): string { return sectionOf(entry, this.pulleys()).name; }
  private isWritten(entry: Entry): boolean { return entry.forms.some((form) => form.value !== undefined || form.needed) || entry.errors.length > 0; }

  /** Each error at the entry that it is of: the longest that its key begins with. */
  private entries(): Entry[] {
    if (!this.answer || !this.known) return [];
    const entries = merge(this.known, this.answer.entries), by = new Map(entries.map((one) => [one.path, one]));
    for (const error of this.answer.errors) {
      let path = asPath(error.key);
      while (path && !by.has(path)) path = path.includes(".") ? path.slice(0, path.lastIndexOf(".")) : "";
      by.get(path)?.errors.push(error);
    }
    return entries;
  }

  private draw(): void {
    if (!this.shown) return;
    if (this.refused) { renew(this.wrong, h("p", {class: "wrong"}, `The file cannot be read. ${this.refused}`), h("button", {type: "button", onclick: () => this.goText({line: 1, column: 1, got: "", key: "", message: "", need: "", file: "", text: ""})}, "Show the text")); return; }
    const entries = this.entries(), words = this.filter.value.trim().toLowerCase().split(/\s+/).filter(Boolean);
    if (!this.answer || !this.known) { renew(this.list, h("p", {class: "hint"}, "Reading…")); return; }
    this.drawErrors(entries);
    if (this.paths.childElementCount !== entries.length) this.paths.replaceChildren(...entries.map((one) => h("option", {value: one.path})));
    const sections = new Map<string, Section>(), pulleys = this.pulleys();
    let matches = 0;
    this.groups = new Map(entries.filter((one) => one.forms.some((form) => form.kind === "map")).map((one) => [one.path, {name: one.path.split(".").slice(-1)[0].replaceAll("_", " "), means: one.means}]));
    for (const entry of entries) {
      if (!this.wanted(entry, words)) continue;
      if (words.length && ++matches > ROWS_MOST) continue;
      const {name, title} = sectionOf(entry, pulleys), section = sections.get(name) ?? {name, title, entries: []};
      const below = name.startsWith("pulley:") ? name.slice(7) : name;
      section.entries.push({...entry, name: entry.path.startsWith(`${below}.`) ? entry.path.slice(below.length + 1) : entry.path});
      sections.set(name, section);
    }
    this.keepTyping(() => renew(this.list, words.length ? h("p", {class: "hint", role: "status"}, matches === 0 ? "No entry has that in its name." : `${matches} ${matches === 1 ? "entry" : "entries"}${matches > ROWS_MOST ? `; the first ${ROWS_MOST} are shown` : ""}.`) : null,
      ...[...sections.values()].map((section) => this.section(section, words.length > 0))));
  }

  /** Of what an entry stands in, where that is a map: said once, above its first. */
  private group(path: string, said: Set<string>): HTMLElement | null {
    const above = path.slice(0, path.lastIndexOf("."));
    const map = this.groups.get(above);
    if (!map || said.has(above)) return null;
    said.add(above);
    return h("p", {class: "group"}, h("b", {}, map.name), " ", h("span", {lang: this.language}, map.means));
  }

  private wanted(entry: Entry, words: string[]): boolean {
    const within = (form: FileKey): boolean => !nameMaps.has(form.key) && (form.kind === "map" && (form.value === undefined || form.leaf !== true) || /^packages\.\*\.(changes|excludes)/.test(form.key));
    if (entry.forms.every(within) && !entry.errors.length) return false;
    if (words.length) return words.every((word) => entry.path.toLowerCase().includes(word) || entry.forms[0].key.includes(word));
    return this.all.checked || this.isWritten(entry);
  }

  private drawErrors(entries: Entry[]): void {
    const errors = this.answer?.errors ?? [], at = (error: FileError): Entry | undefined => entries.find((one) => one.errors.includes(error));
    renew(this.wrong, errors.length ? h("div", {}, h("h2", {}, `${errors.length} ${errors.length === 1 ? "entry is" : "entries are"} wrong`), h("ol", {class: "errors"}, ...errors.map((error, i) => h("li", {}, h("button", {type: "button", "data-key": `ee${i}`, onclick: () => { const entry = at(error); if (entry) this.goTo(entry.path); else this.goText(error); }},
      h("span", {class: "sign", "aria-hidden": "true"}, "✕"), h("code", {}, asPath(error.key)), ` ${said(error)}`))))) : null);
  }

  private section(section: Section, all: boolean): HTMLElement {
    const open = all || this.open.has(section.name), wrong = section.entries.filter((one) => one.errors.length).length;
    const written = section.entries.filter((one) => one.forms.some((form) => form.value !== undefined && form.kind !== "map")).length;
    const summary = h("summary", {"data-key": `s-${section.name}`}, section.title, h("small", {}, ` ${written} written${wrong ? `, ${wrong} wrong` : ""}`));
    const body = h("div", {class: "rows"}, ...(open ? this.rows(section) : []));
    const details = h("details", {class: "section", "data-section": section.name, open}, summary, body);
    details.addEventListener("toggle", () => {
      if (details.open) this.open.add(section.name); else if (!all) this.open.delete(section.name);
      if (details.open && !body.firstChild) body.append(...this.rows(section));
    });
    return details;
  }

  private rows(section: Section): HTMLElement[] {
    const said = new Set<string>();
    return section.entries.flatMap((entry) => [this.group(entry.path, said), this.row(entry)]).filter((one): one is HTMLElement => one !== null);
  }

  private row(entry: Entry): HTMLElement {
    const form = entry.forms.find((one) => one.value !== undefined && fits(one)) ?? entry.forms.find((one) => one.kind === "map" && one.value !== undefined && !isScalar(one.value) && !Array.isArray(one.value)) ?? entry.forms[0], id = `e-${entry.path}`.replace(/[^\w-]/g, "_");
    const means = h("small", {id: `${id}-means`, class: "means", lang: this.language}, entry.means);
    const hint = h("small", {id: `${id}-about`}, [about(entry.forms, this.us), silent(form), form.part ? `from the part ${form.part}` : "", form.measure ?? ""].filter(Boolean).join(". "));
    const error = h("p", {class: "wrong", id: `${id}-wrong`}, entry.errors.map(said).join(" "));
    const field = this.field(entry, form, id, (text) => { error.textContent = text; field.setAttribute("aria-invalid", String(text !== "")); });
    const invalid = entry.errors.length > 0;
    const wide = field.classList.contains("items"); // a block of its own, which a label cannot name
    field.setAttribute(wide ? "aria-label" : "id", wide ? entry.path : id);
    if (wide) field.setAttribute("role", "group");
    field.setAttribute("aria-describedby", `${id}-means ${id}-about ${id}-wrong`);
    if (invalid && !wide) field.setAttribute("aria-invalid", "true");
    const bare = typeof form.value !== "string" || /^[-+\d.eE]*$/.test(form.value), unit = form.unit === undefined || !bare ? "" : bareUnit(form, this.us);
    return h("div", {class: `row${form.value === undefined ? " silent" : ""}`, "data-entry": entry.path}, wide ? h("b", {}, entry.name) : h("label", {for: id}, entry.name), field, h("span", {class: "unit"}, unit), means, hint, error);
  }

  private field(entry: Entry, form: FileKey, id: string, wrong: (text: string) => void): HTMLElement {
    const map = form.kind === "map" && !nameMaps.has(form.key); // in one field, and each of its entries below it
    const shown = map ? form.value === undefined ? "" : flowText(form.value) : shownValue(form, form.value), common = {id, "data-key": `e-${entry.path}`, "data-was": shown};
    const only = entry.forms.length === 1;
    if (only && (form.kind === "word" || form.kind === "true or false")) {
      const words = form.kind === "word" ? form.words ?? [] : ["true", "false"], strange = shown !== "" && !words.includes(shown);
      const select = h("select", common, h("option", {value: ""}, form.default !== undefined ? `${form.default} (default)` : "left out"), ...(strange ? [shown] : []).concat(words).map((word) => h("option", {value: word, selected: word === shown}, word)));
      select.addEventListener("change", () => this.take(entry, form, select.value, wrong));
      return select;
    }
    if (!map && !fits(form)) return this.seeText(entry, form, common);
    const many = form.kind === "table" || form.kind === "list";
    const input = many ? h("textarea", {...common, rows: Math.min(8, Math.max(1, shown.split("\n").length)), spellcheck: "false"}) : h("input", {...common, type: "text", autocomplete: "off", spellcheck: "false", placeholder: form.default ?? ""});
    input.value = shown;
    const typed = (): void => { if (input.value !== (input.getAttribute("data-was") ?? "") && this.take(entry, form, input.value, wrong)) input.setAttribute("data-was", input.value); };
    input.addEventListener("change", typed);
    input.addEventListener("keydown", (event) => {
      const key = (event as KeyboardEvent).key;
      if (key === "Enter" && !many) typed();
      if (key === "Escape") { input.value = input.getAttribute("data-was") ?? ""; wrong(""); event.stopPropagation(); }
    });
    return input;
  }

  /** One more map in a list, with a name; what else it needs is told at its entries then. */
  private addItem(entry: Entry, form: FileKey): void {
    const count = Array.isArray(form.value) ? form.value.length : 0, top = `${form.key}.*.`;
    const head = this.known?.find((one) => one.key.startsWith(top) && one.needed && one.kind === "text" && !one.key.slice(top.length).includes("."));
    const item: Value = {[head?.key.slice(top.length) ?? "name"]: `new ${count + 1}`};
    const path = count ? `${entry.path}.+` : entry.path, value = count ? item : [item], what = `added to ${entry.path}`;
    if (form.closed) void this.write(path, value, what, () => undefined); else store.set(path, value, what);
  }

  /** What is a map by itself is changed in its own entries, lists of them and maps by names item by item. */
  private seeText(entry: Entry, form: FileKey, common: Record<string, unknown>): HTMLElement {
    const id = `e-${entry.path}`;
    if (form.kind === "list" && form.leaf !== true) return itemList(form, id, this.around(), () => this.addItem(entry, form));
    const map = namesMap(form, id, this.around());
    if (map) return map;
    const size = form.value === undefined ? 0 : Array.isArray(form.value) ? form.value.length : Object.keys(form.value).length;
    return h("button", {...common, type: "button", disabled: !form.line, onclick: () => this.goText({line: form.line ?? 0, column: 1, got: "", key: entry.path, message: "", need: "", file: "", text: ""})}, size ? `${size} in the text` : "none");
  }

  private around(): Around {
    if (this.roundNow) return this.roundNow;
    const entries = this.entries(), by = new Map(entries.map((one) => [one.path, one.forms]));
    return this.roundNow = {us: this.us, paths: entries.map((one) => one.path), formOf: (path) => by.get(path)?.[0] ?? null, goTo: (path) => { const first = entries.find((one) => one.path.startsWith(`${asPath(path)}.`) && this.wanted(one, [])) ?? entries.find((one) => one.path.startsWith(`${asPath(path)}.`)); if (first) this.goTo(first.path); }};
  }

  /** What was typed, as an undoable change; by the form that it fits where there are several. @return it is a value */
  private take(entry: Entry, form: FileKey, typed: string, wrong: (text: string) => void): boolean {
    let value: Value;
    try { value = entry.forms.some((one) => one.kind === "map") && typed.trim().startsWith("{") ? flowValue(typed) : valueOf(formOf(entry, form, typed), typed, this.us); } catch (error) {
      if (!(error instanceof Mistyped)) throw error;
      wrong(error.message);
      return false;
    }
    wrong("");
    if (value === null && form.value === undefined) return true;
    const what = value === null ? `${entry.path} left out` : `set ${entry.path}`;
    if (form.closed) void this.write(entry.path, value, what, wrong); else store.set(entry.path, value, what);
    return true;
  }

  /** A value that is one for all builds goes into the text at once: no overlay may have it. */
  private async write(path: string, value: Value, what: string, wrong: (text: string) => void): Promise<void> {
    const now = store.now;
    try {
      const asked = this.ask(), {body} = await call<{text: string}>("POST", "/api/apply", {...asked, changes: [...now.changes, {path, value}]});
      if (store.now === now) store.commit({text: body.text, changes: []}, what);
    } catch (error) { if (error instanceof Refused) wrong(error.problem.errors[0]?.message ?? error.problem.detail); }
  }

  /** The rows are made anew with each answer; what somebody is typing, and where, stays. */
  private keepTyping(make: () => void): void {
    const active = document.activeElement, typing = (active instanceof HTMLInputElement || active instanceof HTMLTextAreaElement) && this.list.contains(active) && active.value !== (active.getAttribute("data-was") ?? "") ? active : null;
    make();
    if (!typing) return;
    const next = document.activeElement;
    if (next instanceof HTMLInputElement || next instanceof HTMLTextAreaElement) { next.value = typing.value; next.setSelectionRange(typing.selectionStart, typing.selectionEnd); }
  }
}

function isScalar(value: Written): boolean { return typeof value === "string"; }
/** Can the value be typed in one field? */
function fits(form: FileKey): boolean {
  const value = form.value;
  if (form.kind === "map") return false;
  if (form.kind === "list") return form.leaf === true && (value === undefined || (Array.isArray(value) && value.every((row) => Array.isArray(row) ? row.every(isScalar) : isScalar(row))));
  return value === undefined || isScalar(value) || (Array.isArray(value) && (form.kind === "table" || value.every(isScalar)));
}

/** The form of several that a typed text is of. */
function formOf(entry: Entry, form: FileKey, typed: string): FileKey {
  const numbers = typed.replace(/^\[|\]$/g, "").split(/[;,]/).filter((one) => one.trim() !== "").length;
  const word = entry.forms.find((one) => one.kind === "word" && one.words?.includes(typed));
  const several = entry.forms.find((one) => one.kind === "numbers" || one.kind === "point"), single = entry.forms.find((one) => one.kind === "number");
  if (form.kind === "map" && entry.forms.length < 2 && typed.trim() !== "") throw new Mistyped("Write it in braces: {key: value, key: value}.");
  if (entry.forms.length < 2) return form;
  return word ?? (numbers > 1 ? several : single) ?? several ?? form;
}

function said(error: FileError): string {
  const more = [error.got && `got ${error.got}`, error.need && `need ${error.need}`].filter(Boolean).join(", ");
  return `${error.message}${more ? ` (${more})` : ""}.`;
}
