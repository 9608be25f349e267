// Scenes of an engine's front seen by a camera, written plainly and without anything of the page: world points go through a rotation
// matrix, a pinhole and Brown's radial terms. The page's own way is the other way round (rays to planes), with another lens formula.
import {createRequire} from "node:module";
import {existsSync} from "node:fs";
import {join} from "node:path";
import {fileURLToPath} from "node:url";

const home = fileURLToPath(new URL("../../page", import.meta.url));
/** The page's own functions, compiled from its source. `spoil`: [file, what stands there, what is put there]. */
export async function pageModule(entry, spoil = null) {
  const built = join(process.env.SNUB_BUILD_DIR ?? join(home, "../build/release"), "page"), packages = existsSync(join(home, "node_modules/esbuild")) ? home : built;
  const {build} = createRequire(join(packages, "package.json"))("esbuild"), {readFileSync} = await import("node:fs");
  let spoiled = 0;
  const plugins = spoil ? [{name: "spoil", setup(b) {
    b.onLoad({filter: /\.ts$/}, ({path}) => {
      let contents = readFileSync(path, "utf8");
      if (path.endsWith(`/${spoil[0]}`)) { const parts = contents.split(spoil[1]); spoiled += parts.length - 1; contents = parts.join(spoil[2]); }
      return {contents, loader: "ts"};
    });
  }}] : [];
  const out = await build({absWorkingDir: home, stdin: {contents: entry, resolveDir: join(home, "src"), loader: "ts"}, bundle: true, write: false, format: "esm", target: ["es2022"], plugins, logLevel: "error"});
  if (spoil && spoiled !== 1) throw new Error(`what is to be spoiled stands ${spoiled} times in ${spoil[0]}`);
  return import(`data:text/javascript;base64,${Buffer.from(out.outputFiles[0].text).toString("base64")}`);
}

/** Numbers that come again: mulberry32, and Box and Muller's normal ones. */
export function dice(seed) {
  let state = seed >>> 0;
  const even = () => { state = state + 0x6d2b79f5 >>> 0; let t = state; t = Math.imul(t ^ t >>> 15, t | 1); t ^= t + Math.imul(t ^ t >>> 7, t | 61); return ((t ^ t >>> 14) >>> 0) / 4294967296; };
  return {even, between: (a, b) => a + (b - a) * even(), normal: () => Math.sqrt(-2 * Math.log(1 - even())) * Math.cos(2 * Math.PI * even()), pick: (list) => list[Math.floor(even() * list.length)]};
}

const times = (a, b) => a.map((row) => b[0].map((_, j) => row.reduce((t, v, k) => t + v * b[k][j], 0)));
const aboutX = (t) => [[1, 0, 0], [0, Math.cos(t), -Math.sin(t)], [0, Math.sin(t), Math.cos(t)]];
const aboutY = (t) => [[Math.cos(t), 0, Math.sin(t)], [0, 1, 0], [-Math.sin(t), 0, Math.cos(t)]];
const aboutZ = (t) => [[Math.cos(t), -Math.sin(t), 0], [Math.sin(t), Math.cos(t), 0], [0, 0, 1]];

/** World point [x, y, z] mm -> pixel of the photo. */
export function project(camera, [x, y, z]) {
  const d = [x - camera.eye[0], y - camera.eye[1], z - camera.eye[2]];
  const [p, q, r] = [0, 1, 2].map((k) => camera.axes[0][k] * d[0] + camera.axes[1][k] * d[1] + camera.axes[2][k] * d[2]); // columns of `axes`: right, up, back
  const u = p / -r, v = q / -r, rr = u * u + v * v, bent = 1 + camera.k1 * rr + camera.k2 * rr * rr;
  return [camera.middle[0] + camera.focal * u * bent, camera.middle[1] - camera.focal * v * bent];
}

