// Lists of items, and maps by names or paths (options, variants, packages, steps), in the page's entries: set, added, removed, moved.
import {h} from "./dom";
import {editFile, type Edit, type Path} from "./edits";
import type {FileKey, Written} from "./entries-types";
import {flowText, flowValue} from "./flow";
import {Mistyped, shownValue, valueOf} from "./typed";
import type {Value} from "./types";

type Map_ = {[key: string]: Written};
/** What the rows need to know of the file. `formOf`: the key at a path, where it is one. */
export interface Around { us: boolean; paths: string[]; formOf: (path: string) => FileKey | null; goTo: (path: string) => void }

const drafts = new Map<string, string>(); // of fields that wait for an Add: they outlive a redrawing

function tool(key: string, text: string, name: string, off: boolean, act: () => void): HTMLElement { return h("button", {type: "button", class: "tool", "data-key": key, "aria-label": name, title: name, disabled: off, onclick: act}, text); }
function isMap(value: Written | undefined): value is Map_ { return typeof value === "object" && !Array.isArray(value); }
function joined(path: Path): string { return Array.isArray(path) ? path.join(".") : path; }
function within(path: Path, word: string): Path { return Array.isArray(path) ? [...path, word] : `${path}.${word}`; }

/** Says below what the server refuses. */
class Told {
  readonly element = h("p", {class: "wrong", role: "alert"});
  say(text: string): void { this.element.textContent = text; }
  edit(edits: Edit[], what: string, done: () => void = () => undefined): void {
    this.say("");
    void editFile(edits, [], what).then((wrong) => { if (wrong === null) done(); else this.say(wrong); });
  }
  /** @return undefined: what was typed is no value, and that was said */
  read(make: () => Value): Value | undefined {
    try { return make(); } catch (error) {
      if (!(error instanceof Mistyped)) throw error;
      this.say(error.message);
      return undefined;
    }
  }
}

/** Earlier, later, remove. The last of a collection takes the collection with it: an empty one says nothing. */
function tools(told: Told, path: Path, id: string, names: string[], i: number, item: string): HTMLElement {
  const n = names.length, one = within(path, names[i]), called = `${item} of ${joined(path)}`;
  return h("span", {class: "tools"},
    tool(`${id}-up`, "↑", `Move ${called} up`, i === 0, () => told.edit([{move: one, before: names[i - 1]}], `moved ${called}`)),
    tool(`${id}-down`, "↓", `Move ${called} down`, i === n - 1, () => told.edit([{move: one, before: names[i + 2] ?? ""}], `moved ${called}`)),
    tool(`${id}-out`, "✕", `Remove ${called}`, false, () => told.edit([{remove: n === 1 ? path : one}], `removed ${called}`)));
}

function draft(key: string, label: string, more: Record<string, unknown> = {}, many = false): HTMLInputElement | HTMLTextAreaElement {
  const common = {"data-key": key, "data-was": "", "aria-label": label, placeholder: label, autocomplete: "off", spellcheck: "false", ...more};
  const field = many ? h("textarea", {rows: 2, ...common}) : h("input", {type: "text", ...common});
  field.value = drafts.get(key) ?? "";
  field.addEventListener("input", () => drafts.set(key, field.value));
  return field;
}
function dropDrafts(...keys: string[]): void { for (const key of keys) drafts.delete(key); }

/** The name of an item of a map, to be typed over: what the file says of it by that name follows. */
function nameField(told: Told, path: string[], name: string, id: string, more: Record<string, unknown> = {}): HTMLElement {
  const field = h("input", {type: "text", class: "name", "data-key": `${id}-name`, "data-was": name, "aria-label": `Name of ${name} of ${joined(path)}`, title: "Type another name to rename it", autocomplete: "off", spellcheck: "false", size: Math.max(6, name.length + 1), ...more});
  field.value = name;
  const set = (): void => {
    const typed = field.value.trim();
    if (typed === name) { field.value = name; told.say(""); return; }
    if (typed === "") { told.say("A name cannot be empty. ✕ removes it."); return; }
    told.edit([{rename: [...path, name], key: typed}], `renamed ${name} of ${joined(path)} to ${typed}`);
  };
  field.addEventListener("change", set);
  field.addEventListener("keydown", (event) => {
    if (event.key === "Escape") { field.value = name; told.say(""); event.stopPropagation(); }
  });
  return field;
}

// ---- lists of items ------------------------------------------------------------------------------------------------

function itemName(item: Written, i: number): string {
  const name = isMap(item) ? item.name ?? item.designation ?? item.part ?? item.reason : item;
  return typeof name === "string" ? name : `${i + 1}`;
}

