// One of the workers that make a chart's builds: the core once more, beside the page's own.
import type {Ask} from "./api";
import {Core} from "./core";

/** A body with its part; null: only get ready. */
export interface Task { module: WebAssembly.Module; snapshot: string; body: (Ask & {part: [number, number]}) | null }
/** The core's answer, null where the server must be asked; or how many builds there are by now. */
export type Said = {answer: {status: number; body: unknown} | null} | {done: number; of: number};

let core: Promise<Core> | null = null, open = "";
const say = (said: Said): void => { postMessage(said); };

async function work({module, snapshot, body}: Task): Promise<void> {
  core ??= Core.of(module, (done, of) => say({done, of}));
  const own = await core;
  if (!body) return;
  if (open !== snapshot || !own.has(body.file, body.text)) own.open(body.file, body.text, snapshot);
  open = snapshot;
  say({answer: own.ask("/api/chart", body)});
}
addEventListener("message", ({data}: MessageEvent<Task>) => { work(data).catch(() => say({answer: null})); });
