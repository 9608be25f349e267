// A chart made in this browser: its builds are shared out among workers, one for each processor, while the page stays free.
import type {Ask} from "./api";
import {joined} from "./chart-join";
import type {Said, Task} from "./chart-worker";
import {localDrive} from "./local";
import type {Chart, Problem} from "./types";

/** Each has some tens of MB; the rows of a kit are all listed by each. */
const WORKERS_MOST = 8;

let idle: Worker[] = [];
const count = (): number => Math.min(WORKERS_MOST, Math.max(1, navigator.hardwareConcurrency || 1));
/** One that gets ready. If it can not begin while nobody waits for it, it is not there for the next chart, which would wait for ever. */
function fresh(module: WebAssembly.Module): Worker {
  const worker = new Worker("/chart-worker.js");
  worker.onerror = (): void => { idle = idle.filter((one) => one !== worker); };
  worker.postMessage({module, snapshot: "", body: null} satisfies Task);
  return worker;
}

/** @return null: the server must be asked. @throw the reason of `signal` once it is aborted: what was on its way has ended */
export async function chartHere(body: Ask, progress: (done: number, of: number) => void, signal: AbortSignal): Promise<{status: number; body: Chart | Problem} | null> {
  const drive = await localDrive(body.file, body.text);
  signal.throwIfAborted();
  if (!drive || typeof Worker === "undefined") return null;
  const {module, snapshot} = drive, parts = count(), done = new Array<number>(parts).fill(0), of = new Array<number>(parts).fill(0);
  const workers = Array.from({length: parts}, () => idle.pop() ?? fresh(module));
  const one = (worker: Worker, part: number): Promise<Extract<Said, {answer: unknown}>["answer"]> => new Promise((answered) => {
    worker.onmessage = ({data}: MessageEvent<Said>): void => {
      if ("answer" in data) { answered(data.answer); return; }
      done[part] = data.done; of[part] = data.of;
      progress(done.reduce((a, b) => a + b), of.reduce((a, b) => a + b));
    };
    worker.onerror = (): void => answered(null); // a browser that lets none begin, or gives it no memory
    worker.postMessage({module, snapshot, body: {...body, part: [part, parts]}} satisfies Task);
  });
  // A worker that calculates hears nothing: it is ended, and others get ready for the next chart.
  const ended = new Promise<never>((_, no) => signal.addEventListener("abort", () => {
    for (const worker of workers) worker.terminate();
    idle = workers.map(() => fresh(module));
    no(signal.reason);
  }, {once: true}));
  const answers = await Promise.race([Promise.all(workers.map(one)), ended]);
  if (answers.includes(null)) { for (const worker of workers) worker.terminate(); return null; }
  idle.push(...workers);
  const all = answers as {status: number; body: Chart | Problem}[], refused = all.find((answer) => answer.status !== 200);
  if (refused) return refused;
  const chart = joined(all.map((answer) => answer.body as Chart));
  return chart && {status: 200, body: chart};
}
