// What a search proposes, as thin outlines over the drawing: pulleys where they would be, and the belt of the one that is chosen.
import {put, s} from "./dom";
import {distance} from "./draw-shapes";
import {pictureOf, type Drawing} from "./drawing";
import {beltOutline, circle, signedRadii} from "./geometry";
import type {Shape} from "./types";

const STAYS = 0.05; // mm; what moves less is not drawn anew

export class Ghosts {
  private readonly layer = s("g", {class: "study ghosts"});
  private readonly lines = s("g", {});
  private readonly words = s("g", {});
  private today: Shape | null = null;
  private then: (Shape | null)[] = [];
  private chosen = -1;
  private seen = false;
  constructor(private readonly drawing: Drawing) { this.layer.append(this.lines, this.words); }

  show(on: boolean): void { if (on) this.drawing.over.prepend(this.layer); else this.layer.remove(); }
  /** @param today  the drive that was searched  @param then  of each proposal; null: it could not be laid  @param seen  the chosen one is in the drawing: then today is drawn */
  set(today: Shape | null, then: (Shape | null)[], chosen: number, seen: boolean): void { Object.assign(this, {today, then, chosen, seen}); this.drawing.refresh(); }

  /** Called with every picture and view. */
  draw(): void {
    const {view} = this.drawing, {today, chosen} = this, lines: SVGElement[] = [], words: SVGElement[] = [];
    const put_ = (shape: Shape | null, than: Shape | null, own: boolean, word: string): void => {
      if (!shape || !than) return;
      const {at, path} = pictureOf(shape);
      shape.pulleys.forEach((p, k) => {
        const was = than.pulleys.find((one) => one.name === p.name);
        if (!was || (distance(at[k], was.centre_mm) < STAYS && Math.abs(p.rim_radius_mm - was.rim_radius_mm) < STAYS)) return;
        lines.push(s("path", {class: `proposed${own ? " own" : ""}`, d: circle(at[k], p.rim_radius_mm) + (own ? `M${was.centre_mm.join(" ")}L${at[k].join(" ")}` : "")}));
        if (!own) return; // the numbers of all would lie on each other
        const [x, y] = view.toScreen([at[k][0], at[k][1] + p.rim_radius_mm]);
        words.push(s("text", {class: "proposed-number", x, y: y - 3, "text-anchor": "middle"}, word));
      });
      if (own && path) lines.push(s("path", {class: "proposed belt-then", d: beltOutline(path, at, signedRadii(shape), 0, shape.turn)}));
    };
    if (this.seen) put_(today, this.then[chosen], true, "");
    else this.then.forEach((shape, i) => put_(shape, today, i === chosen, String(i + 1)));
    put(this.lines, "transform", view.matrix);
    this.lines.replaceChildren(...lines);
    this.words.replaceChildren(...words);
  }
}
