// Where the words of the drawing stand: at their thing, and on nothing else. A label keeps its place at its thing for as long as it may, so
// that nothing flickers under a hand. Where it must stand off, a leader leads to its thing. What finds no place is left out, the least first.
import {put, s} from "./dom";
import {fromSegment} from "./geometry";
import type {Vec} from "./types";

/** Left, top, right, bottom in px. */
export type Box = [number, number, number, number];
type Stroke = [Vec, Vec];
/** `r`: radius of a round thing, px; 0 for a spot. `inside`: the words may stand in it, and later lines may be left out. The higher `rank` stands first. */
export interface Label { key: string; at: Vec; r: number; inside: boolean; rank: number; lines: {text: string; class: string}[] }
/** What words may not lie on (boxes, strokes), and what they had better not (lines, discs). */
export interface Taken { view: Box; boxes: Box[]; strokes: Stroke[]; lines: Stroke[]; discs: {at: Vec; r: number}[] }

interface Size { w: number; h: number; base: number[] }
/** Place `c` of a label: 0 and 1 inside, then rings around it. */
interface Spot { c: number; box: Box; side: number; leader: Stroke | null; cost: number }
interface Placed { label: Label; spot: Spot; size: Size }

const WAYS = 12, GAPS = [7, 20, 40, 66, 100, 140], FAR = [0, 14, 30, 50, 75, 105];
/** Beside comes before below and above, and those before what is aslant. */
const WAY_COST = [0, 8, 10, 5, 10, 8, 3, 8, 10, 6, 10, 8];
/** A name on another pulley misleads: nearly anything is better. What the last line of words is worth; the one before it more. */
const ON_LINE = 16, ON_DISC = 70, LINE = 40;
/** To take the place of a label of less rank that stood before: dearer than any free place beside it, cheaper than to leave a rule out. */
const OUSTING = 150;
/** At rest a label moves only for a place that is better by this: else each small step would make it jump. */
const WORTH_MOVING = 30;
/** A new place needs a little more room than one that is kept, so that a label at the limit does not blink. */
const ROOM = 2;

export class Labels {
  readonly node = s("g", {class: "labels"});
  private readonly leaders = s("path", {class: "leader"});
  private readonly texts = new Map<string, SVGTextElement[]>();
  private held = new Map<string, {c: number; lines: number}>();
  private readonly fonts = new Map<string, {font: string; up: number; down: number}>();
  private readonly widths = new Map<string, number>();
  private readonly pen = document.createElement("canvas").getContext("2d") as CanvasRenderingContext2D;
  private em = 1; // of the type, where 1 is 13 px

  constructor() { this.node.append(this.leaders); }

  /** The type may have another size now. */
  measure(em: number): void { this.em = em; this.fonts.clear(); this.widths.clear(); }
  /** Other parts: nothing stands anywhere yet. */
  forget(): void { this.held.clear(); }

  draw(labels: Label[], taken: Taken, moving: boolean): void {
    const placed = this.place(labels, taken, moving), seen = new Set<string>();
    this.held = new Map(placed.map(({label, spot}) => [label.key, {c: spot.c, lines: label.lines.length}]));
    put(this.leaders, "d", placed.map(({spot}) => (spot.leader ? `M${spot.leader[0].join(" ")}L${spot.leader[1].join(" ")}` : "")).join(""));
    for (const one of placed) { seen.add(one.label.key); this.write(one); }
    for (const [key, texts] of this.texts) if (!seen.has(key)) { texts.forEach((text) => text.remove()); this.texts.delete(key); }
  }
  private write({label, spot, size}: Placed): void {
    let texts = this.texts.get(label.key);
    if (texts?.length !== label.lines.length) {
      texts?.forEach((text) => text.remove());
      texts = label.lines.map(() => s("text", {"data-label": label.key}));
      this.texts.set(label.key, texts);
      this.node.append(...texts);
    }
    const x = spot.side > 0 ? spot.box[0] : spot.side < 0 ? spot.box[2] : (spot.box[0] + spot.box[2]) / 2;
    texts.forEach((text, i) => {
      put(text, "class", label.lines[i].class);
      put(text, "transform", `translate(${x.toFixed(1)} ${(spot.box[1] + size.base[i]).toFixed(1)})`); // x and y would lay the words out anew
      put(text, "text-anchor", spot.side > 0 ? "start" : spot.side < 0 ? "end" : "middle");
      if (text.textContent !== label.lines[i].text) text.textContent = label.lines[i].text;
    });
  }

