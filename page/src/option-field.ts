// An option of a command as a field: its words to choose from, a tick, or one line.
import {h} from "./dom";

export interface Option { name: string; help: string; value: string | null; words: string[] | null }
export type Options = Record<string, string | true>;

export function optionField(option: Option, options: Options, of: string): HTMLElement {
  const {name, help, value, words} = option, now = options[name], id = `${of}-${name}`;
  const put = (to: string | boolean): void => { if (to === false || to === "") delete options[name]; else options[name] = to; };
  const usual = /default: ([\w-]+)\)/.exec(help)?.[1], known = words?.includes(usual ?? "") ?? false; // the word that stands where none is given
  const field = words ? h("select", {id, onchange: (event: Event) => put((event.target as HTMLSelectElement).value)}, known ? null : h("option", {value: ""}, "as usual"), ...words.map((word) => h("option", {value: word === usual ? "" : word, selected: word === (now ?? usual)}, word)))
    : value === null ? h("input", {id, type: "checkbox", checked: now === true, onchange: (event: Event) => put((event.target as HTMLInputElement).checked)})
    : h("input", {id, type: "text", value: now ?? "", placeholder: value, size: 14, autocomplete: "off", onchange: (event: Event) => put((event.target as HTMLInputElement).value.trim())});
  field.setAttribute("data-key", id);
  field.setAttribute("aria-describedby", `${id}-help`);
  return h("div", {class: "option"}, h("label", {for: id}, name.replaceAll("-", " ")), field, h("small", {id: `${id}-help`}, help));
}
