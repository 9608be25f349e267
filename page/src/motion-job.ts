// A question about motion: a process of the server's own, with progress, that can be stopped.
import type {Host, MotionAnswer} from "./motion-types";
import type {Job, Problem} from "./types";

const TRIES = 6, BUSY = 503;

export class Refusal extends Error {}

export class MotionJob {
  private id = 0;
  private asked = 0; // a newer question drops the older
  constructor(private readonly host: Host) {}
  /** @return null: another was asked meanwhile, or it was stopped by `stop`  @throws Refusal with what the program says */
  async ask<T>(motion: Record<string, unknown>, progress: (done: number, of: number) => void = () => undefined): Promise<MotionAnswer<T> | null> {
    const mine = ++this.asked, before = this.id;
    this.id = 0;
    if (before) void this.drop(before);
    const {body} = await this.begin(motion, mine);
    if (mine !== this.asked) { void this.drop(body.job); return null; }
    this.id = body.job;
    for (let wait = 30; ; wait = Math.min(300, wait * 1.5)) {
      await new Promise((done) => setTimeout(done, wait));
      if (mine !== this.asked) return null;
      const {body: job} = await this.host.call<Job<MotionAnswer<T>>>("GET", `/api/job?id=${body.job}`);
      if (mine !== this.asked) return null;
      if (job.state === "running") { progress(job.done, job.of); continue; }
      this.id = 0;
      if (job.state === "done") return job.result as MotionAnswer<T>;
      if (job.state === "stopped") return null;
      throw new Refusal(wordsOf(job.result as Problem));
    }
  }
  /** Where the server makes two things already, one of them may be what was just stopped. */
  private async begin(motion: Record<string, unknown>, mine: number): Promise<{body: {job: number}}> {
    for (let left = TRIES; ; left--) {
      try {
        return await this.host.call<{job: number}>("POST", "/api/motion", {...this.host.ask(), motion});
      } catch (error) {
        if (!left || (error as {problem?: Problem}).problem?.status !== BUSY || mine !== this.asked) throw error;
        await new Promise((done) => setTimeout(done, 250));
      }
    }
  }
  stop(): void {
    this.asked++;
    if (this.id) void this.drop(this.id);
    this.id = 0;
  }
  private drop(id: number): Promise<unknown> { return this.host.call("DELETE", `/api/job?id=${id}`).catch(() => undefined); }
}

/** What is wrong, with its place where there is one. */
function wordsOf(problem: Problem): string {
  const all = (problem.errors ?? []).map((one) => `${one.line ? `line ${one.line}: ` : ""}${one.key ? `${one.key}: ` : ""}${one.message}${one.need ? ` (need ${one.need})` : ""}`);
  return all.length ? `${problem.title}: ${all.join("; ")}${problem.more ? ` (+${problem.more})` : ""}` : `${problem.title}. ${problem.detail ?? ""}`;
}