  // ---- places ---------------------------------------------------------------------------------------------------------

  private place(labels: Label[], taken: Taken, moving: boolean): Placed[] {
    const order = [...labels].sort((a, b) => b.rank - a.rank).filter((one) => one.lines.length && near(one, taken.view));
    const final: Placed[] = [], kept = new Map<string, Placed>();
    for (const label of order) {
      const was = this.held.get(label.key);
      if (!was) continue;
      const own = fewer(label, was.lines), size = this.sizeOf(own), spot = this.spotAt(own, size, was.c, taken);
      if (!spot || !free(spot, taken, 0) || [...kept.values()].some((one) => clash(one.spot, spot, 0))) continue;
      spot.cost += LINE * (label.lines.length - own.lines.length) ** 3;
      kept.set(label.key, {label: own, spot, size});
    }
    for (const label of order) {
      const own = kept.get(label.key);
      kept.delete(label.key);
      const others = [...kept.values()];
      let best = own ?? null;
      if (!own || !moving) {
        const found = this.best(label, taken, final, others);
        if (found && (!own || found.spot.cost < own.spot.cost - WORTH_MOVING)) best = found;
      }
      if (!best) continue;
      final.push(best);
      for (const other of others) if (clash(other.spot, best.spot, 0)) kept.delete(other.label.key); // of less rank: it looks for another place
    }
    return final;
  }
  private best(all: Label, taken: Taken, final: Placed[], kept: Placed[]): Placed | null {
    let best: Placed | null = null;
    for (let n = all.lines.length; n >= (all.inside ? 1 : all.lines.length); n--) {
      const one = this.bestOf(fewer(all, n), taken, final, kept);
      if (one) one.spot.cost += LINE * (all.lines.length - n) ** 3;
      if (one && (!best || one.spot.cost < best.spot.cost)) best = one;
    }
    return best;
  }
  private bestOf(label: Label, taken: Taken, final: Placed[], kept: Placed[]): Placed | null {
    const size = this.sizeOf(label);
    let best: Placed | null = null;
    for (let c = 0; c < 2 + WAYS * GAPS.length; c++) {
      const spot = this.spotAt(label, size, c, taken);
      if (!spot || (best && spot.cost >= best.spot.cost) || !free(spot, taken, ROOM) || final.some((one) => clash(one.spot, spot, ROOM))) continue;
      if (kept.some((one) => clash(one.spot, spot, ROOM))) spot.cost += OUSTING;
      if (!best || spot.cost < best.spot.cost) best = {label, spot, size};
    }
    return best;
  }
  private spotAt(label: Label, size: Size, c: number, taken: Taken): Spot | null {
    const {at: [x, y], r} = label, {w, h} = size;
    let box: Box, side = 0, leader: Stroke | null = null, cost = 0;
    if (c < 2) {
      const off = Math.min(14 * this.em, r * 0.3), top = c ? y - off - h : y + off;
      box = [x - w / 2, top, x + w / 2, top + h];
      if (!label.inside || Math.hypot(w / 2, off + h) > r - 3) return null;
      cost = c * 4;
    } else {
      const ring = Math.floor((c - 2) / WAYS), way = (c - 2) % WAYS, angle = way * 2 * Math.PI / WAYS, ux = Math.cos(angle), uy = Math.sin(angle), far = r + GAPS[ring] * this.em;
      const lean = (u: number): number => Math.max(-1, Math.min(1, u / 0.6));
      const cx = x + ux * far + lean(ux) * w / 2, cy = y + uy * far + lean(uy) * h / 2;
      box = [cx - w / 2, cy - h / 2, cx + w / 2, cy + h / 2];
      if (ring > 0) { // at the edge of the view it stands along it
        const {view} = taken, dx = clamp(box[0], view[0] + ROOM, view[2] - w - ROOM) - box[0], dy = clamp(box[1], view[1] + ROOM, view[3] - h - ROOM) - box[1];
        if (Math.hypot(dx, dy) > w) return null;
        box = [box[0] + dx, box[1] + dy, box[2] + dx, box[3] + dy];
      }
      side = Math.abs(ux) > 0.6 ? Math.sign(ux) : 0;
      cost = FAR[ring] + WAY_COST[way];
      if (ring > 0) {
        const to: Vec = [clamp(x, box[0], box[2]), clamp(y, box[1], box[3])], l = Math.hypot(to[0] - x, to[1] - y) || 1;
        leader = [[x + (to[0] - x) / l * r, y + (to[1] - y) / l * r], to];
      }
    }
    for (const line of taken.lines) if (crosses(line, box)) cost += ON_LINE;
    for (const disc of taken.discs) {
      if (disc.at[0] === x && disc.at[1] === y) continue;
      if (Math.hypot(clamp(disc.at[0], box[0], box[2]) - disc.at[0], clamp(disc.at[1], box[1], box[3]) - disc.at[1]) < disc.r) cost += ON_DISC;
      else if (leader && fromSegment(disc.at, leader) < disc.r) cost += ON_LINE;
    }
    return {c, box, side, leader, cost};
  }

