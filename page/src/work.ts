// Unsaved work in the browser's storage: each tab keeps its own, so that tabs of one file do not write over each other's.
import {livingTabs, tabId} from "./tab";
import type {Base, Change} from "./types";

export interface Kept { text: string; changes: Change[]; base: Base; at: number }
const PLACE = "snub:work:";
const keyOf = (file: string): string => `${PLACE}${tabId()}:${file}`;

function read(key: string): Kept | null {
  try {
    const kept = JSON.parse(localStorage.getItem(key) ?? "null") as Partial<Kept> | null;
    if (!kept || typeof kept.text !== "string" || !Array.isArray(kept.changes)) return null;
    const base = kept.base && typeof kept.base.text === "string" ? kept.base : {text: kept.text, etag: ""};
    return {text: kept.text, changes: kept.changes, base, at: Number(kept.at) || 0};
  } catch { return null; }
}

/** null: there is nothing that is not saved. */
export function keepWork(file: string, work: Kept | null): void {
  try {
    if (work) localStorage.setItem(keyOf(file), JSON.stringify(work)); else localStorage.removeItem(keyOf(file));
  } catch { /* storage full or forbidden: the work stays in memory */ }
}
export function ownWork(file: string): Kept | null { return read(keyOf(file)); }
export function dropWork(key: string): void { try { localStorage.removeItem(key); } catch { /* as above */ } }

/** Work on a file that a tab has left which is no longer there. */
export async function leftWork(file: string): Promise<{key: string; kept: Kept}[]> {
  const living = await livingTabs(), found: {key: string; kept: Kept}[] = [];
  try {
    for (const key of Object.keys(localStorage)) {
      const [, id, name] = /^snub:work:([0-9a-f]{16}):(.*)$/s.exec(key) ?? ["", "", ""];
      const kept = id && name === file && !living(id) ? read(key) : null;
      if (kept) found.push({key, kept});
    }
  } catch { /* forbidden */ }
  return found.sort((a, b) => b.kept.at - a.kept.at);
}
