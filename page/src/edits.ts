// Edits of the file's own text by the server: items and keys taken out, put in, moved, set, renamed. Comments and layout stay.
import {call, failureOf, Refused, type Ask} from "./api";
import {announce} from "./dom";
import {store} from "./store";
import type {Change, Value} from "./types";
import {changesInFile} from "./units";

/** As a change has it, or from the top of the file word by word, for keys that have dots in them. */
export type Path = string | string[];
/** `key` where one is put into a map, and of a renamed one; without `before` at the end. */
export type Edit = {remove: Path} | {move: Path; before: string} | {insert: Path; before: string; key?: string; value: Value} | {set: Path; value: Value} | {rename: Path; key: string};

let ask: () => Ask = () => ({file: "", text: "", changes: []});
export function bindEdits(asks: () => Ask): void { ask = asks; }
export function asked(): Ask { return ask(); }

/** Edits go into the text at once, with what was changed before; the server refuses those that leave the file wrong.
 *  @return what is wrong; null: nothing */
export async function editFile(edits: Edit[], changes: Change[], what: string): Promise<string | null> {
  const now = store.now;
  try {
    const {body} = await call<{text: string}>("POST", "/api/apply", {...ask(), changes: [...now.changes, ...changesInFile(changes)], edits});
    if (store.now !== now) return "Something else was changed meanwhile. Try again.";
    store.commit({text: body.text, changes: []}, what);
    announce(what);
    return null;
  } catch (error) {
    if (!(error instanceof Refused)) return failureOf(error);
    const {errors, detail, more} = error.problem, first = errors[0];
    if (!first) return detail;
    const rest = errors.length - 1 + more, need = first.need ? ` (need ${first.need})` : "";
    return `${first.key ? `${first.key}: ` : ""}${first.message}${need}${rest ? `, and ${rest} more` : ""}.`;
  }
}
