// The photo around the cross, enlarged: a rim's edge is marked to a pixel without zooming in.
import {h} from "./dom";
import type {Vec} from "./types";

/** Side of the loupe in CSS pixels (style.css has it too), and how much larger than on the drawing it shows the photo. */
const SIDE = 168, LARGER = 4;
/** At least this many CSS pixels for one of the photo. */
const LEAST = 2;

export class Loupe {
  readonly element = h("canvas", {class: "loupe", width: SIDE, height: SIDE, "aria-hidden": "true", hidden: true});

  hide(): void { this.element.hidden = true; }
  /** @param at  pixel of the photo under the cross  @param scale  CSS pixels that one pixel of the photo takes in the drawing
   *  @param marks  pixels marked so far  @param right  show it at the right: the cross is at the left */
  show(image: ImageBitmap, at: Vec, scale: number, marks: Vec[], right: boolean): void {
    const ratio = Math.max(1, Math.min(3, devicePixelRatio)), pen = this.element.getContext("2d");
    if (!pen) return;
    if (this.element.width !== Math.round(SIDE * ratio)) this.element.width = this.element.height = Math.round(SIDE * ratio);
    const k = Math.max(LEAST, LARGER * scale) * ratio, side = this.element.width, crop = side / k, style = getComputedStyle(document.documentElement);
    const ink = style.getPropertyValue("--photo").trim();
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.fillStyle = style.getPropertyValue("--sheet").trim();
    pen.fillRect(0, 0, side, side);
    pen.imageSmoothingEnabled = k < 6;
    pen.drawImage(image, at[0] - crop / 2, at[1] - crop / 2, crop, crop, 0, 0, side, side);
    const line = (width: number, color: string, draw: () => void): void => { pen.lineWidth = width * ratio; pen.strokeStyle = color; pen.beginPath(); draw(); pen.stroke(); };
    const cross = (): void => { const m = side / 2, gap = 5 * ratio; pen.moveTo(0, m); pen.lineTo(m - gap, m); pen.moveTo(m + gap, m); pen.lineTo(side, m); pen.moveTo(m, 0); pen.lineTo(m, m - gap); pen.moveTo(m, m + gap); pen.lineTo(m, side); };
    line(3, "rgb(255 255 255 / .8)", cross);
    line(1, ink, cross);
    for (const mark of marks) {
      const x = side / 2 + (mark[0] - at[0]) * k, y = side / 2 + (mark[1] - at[1]) * k;
      line(2, ink, () => pen.arc(x, y, 4 * ratio, 0, 7));
    }
    this.element.classList.toggle("right", right);
    this.element.hidden = false;
  }
}