/** An engine's front and a camera before it, whose lens shifts the corner by `least` to `most` of the half diagonal. Depths, sizes and the lens are off what the person believes by what he says they may be. */
export function scene(seed, {size = [4032, 3024], most = 0.02, least = -most, tilts = [0, 12]} = {}) {
  const d = dice(seed), half = Math.hypot(...size) / 2;
  const tilted = (axes) => Math.acos(axes[2][2]), names = ["crank", "alternator", "idler", "blower", "turn", "steering", "compressor"];
  const base = [[0, 0, 81, 0], [-204, 268, 29, 0], [-47, 340, 34, 0], [46, 384, 44, 0], [132, 296, 37, 0], [236, 238, 63, 0], [276, 22, 59, 0]];
  const depth = 1.5; // standard deviation of the faces' depths, mm
  const pulleys = base.map(([x, y, r], i) => {
    const z = i === 0 ? 12 : d.pick([0, 5, 12, 18, 30, -8, -20]);
    return {name: names[i], x: x + (i ? d.between(-25, 25) : 0), y: y + (i ? d.between(-25, 25) : 0), r: r + d.between(-4, 4), zSaid: z, z: z + depth * d.normal()};
  });
  const tilt = d.between(tilts[0], tilts[1]) * Math.PI / 180, towards = d.between(0, 2 * Math.PI), roll = 1.5 * d.normal() * Math.PI / 180;
  const focal35 = d.between(26, 75), focal = focal35 / 43.2666 * 2 * half, wide = d.between(760, 1200), distance = focal * wide / size[0];
  const axes = times(times(aboutY(tilt * Math.cos(towards)), aboutX(tilt * Math.sin(towards))), aboutZ(roll));
  const look = [40 + d.between(-60, 60), 170 + d.between(-50, 50), 0], eye = look.map((v, i) => v + distance * axes[i][2]);
  const bend = d.between(least, most), corner = (half / focal) ** 2, k2 = 0.3 * bend / corner / corner;
  const camera = {axes, eye, focal, middle: [size[0] / 2 + 0.008 * half * d.normal(), size[1] / 2 + 0.008 * half * d.normal()], k1: 0.7 * bend / corner, k2};
  return {d, size, half, pulleys, camera, tilt: tilted(axes), roll, distance, focal35, depth};
}

/** Marks on a rim: spread over the part that is to be seen. */
export function rim(s, p, many, sigma) {
  const from = s.d.between(0, 2 * Math.PI), arc = s.d.between(1.2, 2) * Math.PI;
  return Array.from({length: many}, (_, i) => {
    const t = from + arc * (i + 0.3 * s.d.normal()) / many, at = project(s.camera, [p.x + p.r * Math.cos(t), p.y + p.r * Math.sin(t), p.z]);
    return {at: [at[0] + sigma * s.d.normal(), at[1] + sigma * s.d.normal()], sigma};
  });
}
export function dot(s, point, sigma) { const at = project(s.camera, point); return {at: [at[0] + sigma * s.d.normal(), at[1] + sigma * s.d.normal()], sigma}; }

/** What the person has marked and what he knows: `refs` other than the crank's place.
 *  @returns {{items: any[], focal: {value: number, sigma: number} | null}} */
export function marked(s, {sizes = 0, spans = 0, rectangle = false, direction = true, exif = true, sigma = 1.2, many = 6} = {}) {
  const said = (v, sd) => ({value: v + sd * s.d.normal(), sigma: sd}), sized = new Set();
  /** @type {any[]} */
  const items = [];
  const order = [0, 6, 1, 5, 3, 2, 4]; // the person measures those that stand far apart first
  for (const k of order.slice(0, sizes)) sized.add(k);
  s.pulleys.forEach((p, i) => items.push({
    id: p.name, kind: "circle", marks: rim(s, p, many, sigma), z: {value: p.zSaid, sigma: s.depth}, ...(sized.has(i) ? {diameter: said(2 * p.r, 0.1)} : {}),
    ...(i === 0 ? {place: {at: [0, 0], sigma: 0.01, datum: true}} : direction && i === 1 ? {place: {at: [p.x + 0.15 * s.d.normal(), p.y + 0.15 * s.d.normal()], sigma: 0.15}} : {}),
  }));
  for (let k = 0; k < spans; k++) {
    const ends = [[[-150, 60], [220, 90]], [[20, -60], [60, 330]], [[-180, 330], [250, 300]], [[-120, 20], [-150, 330]]][k % 4].map((e) => [e[0] + s.d.between(-30, 30), e[1] + s.d.between(-30, 30), s.depth * s.d.normal()]);
    items.push({id: `distance ${k + 1}`, kind: "span", marks: ends.map((e) => dot(s, e, sigma)), z: {value: 0, sigma: s.depth}, length: said(Math.hypot(...[0, 1, 2].map((a) => ends[1][a] - ends[0][a])), 0.25)});
  }
  if (rectangle) {
    const [x, y, w, h, z, t] = [-60 + s.d.between(-20, 20), 240 + s.d.between(-20, 20), 210, 148, s.depth * s.d.normal(), s.d.between(-0.1, 0.1)], c = Math.cos(t), q = Math.sin(t);
    items.push({id: "rectangle", kind: "rectangle", marks: [[0, 0], [w, 0], [w, -h], [0, -h]].map(([a, b]) => dot(s, [x + c * a - q * b, y + q * a + c * b, z], sigma)), z: {value: 0, sigma: s.depth}, wide: {value: w, sigma: 0.2}, high: {value: h, sigma: 0.2}});
  }
  const sure = 0.03, focal = Math.log(s.camera.focal) + (exif ? sure * s.d.normal() : 0);
  return {items, focal: exif ? {value: focal, sigma: sure} : null};
}
