// The photo itself: read, turned, and laid under the drawing as taken or set square on.
import {s} from "./dom";
import {pixelOf, seenAt, type Camera} from "./photo-camera";
import {wasCut, writtenIn} from "./photo-exif";
import type {Vec} from "./types";

type Affine = [number, number, number, number, number, number]; // x = a u + b v + c, y = d u + e v + f
const apply = (m: Affine, p: Vec): Vec => [m[0] * p[0] + m[1] * p[1] + m[2], m[3] * p[0] + m[4] * p[1] + m[5]];
function inverse([a, b, c, d, e, f]: Affine): Affine { const det = a * e - b * d; return [e / det, -b / det, (b * f - c * e) / det, -d / det, a / det, (c * d - a * f) / det]; }
/** Longest side of the picture set square on, and the mesh on which its pixels are looked up, px. */
const LONGEST = 2200, MESH = 24;

export class Picture {
  image: ImageBitmap | null = null;
  focal35: number | null = null;
  cut = false;
  square: Camera | null = null; // set square on by this camera
  readonly node = s("image", {preserveAspectRatio: "none"});
  private url = "";
  private squareUrl = "";
  private at: Affine = [1, 0, 0, 0, -1, 0];

  get size(): Vec { return this.image ? [this.image.width, this.image.height] : [1, 1]; }
  /** @return a sentence where it cannot be read */
  async load(file: File): Promise<string> {
    if (!file.type.startsWith("image/")) return "That is not a picture.";
    let image: ImageBitmap;
    const written = writtenIn(await file.slice(0, 262144).arrayBuffer()); // Exif is at the start
    try { image = await createImageBitmap(file); } catch { return "The picture could not be read. Use JPEG, PNG or WebP."; }
    this.drop();
    this.image = image;
    this.cut = wasCut(written, this.size);
    this.focal35 = this.cut ? null : written.focal35;
    this.url = URL.createObjectURL(file);
    if (written.orientation !== 1) await this.redraw((pen) => pen.drawImage(image, 0, 0), this.size); // the bitmap is upright already, an SVG may not be
    return "";
  }
  drop(): void {
    for (const url of [this.url, this.squareUrl]) if (url) URL.revokeObjectURL(url);
    this.url = this.squareUrl = "";
    this.square = this.image = null;
    for (const name of ["href", "width", "height"]) this.node.removeAttribute(name);
  }
  private async redraw(draw: (pen: OffscreenCanvasRenderingContext2D) => void, size: Vec): Promise<void> {
    const canvas = new OffscreenCanvas(size[0], size[1]), pen = canvas.getContext("2d");
    if (!pen) return;
    draw(pen);
    URL.revokeObjectURL(this.url);
    this.url = URL.createObjectURL(await canvas.convertToBlob({type: "image/jpeg", quality: 0.93}));
    this.image = await createImageBitmap(canvas);
  }
  /** Turned by a quarter clockwise, or mirrored left to right. @return how a pixel moves */
  async turn(how: "quarter" | "mirror"): Promise<(p: Vec) => Vec> {
    const image = this.image as ImageBitmap, [w, hgt] = this.size;
    if (how === "quarter") await this.redraw((pen) => { pen.translate(hgt, 0); pen.rotate(Math.PI / 2); pen.drawImage(image, 0, 0); }, [hgt, w]);
    else await this.redraw((pen) => { pen.translate(w, 0); pen.scale(-1, 1); pen.drawImage(image, 0, 0); }, [w, hgt]);
    this.square = null;
    return how === "quarter" ? (p) => [hgt - p[1], p[0]] : (p) => [w - p[0], p[1]];
  }

  /** Until anything is known the photo fills the view. */
  fill(corner: Vec, wide: number, high: number): void { const k = Math.min(wide / this.size[0], high / this.size[1]); this.at = [k, 0, corner[0], 0, -k, corner[1]]; this.square = null; }
  /** As the camera sees the plane z = 0 around the middle of the marks: exact there, off by the perspective further out. */
  lie(camera: Camera, middle: Vec): void {
    const seen = seenAt(camera, this.size, middle, 0);
    if (!seen || this.square) return;
    const [a, b, d, e] = seen.per;
    this.at = [a, b, seen.at[0] - a * middle[0] - b * middle[1], d, e, seen.at[1] - d * middle[0] - e * middle[1]];
  }
  toWorld(pixel: Vec): Vec { return this.square ? seenAt(this.square, this.size, pixel, 0)?.at ?? apply(this.at, pixel) : apply(this.at, pixel); }
  toPhoto(world: Vec): Vec { return this.square ? pixelOf(this.square, this.size, world, 0) ?? [-1, -1] : apply(inverse(this.at), world); }
  /** Millimetres of the drawing that one pixel takes, at a pixel. */
  per(pixel: Vec): number { const a = this.toWorld(pixel), b = this.toWorld([pixel[0] + 1, pixel[1]]); return Math.hypot(a[0] - b[0], a[1] - b[1]); }

