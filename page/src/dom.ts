// Small helpers to make elements; text never becomes markup.
type Child = Node | string | null | undefined | false;
type Props = Record<string, unknown>;

function fill(element: Element, props: Props, children: Child[]): void {
  for (const [key, value] of Object.entries(props)) {
    if (value === null || value === undefined || value === false) continue;
    if (key.startsWith("on") && typeof value === "function") element.addEventListener(key.slice(2), value as EventListener);
    else if (key === "value" && element instanceof HTMLInputElement) element.value = String(value);
    else element.setAttribute(key, value === true ? "" : String(value));
  }
  for (const child of children) if (child) element.append(child);
}

export function h<K extends keyof HTMLElementTagNameMap>(tag: K, props: Props = {}, ...children: Child[]): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  fill(element, props, children);
  return element;
}

export function s<K extends keyof SVGElementTagNameMap>(tag: K, props: Props = {}, ...children: Child[]): SVGElementTagNameMap[K] {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag) as SVGElementTagNameMap[K];
  fill(element, props, children);
  return element;
}

/** What an element is to be. */
export interface Sketch { tag: keyof SVGElementTagNameMap; props: Record<string, string | number>; text?: string }
const sketched = new WeakMap<Element, Sketch>();

/** Make these the children of an element: what stands there already is used again, and only what differs is set. For what is drawn in every
 *  frame: a new element costs its style, its layout and its words anew. */
export function redraw(parent: SVGElement, sketches: Sketch[]): void {
  let at = parent.firstElementChild;
  for (const next of sketches) {
    const was = at ? sketched.get(at) : undefined;
    if (at && was?.tag === next.tag) {
      for (const name in was.props) if (!(name in next.props)) at.removeAttribute(name);
      for (const name in next.props) if (next.props[name] !== was.props[name]) at.setAttribute(name, String(next.props[name]));
      if (next.text !== was.text) at.textContent = next.text ?? "";
      sketched.set(at, next);
      at = at.nextElementSibling;
    } else {
      const fresh = s(next.tag, next.props, next.text);
      sketched.set(fresh, next);
      parent.insertBefore(fresh, at);
    }
  }
  while (at) { const gone = at; at = at.nextElementSibling; gone.remove(); }
}

export function byId<T extends Element = HTMLElement>(id: string): T {
  const found = document.getElementById(id);
  if (!found) throw new Error(`no element #${id}`);
  return found as unknown as T;
}

let politely: number | undefined;
/** Say it to screen readers, after a pause so that a drag does not chatter. */
export function announce(text: string): void {
  clearTimeout(politely);
  politely = window.setTimeout(() => { byId("said").textContent = text; }, 400);
}

/** Set an attribute only when it changes: spares layout work while dragging. */
export function put(element: Element, name: string, value: string | number): void {
  const text = String(value);
  if (element.getAttribute(name) !== text) element.setAttribute(name, text);
}

/** Size of the type, where 1 is that of the page on a desk: what the page draws itself grows with it. */
export function em(): number { return parseFloat(getComputedStyle(document.documentElement).fontSize) / 13; }
const finger = matchMedia("(pointer: coarse)");
export function coarse(): boolean { return finger.matches; }

/** Replace a list of children while the focus stays on the element that carries the same data-key. */
export function renew(parent: Element, ...children: Child[]): void {
  const active = document.activeElement;
  const key = active && parent.contains(active) ? active.getAttribute("data-key") : null;
  parent.replaceChildren(...children.filter((child): child is Node | string => Boolean(child)));
  if (key) parent.querySelector<HTMLElement>(`[data-key="${CSS.escape(key)}"]`)?.focus({preventScroll: true});
}
