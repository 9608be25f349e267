// The program's own C in the browser (app/wasm): it answers what the server would, in the frame in which it is asked.
// Where it cannot be had, or a question needs more than its snapshot of the file has, the server answers.
import {lent} from "./lent";

interface Exports extends WebAssembly.Exports {
  memory: WebAssembly.Memory; _initialize(): void;
  core_room(length: number): number; core_open(length: number): number; core_ask(what: number, length: number): number;
  core_answer(): number; core_answer_length(): number;
}
export type Question = "/api/lay" | "/api/sweep" | "/api/chart";
const numbers: Record<Question, number> = {"/api/lay": 0, "/api/sweep": 1, "/api/chart": 2};

export class Core {
  private of: {file: string; text: string} | null = null;
  private dead = false;
  private constructor(readonly module: WebAssembly.Module, private readonly c: Exports) {}

  /** null: this browser has no WebAssembly, or the program came without the core. */
  static async load(path = "/core.wasm"): Promise<Core | null> {
    try {
      const response = await fetch(path, {credentials: "omit"});
      return response.ok ? await Core.of(await WebAssembly.compile(await response.arrayBuffer())) : null;
    } catch { return null; }
  }
  /** `progress`: builds of a chart that there are by now, of how many. */
  static async of(module: WebAssembly.Module, progress: (done: number, of: number) => void = () => undefined): Promise<Core> {
    const own = lent(() => exports.memory), instance = await WebAssembly.instantiate(module, {math: own.math, page: {...own.page, progress}});
    const exports: Exports = instance.exports as Exports;
    exports._initialize();
    return new Core(module, exports);
  }
  private give(bytes: Uint8Array): number {
    const at = this.c.core_room(bytes.length);
    if (!at) throw new RangeError("out of memory");
    new Uint8Array(this.c.memory.buffer, at, bytes.length).set(bytes);
    return bytes.length;
  }
  /** Take a snapshot of a file, in base64. */
  open(file: string, text: string, snapshot: string): void {
    this.of = null;
    if (this.dead) return;
    const bytes = Uint8Array.from(atob(snapshot), (c) => c.charCodeAt(0));
    if (this.c.core_open(this.give(bytes)) === 0) this.of = {file, text};
  }
  /** Has it a snapshot of this very text? */
  has(file: string, text: string): boolean { return this.of !== null && this.of.file === file && this.of.text === text; }
  /** null: the server must be asked. */
  ask(what: Question, body: {file: string; text: string}): {status: number; body: unknown} | null {
    if (!this.has(body.file, body.text)) return null;
    try {
      const {text: _text, ...rest} = body;
      const status = this.c.core_ask(numbers[what], this.give(new TextEncoder().encode(JSON.stringify(rest))));
      if (!status) return null;
      const bytes = new Uint8Array(this.c.memory.buffer, this.c.core_answer(), this.c.core_answer_length());
      return {status, body: JSON.parse(new TextDecoder().decode(bytes)) as unknown};
    } catch { // a trap: its memory is no longer to be trusted
      this.dead = true;
      this.of = null;
      return null;
    }
  }
}
