// Which tab this is, and which others live. A tab's own storage outlives a reload; a duplicated tab begins with a copy of
// it, so a name is not enough: it is claimed, and given up with the page.
const NAME = "snub:tab", CLAIM = "snub:tab:";
const BEAT_MS = 5000, DEAD_MS = 90_000; // browsers let the clock of a hidden tab run once a minute

let own = "";
export function tabId(): string { return own; }

const locks = (navigator as {locks?: LockManager}).locks; // in a secure context: loopback is one, another machine's page is not
const page = draw();
function draw(): string { return [...crypto.getRandomValues(new Uint8Array(8))].map((byte) => byte.toString(16).padStart(2, "0")).join(""); }
function stored(): string | null { try { return sessionStorage.getItem(NAME); } catch { return null; } }

function holdLock(id: string): Promise<boolean> {
  return new Promise((ok) => {
    void locks?.request(CLAIM + id, {ifAvailable: true}, (lock) => { ok(lock !== null); return lock ? new Promise(() => undefined) : undefined; }).catch(() => ok(true));
  });
}

/** A tab that is loaded anew may wait a moment for its page of before to go. */
async function claimByLock(id: string): Promise<boolean> {
  for (let i = 0; i < 10; i++) {
    if (await holdLock(id)) return true;
    await new Promise((ok) => setTimeout(ok, 50));
  }
  return false;
}

interface Beat { at: number; page: string }
function beatOf(id: string): Beat | null {
  try {
    const beat = JSON.parse(localStorage.getItem(CLAIM + id) ?? "null") as Beat | null;
    return beat && Date.now() - beat.at < DEAD_MS ? beat : null;
  } catch { return null; }
}

function claimByBeat(id: string): boolean {
  const beat = beatOf(id);
  if (beat && beat.page !== page) return false;
  const write = (): void => { try { localStorage.setItem(CLAIM + id, JSON.stringify({at: Date.now(), page} satisfies Beat)); } catch { /* forbidden: then no work is kept either */ } };
  write();
  setInterval(write, BEAT_MS);
  addEventListener("pageshow", write);
  addEventListener("pagehide", () => { try { localStorage.removeItem(CLAIM + id); } catch { /* as above */ } });
  return true;
}

/** Take the name of before, or a new one where another page has it. */
export async function claimTab(): Promise<void> {
  if (own) return;
  const before = stored(), id = before && /^[0-9a-f]{16}$/.test(before) ? before : draw();
  const claim = (name: string): boolean | Promise<boolean> => locks ? claimByLock(name) : claimByBeat(name);
  own = await claim(id) ? id : draw();
  if (own !== id) await claim(own);
  try { sessionStorage.setItem(NAME, own); } catch { /* forbidden: it holds until the next reload */ }
}

/** Does a page stand behind this name? */
export async function livingTabs(): Promise<(id: string) => boolean> {
  if (!locks) return (id) => id === own || beatOf(id) !== null;
  const held = new Set((await locks.query()).held?.map((lock) => lock.name) ?? []);
  return (id) => id === own || held.has(CLAIM + id);
}