/** @param add  makes one more item at the end */
export function itemList(form: FileKey, id: string, around: Around, add: () => void): HTMLElement {
  const told = new Told(), items = Array.isArray(form.value) ? form.value : [], indices = items.map((_, i) => String(i));
  const rows = items.map((item, i) => h("li", {}, h("button", {type: "button", class: "pick", "data-key": `${id}-${i}-go`, onclick: () => around.goTo(`${form.path}.${i}`)}, itemName(item, i)), tools(told, form.path, `${id}-${i}`, indices, i, itemName(item, i))));
  return h("div", {class: "items"}, items.length ? h("ol", {}, ...rows) : null, h("button", {type: "button", "data-key": id, onclick: add}, items.length ? "Add one" : "None; add one"), told.element);
}

// ---- maps of paths -------------------------------------------------------------------------------------------------

/** A value at a path, as it is typed: by the key's own form where it is known and fits on a line. */
function shownAt(around: Around, path: string, value: Written): string {
  const form = around.formOf(path);
  return form && typeof value === "string" ? shownValue(form, value) : flowText(value);
}
function typedAt(around: Around, path: string, text: string): Value {
  const form = around.formOf(path), bare = text.trim();
  if (bare === "") throw new Mistyped("Enter a value; null takes it out of the drive.");
  if (bare === "null" || bare === "~") return null;
  return form && !/^[[{]/.test(bare) && ["number", "number or range", "whole number", "word", "true or false", "text", "point", "numbers"].includes(form.kind) ? valueOf(form, bare, around.us) : flowValue(bare);
}

interface Kind { shown: (path: string, value: Written) => string; typed: (path: string, text: string) => Value; many: boolean; renamed: boolean; value: string; key: string }
const single = (around: Around): Kind => ({shown: (path, value) => shownAt(around, path, value), typed: (path, text) => typedAt(around, path, text), many: false, renamed: true, value: "value", key: "path, such as blower.diameter"});
/** Of an option: a value a line. */
const several = (around: Around): Kind => ({
  shown: (path, value) => Array.isArray(value) ? value.map((one) => shownAt(around, path, one)).join("\n") : flowText(value),
  typed: (path, text) => {
    const lines = text.split("\n").map((line) => line.trim()).filter(Boolean);
    if (!lines.length) throw new Mistyped("Enter the values that can be chosen, one a line.");
    return lines.map((line) => typedAt(around, path, line));
  }, many: true, renamed: true, value: "values, one a line", key: "path, such as blower.diameter"});
/** Of what the package does not come with. */
const excluded = (around: Around): Kind => ({...single(around), renamed: false, shown: (_, value) => flowText(value), typed: (path, text) => path === "reason" || path === "variant" && !text.trim().startsWith("[") ? text.trim() : flowValue(text), key: "reason, variant, or the path of an option"});

/** Put under its key into a map; where the map is not there yet it is made, in what it stands in. */
function insertion(path: string[], there: boolean, key: string, value: Value): Edit {
  return there ? {insert: path, before: "", key, value} : {insert: path.slice(0, -1), before: "", key: path[path.length - 1], value: {[key]: value}};
}

function mapRows(path: string[], map: Map_ | undefined, id: string, kind: Kind): HTMLElement {
  const told = new Told(), names = Object.keys(map ?? {});
  const rows = Object.entries(map ?? {}).map(([name, value], i) => {
    const was = kind.shown(name, value), key = `${id}-${i}`;
    const field = kind.many ? h("textarea", {rows: Math.min(8, Math.max(1, was.split("\n").length)), spellcheck: "false"}) : h("input", {type: "text", autocomplete: "off", spellcheck: "false"});
    field.value = was;
    for (const [name_, text] of Object.entries({"data-key": key, "data-was": was, "aria-label": `${name} of ${joined(path)}`})) field.setAttribute(name_, text);
    const set = (): void => {
      const typed = field.value === was ? undefined : told.read(() => kind.typed(name, field.value));
      if (typed !== undefined) told.edit([{set: [...path, name], value: typed}], `set ${name} of ${joined(path)}`);
    };
    field.addEventListener("change", set);
    field.addEventListener("keydown", (event) => {
      if ((event as KeyboardEvent).key === "Enter" && !kind.many) set();
      if ((event as KeyboardEvent).key === "Escape") { field.value = was; told.say(""); event.stopPropagation(); }
    });
    return h("li", {}, kind.renamed ? nameField(told, path, name, key, {list: "entries-paths"}) : h("code", {}, name), field, tools(told, path, key, names, i, name));
  });
  const at = draft(`${id}-key`, kind.key, {list: "entries-paths"}), value = draft(`${id}-value`, kind.value, {}, kind.many);
  const add = (): void => {
    const name = at.value.trim(), typed = name === "" ? told.say("Enter the path first.") : told.read(() => kind.typed(name, value.value));
    if (typed === undefined) return;
    told.edit([insertion(path, map !== undefined, name, typed)], `added ${name} to ${joined(path)}`, () => dropDrafts(`${id}-key`, `${id}-value`));
  };
  return h("div", {class: "items"}, names.length ? h("ol", {class: "keyed"}, ...rows) : null, h("div", {class: "adding", role: "group", "aria-label": `Add to ${joined(path)}`}, at, value, h("button", {type: "button", "data-key": `${id}-add`, onclick: add}, "Add")), told.element);
}

/** A map whose keys are names, each with a map below it. `first`: what a new one begins with, of what is typed. */
function named(path: string[], map: Map_ | undefined, id: string, what: string, hint: string, first: (text: string) => Value, below: (name: string, value: Map_, id: string) => HTMLElement[]): HTMLElement {
  const told = new Told(), names = Object.keys(map ?? {});
  const rows = Object.entries(map ?? {}).map(([name, value], i) => h("li", {}, h("div", {class: "named"}, nameField(told, path, name, `${id}-${i}`), tools(told, path, `${id}-${i}`, names, i, name)), ...below(name, isMap(value) ? value : {}, `${id}-${i}`)));
  const called = draft(`${id}-key`, `name of the ${what}`), text = draft(`${id}-value`, hint);
  const add = (): void => {
    const name = called.value.trim(), value = name === "" ? told.say("Enter the name first.") : told.read(() => first(text.value));
    if (value === undefined) return;
    told.edit([insertion(path, map !== undefined, name, value)], `added ${name} to ${joined(path)}`, () => dropDrafts(`${id}-key`, `${id}-value`));
  };
  return h("div", {class: "items"}, names.length ? h("ol", {class: "names"}, ...rows) : null, h("div", {class: "adding", role: "group", "aria-label": `Add to ${joined(path)}`}, called, text, h("button", {type: "button", "data-key": `${id}-add`, onclick: add}, "Add")), told.element);
}

function flowMap(text: string): Value {
  const value = flowValue(/^\s*\{/.test(text) ? text : `{${text}}`);
  if (value === null || typeof value !== "object" || Array.isArray(value) || !Object.keys(value).length) throw new Mistyped("Enter a path and its value, such as belt.ribs: 7.");
  return value;
}

/** Combinations that a package is not sold as. */
function exclusions(path: string[], list: Written | undefined, id: string, around: Around): HTMLElement {
  const told = new Told(), items = Array.isArray(list) ? list : [], indices = items.map((_, i) => String(i));
  const rows = items.map((item, i) => h("li", {}, h("div", {class: "named"}, h("span", {}, itemName(item, i)), tools(told, path, `${id}-${i}`, indices, i, itemName(item, i))), mapRows([...path, String(i)], isMap(item) ? item : {}, `${id}-${i}`, excluded(around))));
  const text = draft(`${id}-value`, "blower.diameter: [79, 73], reason: why not");
  const add = (): void => {
    const value = told.read(() => flowMap(text.value));
    if (value === undefined) return;
    told.edit([items.length ? {insert: path, before: "", value} : {insert: path.slice(0, -1), before: "", key: "excludes", value: [value]}], `added to ${joined(path)}`, () => dropDrafts(`${id}-value`));
  };
  return h("div", {class: "items"}, h("i", {}, "not sold with"), items.length ? h("ol", {class: "names"}, ...rows) : null, h("div", {class: "adding", role: "group", "aria-label": `Add to ${joined(path)}`}, text, h("button", {type: "button", "data-key": `${id}-add`, onclick: add}, "Add")), told.element);
}

/** A map by names or paths; null: this one is none. */
export function namesMap(form: FileKey, id: string, around: Around): HTMLElement | null {
  const map = isMap(form.value) ? form.value : undefined, path = [form.key], changes = (at: string[], value: Map_ | undefined, below: string): HTMLElement => mapRows(at, value, below, single(around));
  if (form.key === "options") return mapRows(path, map, id, several(around));
  if (form.key === "variants") return named(path, map, id, "variant", "belt.length: 2010", flowMap, (name, value, below) => [changes([...path, name], value, below)]);
  if (form.key === "packages") return named(path, map, id, "package", "belt.ribs: 7", (text): Value => { const changes = text.trim() === "" ? null : flowMap(text); return changes === null ? {} : {changes}; }, (name, value, below) => [
    changes([...path, name, "changes"], isMap(value.changes) ? value.changes : undefined, `${below}-c`), exclusions([...path, name, "excludes"], value.excludes, `${below}-x`, around)]);
  if (form.key === "steps") return named(path, map, id, "step", "what is said of it", (text) => { if (text.trim() === "") throw new Mistyped("Enter the words of the step."); return {say: text.trim()}; }, () => []);
  return null;
}
/** Keys of maps that are shown as such. */
export const nameMaps = new Set(["options", "variants", "packages", "steps"]);
