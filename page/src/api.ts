// Talking to the server, and noticing when it is gone.
import type {Core, Question} from "./core";
import {keepKey, theKey} from "./key";
import type {Caution, Change, DriveFile, Problem} from "./types";

export class ServerLost extends Error {}
export class KeyWrong extends Error {}
export class Refused extends Error {
  constructor(readonly problem: Problem) { super(problem.detail || problem.title); }
}

/** Why a question has no answer, in words. What is no matter of the server is thrown on. */
export function failureOf(error: unknown): string {
  if (error instanceof Refused) return error.problem.detail;
  if (error instanceof ServerLost || error instanceof KeyWrong) return error.message;
  throw error;
}

type Listener = (state: "there" | "lost" | "key") => void;
let listener: Listener = () => undefined;
let state: "there" | "lost" | "key" = "there";
const noKey = "The key of the server is missing or wrong. Enter it at the top of the page.";
export function onServer(next: Listener): void { listener = next; }
export function serverState(): string { return state; }

function become(next: typeof state): void {
  if (next === state) return;
  state = next;
  listener(state);
}

export interface Answer<T> { status: number; etag: string; body: T }

let core: Core | null = null, charts: Core | null = null, wantMore = (): void => undefined;
let lacking = false; // the small core had no answer: from then on the one with charts is asked
/** `more`: called where it has no answer. */
export function useCore(next: Core | null, more: () => void): void { core = next; wantMore = more; }
/** The one for charts and curves. */
export function useCharts(next: Core | null): void { charts = next; }

/** The answer of the core in this page, else of the server: a question about a file that the core has a snapshot of needs
 *  no server. */
export async function ask<T>(path: Question, body: Ask, signal?: AbortSignal): Promise<Answer<T>> {
  const own = (path === "/api/lay" && !(lacking && charts) ? core : charts)?.ask(path, body) ?? null;
  if (own === null && core?.has(body.file, body.text)) { lacking = true; wantMore(); }
  if (own === null) return call<T>("POST", path, body, {}, signal);
  if (own.status !== 200) throw new Refused(own.body as Problem);
  return {status: own.status, etag: "", body: own.body as T};
}

export async function call<T>(method: string, path: string, body?: unknown, headers: Record<string, string> = {}, signal?: AbortSignal): Promise<Answer<T>> {
  let response: Response;
  const used = theKey();
  if (used === null) { become("key"); throw new KeyWrong(noKey); }
  const init: RequestInit = {method, headers: {...headers, Authorization: `Bearer ${used}`}, cache: "no-store", credentials: "omit", signal};
  if (body !== undefined) {
    init.body = JSON.stringify(body);
    (init.headers as Record<string, string>)["Content-Type"] = "application/json";
  }
  try {
    response = await fetch(path, init);
    if (response.status === 304) { become("there"); return {status: 304, etag: "", body: null as T}; }
    const answer = await response.json();
    if (response.ok) { become("there"); return {status: response.status, etag: response.headers.get("ETag") ?? "", body: answer as T}; }
    const problem = answer as Problem;
    if (response.status === 401) {
      if (used === theKey()) { keepKey(null); become("key"); } // else another was entered meanwhile
      throw new KeyWrong(noKey);
    }
    become("there");
    throw new Refused(problem);
  } catch (error) {
    if (error instanceof Refused || error instanceof KeyWrong) throw error;
    if (signal?.aborted) throw error;
    become("lost");
    throw new ServerLost("snub’s server does not answer.");
  }
}

export function readDrive(file: string, etag?: string): Promise<Answer<DriveFile>> {
  return call<DriveFile>("GET", `/api/drive?file=${encodeURIComponent(file)}`, undefined, etag ? {"If-None-Match": etag} : {});
}
export function readFolder(): Promise<Answer<{files: string[]; first: string | null; language: string; cautions: Caution[]}>> { return call("GET", "/api/folder"); }

export interface Ask { file: string; text: string; changes: Change[]; units?: "us" | "metric" }

/** One question in flight; of those asked meanwhile only the latest goes out next. */
export class Latest<Q, A> {
  private waiting: Q | null = null;
  private busy = false;
  constructor(private readonly ask: (question: Q) => Promise<A>, private readonly done: (answer: A, question: Q) => void,
              private readonly failed: (error: unknown, question: Q) => void) {}
  /** A newer question waits to go out. */
  get more(): boolean { return this.waiting !== null; }
  put(question: Q): void {
    this.waiting = question;
    if (!this.busy) void this.run();
  }
  private async run(): Promise<void> {
    this.busy = true;
    while (this.waiting !== null) {
      const question = this.waiting;
      this.waiting = null;
      try { this.done(await this.ask(question), question); } catch (error) { this.failed(error, question); }
    }
    this.busy = false;
  }
}
