// What a save will change, before it is saved; and, in the same table, what another program changed differently.
import {h} from "./dom";
import {fewPaths, pathWords} from "./paths";
import type {Conflict, Difference, Pick} from "./types";

export interface Review { differences: Difference[]; taken: string[] }

const SHOWN_MOST = 200;

export function withEnding(name: string): string { const plain = name.trim(); return /\.ya?ml$/.test(plain) || plain === "" ? plain : `${plain}.yaml`; }

function value(text: string | null): HTMLElement {
  if (text === null) return h("i", {}, "not in the file");
  return text.includes("\n") ? h("textarea", {readonly: true, rows: Math.min(12, text.split("\n").length + 1), cols: 34, wrap: "off", "aria-label": "Text"}, text) : h("code", {}, text);
}
function plainRow(one: Difference): HTMLElement {
  const bare = one.file === null && one.new === null;
  return h("tr", {}, h("th", {scope: "row"}, pathWords(one.path) || (bare ? "layout" : "comments, lines")), h("td", {}, bare ? "" : value(one.file)), h("td", {}, bare ? "the order or spacing of lines" : value(one.new)));
}

/** @param done  is told the picks once there is one for each conflict */
function table(differences: Difference[], conflicts: Conflict[], done: (picks: Pick[] | null) => void): HTMLElement {
  const picks = new Map<string, Pick>();
  const choice = (one: Conflict): HTMLElement => {
    const name = pathWords(one.path) || "the whole file", both: HTMLElement[] = [];
    const take = (side: Pick["take"], title: string): HTMLElement => {
      const button = h("button", {type: "button", "aria-pressed": "false", "aria-label": `${title} of ${name}`, onclick: () => {
        picks.set(one.path, {path: one.path, take: side, theirs: one.theirs});
        for (const other of both) other.setAttribute("aria-pressed", String(other === button));
        done(picks.size === conflicts.length ? [...picks.values()] : null);
      }}, title);
      both.push(button);
      return button;
    };
    return h("tr", {class: "clash"}, h("th", {scope: "row"}, name, one.path ? h("small", {}, "was ", value(one.base)) : null),
      h("td", {}, value(one.theirs), " ", take("theirs", "Take theirs")), h("td", {}, value(one.mine), " ", take("mine", "Take mine")));
  };
  const plain = differences.filter((one) => !conflicts.some((c) => c.path === one.path || (c.path !== "" && one.path.startsWith(`${c.path}.`)))), more = plain.length - SHOWN_MOST;
  const rows = [...conflicts.map(choice), ...plain.slice(0, SHOWN_MOST).map(plainRow), ...(more > 0 ? [h("tr", {}, h("td", {colspan: 3}, `and ${more} more`))] : [])];
  return h("div", {class: "scroll", tabindex: 0, role: "region", "aria-label": "What changes"}, h("table", {class: "review"}, h("thead", {}, h("tr", {}, ...["Key", "In the file", "New value"].map((name) => h("th", {scope: "col"}, name)))), h("tbody", {}, ...rows)));
}

interface Ways {
  dialog: (title: string, ...body: HTMLElement[]) => HTMLDialogElement;
  save: (create: boolean, name: string, picks: Pick[]) => void;
  reread: () => void;
}
/** What is known before the dialog opens. `trouble`: why the file cannot be written as it is. */
export interface Asked { file: string; review: Review | null; conflicts: Conflict[]; trouble: string | null; as: boolean }

/** The one dialog of all saves: what changes, Save, Save as, Cancel. */
export function saveDialog({file, review, conflicts, trouble, as}: Asked, ways: Ways): void {
  let picks: Pick[] | null = conflicts.length ? null : [];
  const act = (work: () => void) => () => { box.close(); work(); };
  const go = h("button", {type: "button", class: "main", id: "dialog-save", disabled: picks === null, autofocus: !as, onclick: act(() => ways.save(false, file, picks ?? []))}, conflicts.length ? "Save with these" : "Save");
  const name = h("input", {value: file.replace(/\.ya?ml$/, "-2.yaml"), "aria-label": "Other name", size: 26, autofocus: as, spellcheck: "false", autocomplete: "off"});
  const saveAs = act(() => ways.save(true, withEnding(name.value), []));
  name.addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); saveAs(); } });
  const empty = review?.differences.length === 0 && !conflicts.length, taken = (review?.taken ?? []).filter((path) => path !== "");
  const body: (HTMLElement | null)[] = [
    trouble !== null ? h("p", {}, `${trouble}. Nothing was written.`) : conflicts.length ? h("p", {}, "Another program or tab has changed the same values. Nothing was written. Take one of the two for each key.") : null,
    empty ? h("p", {}, "No value in the file changes.") : review || conflicts.length ? table(review?.differences ?? [], conflicts, (all) => { picks = all; go.toggleAttribute("disabled", all === null); }) : null,
    taken.length ? h("p", {class: "hint"}, `Kept from another program or tab: ${fewPaths(taken)}.`) : null,
    h("div", {class: "choices"}, h("p", {}, trouble === null && review ? go : null, " ", h("button", {type: "button", onclick: act(() => undefined)}, "Cancel")),
      h("p", {}, h("button", {type: "button", onclick: saveAs}, "Save as"), " ", name, h("small", {}, " a new file; this one stays as it is")),
      trouble !== null || conflicts.length ? h("p", {}, h("button", {type: "button", onclick: act(ways.reread)}, "Read the file on disk"), " The changes made here are lost.") : null)];
  const from = document.activeElement, key = from?.getAttribute("data-key");
  const box = ways.dialog(conflicts.length ? "Changed here and on disk" : trouble !== null ? "The file has changed on disk" : as ? "Save as" : "Save these changes?", ...body.filter((one): one is HTMLElement => one !== null));
  if (as) name.select();
  // The browser puts the focus back, but where the panel was drawn anew the element is another.
  box.addEventListener("close", () => setTimeout(() => { if (document.activeElement === document.body && key) document.querySelector<HTMLElement>(`[data-key="${CSS.escape(key)}"]`)?.focus(); }), {once: true});
}

/** *Save first* goes once nothing is left to save: the focus moves on before that. */
export function leaveSave(): void {
  if (document.activeElement?.getAttribute("data-key") === "paper-save") document.querySelector<HTMLElement>('[role="tab"][aria-selected="true"]')?.focus();
}