  /** The plane z = 0 as from straight in front; null: as taken. */
  async setSquare(camera: Camera | null): Promise<void> {
    this.square = null;
    if (!camera || !this.image) return;
    const size = this.size, edge = [[0, 0], [0.5, 0], [1, 0], [1, 0.5], [1, 1], [0.5, 1], [0, 1], [0, 0.5]].map(([u, v]) => seenAt(camera, size, [u * size[0], v * size[1]], 0)?.at).filter((p): p is Vec => p !== undefined);
    if (edge.length < 8) return;
    const low: Vec = [Math.min(...edge.map((p) => p[0])), Math.min(...edge.map((p) => p[1]))], high: Vec = [Math.max(...edge.map((p) => p[0])), Math.max(...edge.map((p) => p[1]))];
    const k = Math.min(LONGEST, Math.max(size[0], size[1])) / Math.max(high[0] - low[0], high[1] - low[1]), w = Math.round((high[0] - low[0]) * k), hgt = Math.round((high[1] - low[1]) * k);
    const source = new OffscreenCanvas(size[0], size[1]), pen = source.getContext("2d", {willReadFrequently: true}), target = new OffscreenCanvas(w, hgt), out = target.getContext("2d");
    if (!pen || !out) return;
    pen.drawImage(this.image, 0, 0);
    const from = pen.getImageData(0, 0, size[0], size[1]), to = out.createImageData(w, hgt), source32 = new Uint32Array(from.data.buffer), target32 = new Uint32Array(to.data.buffer);
    const cols = Math.ceil(w / MESH) + 1, nodes = Array.from({length: cols * (Math.ceil(hgt / MESH) + 1)}, (_, i): Vec => pixelOf(camera, size, [low[0] + i % cols * MESH / k, high[1] - Math.floor(i / cols) * MESH / k], 0) ?? [-1e6, -1e6]);
    for (let y = 0; y < hgt; y++) {
      for (let x = 0; x < w; x++) {
        const i = Math.floor(y / MESH) * cols + Math.floor(x / MESH), p = x % MESH / MESH, q = y % MESH / MESH, [a, b, c, d] = [nodes[i], nodes[i + 1], nodes[i + cols], nodes[i + cols + 1]];
        const u = Math.floor((1 - q) * ((1 - p) * a[0] + p * b[0]) + q * ((1 - p) * c[0] + p * d[0])), v = Math.floor((1 - q) * ((1 - p) * a[1] + p * b[1]) + q * ((1 - p) * c[1] + p * d[1]));
        if (u >= 0 && v >= 0 && u < size[0] && v < size[1]) target32[y * w + x] = source32[v * size[0] + u];
      }
    }
    out.putImageData(to, 0, 0);
    if (this.squareUrl) URL.revokeObjectURL(this.squareUrl);
    this.squareUrl = URL.createObjectURL(await target.convertToBlob({type: "image/png"}));
    this.square = camera;
    this.corner = {low, high, w, hgt};
  }
  private corner = {low: [0, 0] as Vec, high: [0, 0] as Vec, w: 1, hgt: 1};

  place(opacity: number): void {
    if (!this.image) return;
    const {low, high, w, hgt} = this.corner, [a, b, c, d, e, f] = this.at, k = (high[0] - low[0]) / w;
    const set: [string, string | number][] = this.square
      ? [["href", this.squareUrl], ["width", w], ["height", hgt], ["transform", `matrix(${k} 0 0 ${-k} ${low[0]} ${high[1]})`]]
      : [["href", this.url], ["width", this.image.width], ["height", this.image.height], ["transform", `matrix(${a} ${d} ${b} ${e} ${c} ${f})`]];
    for (const [name, value] of set) this.node.setAttribute(name, String(value));
    this.node.setAttribute("opacity", String(opacity));
  }
}
