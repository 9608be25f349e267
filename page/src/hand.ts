// What hands do alike in every view: where they point, what a wheel and the arrow keys say, when a press is a drag.
import {snapStep} from "./snap";
import {store} from "./store";
import type {Vec} from "./types";

/** px from the corner of a view. */
export function pointIn(view: Element, event: MouseEvent): Vec { const box = view.getBoundingClientRect(); return [event.clientX - box.left, event.clientY - box.top]; }
export function wheelZoom(event: WheelEvent): number { return Math.exp(-event.deltaY * (event.deltaMode === 1 ? 0.05 : 0.0016)); }
/** A press that goes no farther is a click, px. */
export function slack(event: PointerEvent): number { return event.pointerType === "touch" ? 8 : 3; }

const ARROWS: Record<string, Vec> = {ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1]};
/** Direction of an arrow key, y up; null: it is another key. */
export function arrowOf(event: KeyboardEvent): Vec | null { return ARROWS[event.key] ?? null; }
/** What one press of an arrow key moves, mm. */
export function keyStep(event: KeyboardEvent): number { return snapStep() * (event.shiftKey ? 10 : 1) * (event.altKey ? 0.1 : 1); }

/** Where keys have brought a thing: the picture comes with the answer, and the next key may come before it. */
export class Nudged {
  private of: unknown;
  private key = "";
  private at: Vec = [0, 0];
  /** @return where it is now, if it is drawn at `drawn` */
  from(key: string, drawn: Vec): Vec { return this.of === store.now && this.key === key ? this.at : drawn; }
  to(key: string, at: Vec): void { this.of = store.now; this.key = key; this.at = at; }
}

/** A browser hands moves on with its frames; where it also tells of them as they happen, what they change is calculated before the frame begins.
 *  A hand that tells of many moves in a frame would have most of them calculated in vain: then only those of the frames are taken. */
export class Early {
  private since = 0; // moves that were taken since the last frame
  private vain = 0;
  /** Another gesture: its hand may be slower. */
  begin(): void { this.since = this.vain = 0; }
  takes(): boolean { return this.vain < VAIN_MOST && ++this.since > 0; }
  /** What is drawn now is drawn before its frame: there is time to lay it out as well. */
  get ahead(): boolean { return this.since > 0; }
  /** A frame begins. */
  framed(): void {
    if (this.vain < VAIN_MOST) this.vain = Math.max(0, this.vain + this.since - 2);
    this.since = 0;
  }
}
/** Moves that were taken beyond two in a frame, until no more are. */
const VAIN_MOST = 8;
