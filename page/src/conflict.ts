// Values that this page and another program changed differently: both are shown, and one is taken for each.
import {h} from "./dom";
import type {Conflict, Pick} from "./types";

const NONE = "not in the file";

function value(text: string | null): HTMLElement {
  if (text === null) return h("i", {}, NONE);
  return text.includes("\n") ? h("textarea", {readonly: true, rows: 12, cols: 40, wrap: "off", "aria-label": "Text"}, text) : h("code", {}, text);
}

/** A table with buttons; `done` is told the picks once there is one for each. */
export function conflictTable(conflicts: Conflict[], done: (picks: Pick[] | null) => void): HTMLElement {
  const picks = new Map<string, Pick>();
  const rows = conflicts.map((one) => {
    const name = one.path || "the whole file", both: HTMLElement[] = [];
    const take = (side: Pick["take"], title: string): HTMLElement => {
      const button = h("button", {type: "button", "aria-pressed": "false", "aria-label": `${title} of ${name}`, onclick: () => {
        picks.set(one.path, {path: one.path, take: side, theirs: one.theirs});
        for (const other of both) other.setAttribute("aria-pressed", String(other === button));
        done(picks.size === conflicts.length ? [...picks.values()] : null);
      }}, title);
      both.push(button);
      return button;
    };
    return h("tr", {}, h("th", {scope: "row"}, name), h("td", {}, one.path ? value(one.base) : "–"),
      h("td", {}, value(one.mine), " ", take("mine", "Take mine")), h("td", {}, value(one.theirs), " ", take("theirs", "Take theirs")));
  });
  return h("table", {class: "conflicts"}, h("thead", {}, h("tr", {}, ...["Key", "Before", "Mine", "On disk"].map((name) => h("th", {scope: "col"}, name)))), h("tbody", {}, ...rows));
}
