// The focus is never lost: where its element is taken away, hidden or made anew, it goes to the same one made anew, else to what encloses
// it, else to where it was before.
const KEPT = 8;
/** A panel that is drawn anew may have its own again with the next answer only. */
const AWAITED_MS = 1500;
let awaited: {key: string; at: Element; until: number} | null = null;
let trail: {element: Element; key: string | null; around: Element[]}[] = [];

function usable(element: Element): boolean { return element.isConnected && element.getClientRects().length > 0; }
function take(element: Element | null | undefined): boolean {
  if (!element || !usable(element)) return false;
  (element as HTMLElement | SVGElement).focus({preventScroll: true});
  return document.activeElement === element;
}
function again(): void {
  if (awaited && document.activeElement === awaited.at && performance.now() < awaited.until && take(document.querySelector(`[data-key="${CSS.escape(awaited.key)}"]`))) awaited = null;
  const last = trail.at(-1);
  if (!last || document.activeElement !== document.body || usable(last.element) && !last.element.matches(":disabled")) return;
  for (const {element, key, around} of [...trail].reverse()) {
    if (take(element) || (key !== null && take(document.querySelector(`[data-key="${CSS.escape(key)}"]`)))) return;
    if (!around.some(take)) continue;
    awaited = key === null ? null : {key, at: document.activeElement, until: performance.now() + AWAITED_MS};
    return;
  }
  take(document.getElementById("drawing"));
}

export function keepFocus(): void {
  document.addEventListener("focusin", ({target}) => {
    const element = target as Element, around: Element[] = [];
    for (let up = element.parentElement; up; up = up.parentElement) if (up.hasAttribute("tabindex")) around.push(up);
    trail = [...trail.filter((one) => one.element !== element), {element, key: element.getAttribute("data-key"), around}].slice(-KEPT);
  });
  // A hand that goes elsewhere gives the focus up by itself.
  document.addEventListener("pointerdown", ({target}) => { if (!(target as Element).closest("[tabindex], button, a, input, select, textarea, summary, label")) trail = []; });
  new MutationObserver(again).observe(document.body, {subtree: true, childList: true, attributes: true, attributeFilter: ["hidden", "disabled"]});
}
