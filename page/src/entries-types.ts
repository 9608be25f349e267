// What the server says of the drive file's keys (GET /api/keys, POST /api/entries).
import type {FileError} from "./types";

/** A value as the file writes it: scalars are their texts. */
export type Written = string | Written[] | {[key: string]: Written};
export interface Bounds { unit?: string; us_unit?: string; least?: number | null; most?: number | null }
/** One form of a key; docs/guide/page.md. */
export interface FileKey extends Bounds {
  key: string; path: string; needed: boolean;
  means?: string; // one line, in the language of the answer; GET /api/keys only
  kind: "number" | "number or range" | "whole number" | "point" | "numbers" | "table" | "word" | "true or false" | "text" | "list" | "map";
  unit_needed?: boolean; closed?: boolean; second?: Bounds; count?: [number, number]; words?: string[];
  default?: string; source?: string; usual?: [string, string]; measure?: string;
  value?: Written; line?: number; part?: string;
  leaf?: boolean; // a list of plain values or of rows of them, or a map of names of its own: no entries below it
}
/** GET /api/keys. */
export interface Known { keys: FileKey[]; language: string }
export interface Entries { entries: FileKey[]; errors: FileError[]; more: number }
