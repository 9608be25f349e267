// The key of the server, as this tab has it. It comes in the fragment of the address, which no browser sends anywhere, and
// stays in the tab's own storage: a reload keeps it, other tabs and other ports do not see it, and it goes with the tab.
const PLACE = "snub:key";

function stored(): string | null { try { return sessionStorage.getItem(PLACE); } catch { return null; } }
let key = stored();
export function theKey(): string | null { return key; }
/** null: it is worth nothing any more. */
export function keepKey(next: string | null): void {
  key = next;
  try { if (next === null) sessionStorage.removeItem(PLACE); else sessionStorage.setItem(PLACE, next); } catch { /* forbidden: it holds until the next reload */ }
}

/** "#key=KEY", "#key=KEY&kit.yaml" or "#kit.yaml". A name of a file has no bare "=" there. */
export function readFragment(hash: string): {key: string | null; file: string} {
  const found = /^#key=([\w-]+)(?:&(.*))?$/.exec(hash);
  let file = found ? found[2] ?? "" : hash.slice(1);
  try { file = decodeURIComponent(file); } catch { file = ""; }
  return {key: found ? found[1] : null, file};
}

/** The key in what was pasted: the whole address, or the key alone. A sentence where there is none. */
export function readPasted(text: string, port: string): {key: string} | {wrong: string} {
  const bare = text.trim();
  if (/^[\w-]{20,}$/.test(bare)) return {key: bare};
  let url: URL | null = null;
  try { url = new URL(bare); } catch { /* no address */ }
  const found = url ? readFragment(url.hash).key : null;
  if (!url || found === null) return {wrong: "There is no key in this. The address ends with #key= and 32 characters."};
  if (url.port !== port) return {wrong: `This is the address of another server, ${url.host}. Open it in the address bar of the browser.`};
  return {key: found};
}