  // ---- type -----------------------------------------------------------------------------------------------------------

  private sizeOf(label: Label): Size {
    const size: Size = {w: 0, h: 0, base: []};
    for (const {text, class: name} of label.lines) {
      const {font, up, down} = this.font(name.split(" ")[0]), key = `${font}\n${text}`;
      let w = this.widths.get(key);
      if (w === undefined) {
        if (this.widths.size > 500) this.widths.clear();
        this.pen.font = font;
        w = this.pen.measureText(text).width;
        this.widths.set(key, w);
      }
      size.w = Math.max(size.w, w + 1);
      size.base.push(size.h + up);
      size.h += up + down;
    }
    return size;
  }
  private font(name: string): {font: string; up: number; down: number} {
    let one = this.fonts.get(name);
    if (!one) {
      const probe = s("text", {class: name}, "0");
      this.node.append(probe);
      const {fontWeight, fontSize, fontFamily} = getComputedStyle(probe);
      probe.remove();
      this.pen.font = `${fontWeight} ${fontSize} ${fontFamily}`;
      const {fontBoundingBoxAscent: up, fontBoundingBoxDescent: down} = this.pen.measureText("0");
      one = {font: this.pen.font, up, down};
      this.fonts.set(name, one);
    }
    return one;
  }
}

function fewer(label: Label, n: number): Label { return label.lines.length > n ? {...label, lines: label.lines.slice(0, n)} : label; }
const clamp = (v: number, low: number, high: number): number => Math.max(low, Math.min(high, v));
const meet = (a: Box, b: Box, room: number): boolean => a[0] < b[2] + room && b[0] < a[2] + room && a[1] < b[3] + room && b[1] < a[3] + room;

/** The arrow in the middle of a span is where the leader of the span's words begins. */
const holds = (box: Box, [x, y]: Vec): boolean => x >= box[0] && x <= box[2] && y >= box[1] && y <= box[3];

function near({at: [x, y], r}: Label, view: Box): boolean { return x + r > view[0] && x - r < view[2] && y + r > view[1] && y - r < view[3]; }
function free({box, leader}: Spot, {view, boxes, strokes}: Taken, room: number): boolean {
  if (box[0] < view[0] + room || box[1] < view[1] + room || box[2] > view[2] - room || box[3] > view[3] - room) return false;
  const wide: Box = [box[0] - room, box[1] - room, box[2] + room, box[3] + room];
  return !boxes.some((one) => meet(one, box, room) || (leader && crosses(leader, one) && !holds(one, leader[0]))) && !strokes.some((one) => crosses(one, wide));
}
function clash(a: Spot, b: Spot, room: number): boolean {
  return meet(a.box, b.box, room) || (a.leader !== null && crosses(a.leader, b.box)) || (b.leader !== null && crosses(b.leader, a.box));
}
/** Does a piece of line touch a box? Its part within the box's width and height, by parameters. */
function crosses([a, b]: Stroke, box: Box): boolean {
  let low = 0, high = 1;
  for (const axis of [0, 1]) {
    const from = a[axis], d = b[axis] - from, least = box[axis], most = box[axis + 2];
    if (Math.abs(d) < 1e-9) { if (from < least || from > most) return false; continue; }
    const one = (least - from) / d, two = (most - from) / d;
    low = Math.max(low, Math.min(one, two));
    high = Math.min(high, Math.max(one, two));
  }
  return low <= high;
}
