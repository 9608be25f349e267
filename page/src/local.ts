// Keeps the core in this page at the file that is on the bench: its snapshot comes from the server, anew with each text.
import {call, useCharts, useCore} from "./api";
import {Core} from "./core";

interface Snapshot { snapshot: string; asked: number }

let core: Core | null = null;
let charts: Core | null = null; // the same with charts and curves: sent when one of them is first opened
let starting: Promise<void> | null = null, chartsComing: Promise<Core | null> | null = null;
let held: {file: string; text: string; snapshot: string} | null = null; // what the core has
let wanted: {file: string; text: string} | null = null;
let fetching: Promise<void> | null = null;
let sources = 0; // parts, stock lists and maps that the file has from elsewhere: they may change under it

export function startCore(): Promise<void> { return starting ??= start(); }
async function start(): Promise<void> {
  core = await Core.load();
  useCore(core, () => void chartsCore());
  document.body.dataset.core = core ? "here" : "none"; // a test, and a person who looks, can tell who answers
  void fetchNext();
}
/** The core that has charts and curves, with the file that the other one has. null: there is none, or it could not be had this time. */
export function chartsCore(): Promise<Core | null> { return chartsComing ??= startCharts(); }
async function startCharts(): Promise<Core | null> {
  await starting;
  const next = core && await Core.load("/charts.wasm");
  if (next && held) next.open(held.file, held.text, held.snapshot);
  charts = next;
  useCharts(charts);
  if (!charts) chartsComing = null;
  return charts;
}
/** Does the core answer for this text? */
export function answersHere(file: string, text: string): boolean { return core?.has(file, text) ?? false; }
/** What another core needs to answer for this text, with the catalogue and the maps as they are now; null: there is none. */
export async function localDrive(file: string, text: string): Promise<{module: WebAssembly.Module; snapshot: string} | null> {
  if (sources > 0 && answersHere(file, text)) { wanted = {file, text}; await fetchNext(); }
  const with_ = await chartsCore();
  return with_ && held?.file === file && held.text === text && answersHere(file, text) ? {module: with_.module, snapshot: held.snapshot} : null;
}

function fetchNext(): Promise<void> { return core && wanted ? fetching ??= fetchAll(core) : Promise.resolve(); }
async function fetchAll(to: Core): Promise<void> {
  while (wanted) {
    const {file, text} = wanted;
    wanted = null;
    try {
      const {body} = await call<Snapshot>("POST", "/api/snapshot", {file, text, changes: []});
      sources = body.asked;
      to.open(file, text, body.snapshot);
      charts?.open(file, text, body.snapshot);
      held = {file, text, snapshot: body.snapshot};
    } catch { /* no server, or no YAML: who is asked next says what is wrong; a snapshot that was there answers for its own text */ }
  }
  fetching = null;
}
/** The bench has this text now. */
export function followText(file: string, text: string): void {
  if (answersHere(file, text) || (wanted?.file === file && wanted.text === text)) return;
  wanted = {file, text};
  void fetchNext();
}
/** The server was asked as well: a catalogue or a map may be another than when the snapshot was made. */
export function renewSnapshot(file: string, text: string): void {
  if (sources === 0) return;
  wanted = {file, text};
  void fetchNext();
}
