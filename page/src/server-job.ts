// Work that takes long: a process of the server's own, with progress, that can be stopped.
import type {Answer} from "./api";
import type {Job, Problem} from "./types";

const TRIES = 20, BUSY = 503;

export class Refusal extends Error {}

export class ServerJob {
  private id = 0;
  private asked = 0; // a newer question drops the older
  /** @param path  of the server, that begins it */
  constructor(private readonly path: string, private readonly call: <T>(method: string, path: string, body?: unknown) => Promise<Answer<T>>) {}
  /** @return null: another was asked meanwhile, or it was stopped by `stop`  @throws Refusal with what the program says */
  async ask<T>(body: unknown, progress: (job: Job<T>) => void = () => undefined): Promise<T | null> {
    const mine = ++this.asked, before = this.id;
    this.id = 0;
    if (before) void this.drop(before);
    const {body: {job: id}} = await this.begin(body, mine);
    if (mine !== this.asked) { void this.drop(id); return null; }
    this.id = id;
    for (let wait = 30; ; wait = Math.min(300, wait * 1.5)) {
      await new Promise((done) => setTimeout(done, wait));
      if (mine !== this.asked) return null;
      const {body: job} = await this.call<Job<T>>("GET", `/api/job?id=${id}`);
      if (mine !== this.asked) return null;
      if (job.state === "running") { progress(job); continue; }
      this.id = 0;
      if (job.state === "done") return job.result as T;
      if (job.state === "stopped") return null;
      throw new Refusal(wordsOf(job.result as Problem));
    }
  }
  /** Where the server makes two things already, one of them may be what was just stopped. */
  private async begin(body: unknown, mine: number): Promise<{body: {job: number}}> {
    for (let left = TRIES; ; left--) {
      try {
        return await this.call<{job: number}>("POST", this.path, body);
      } catch (error) {
        if (!left || (error as {problem?: Problem}).problem?.status !== BUSY || mine !== this.asked) throw error;
        await new Promise((done) => setTimeout(done, 250));
      }
    }
  }
  /** It answers with what it has, if it is of a kind that can; asked once more it is stopped. */
  finish(): void { if (this.id) void this.drop(this.id); }
  stop(): void {
    this.asked++;
    this.finish();
    this.id = 0;
  }
  private drop(id: number): Promise<unknown> { return this.call("DELETE", `/api/job?id=${id}`).catch(() => undefined); }
}

/** What is wrong, with its place where there is one. */
function wordsOf(problem: Problem): string {
  const all = (problem.errors ?? []).map((one) => `${one.line ? `line ${one.line}: ` : ""}${one.key ? `${one.key}: ` : ""}${one.message}${one.need ? ` (need ${one.need})` : ""}`);
  return all.length ? `${problem.title}: ${all.join("; ")}${problem.more ? ` (+${problem.more})` : ""}` : `${problem.title}. ${problem.detail ?? ""}`;
}
