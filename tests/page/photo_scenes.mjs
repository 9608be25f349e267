// The geometry of the photo without a browser: scenes of known pose, depth and lens (scenes.mjs) against what the page makes of the marks. Last line: `N passed, N failed`.
import {dice, marked, pageModule, project, scene} from "./scenes.mjs";

let passed = 0, failed = 0;
/** @param {string} name  @param {unknown} good  @param {unknown} got */
function check(name, good, got) { if (good) { passed++; return; } failed++; console.log(`FAILED ${name}: got ${JSON.stringify(got)}`); }

const entry = 'export {fit, fitNaming} from "./photo-fit"; export {pixelOf, seenAt, tiltOf, distanceOf} from "./photo-camera"; export {beforeOf, ASSUMED} from "./photo-assumed";';
const page = await pageModule(entry);
const median = (list) => [...list].sort((a, b) => a - b)[list.length >> 1];
/** Seeds of the scenes here; other ones served to look at while the fit was written. */
const SEED = 20261128;
/** Scenes in a trial; SNUB_SCENES: how many. */
const MANY = Number(process.env.SNUB_SCENES ?? 25);

/** Every centre and diameter that nobody gave, in `many` scenes: how many intervals hold the truth, and how wide they are. */
function trial(module, refs, many = MANY, seed = SEED, lens = {}) {
  let inside = 0, all = 0, none = 0;
  const widths = [], misses = [], noise = [];
  for (let k = 0; k < many; k++) {
    const s = scene(seed + k, lens), {items, focal} = marked(s, refs), f = module.fitNaming(items, module.beforeOf(s.size, focal, module.ASSUMED)).fit;
    if (!f) { none++; continue; }
    noise.push(f.noise);
    for (const p of s.pulleys) {
      const item = items.find((one) => one.id === p.name), got = f.found.get(p.name);
      for (const [value, truth, given] of [[got.x, p.x, item.place], [got.y, p.y, item.place], [got.diameter, 2 * p.r, item.diameter]]) {
        if (given) continue;
        all++;
        if (Math.abs(value.value - truth) <= value.wide) inside++;
        if (truth !== 2 * p.r) { widths.push(value.wide); misses.push(Math.abs(value.value - truth)); }
      }
    }
  }
  return {cover: inside / all, wide: median(widths), miss: median(misses), all, none, noise: median(noise)};
}

// ---- intervals that hold: 95 % stated, at least 93 % of them right, with little known and with much --------------------------
const sets = {
  "one distance": {spans: 1}, "one distance, focal length unknown": {spans: 1, exif: false}, "three distances": {spans: 3},
  "two rims": {sizes: 2}, "five rims": {sizes: 5}, "four rims, focal length unknown": {sizes: 4, exif: false}, "five rims and three distances": {sizes: 5, spans: 3},
  "a rectangle": {rectangle: true}, "a rectangle and three rims": {rectangle: true, sizes: 3}, "camera level by eye": {sizes: 4, spans: 2, direction: false},
};
/** @type {Record<string, number>} */
const wide = {};
/** Half of the scenes where little more is said than by the set beside it. */
const fewer = ["one distance, focal length unknown", "four rims, focal length unknown", "camera level by eye", "five rims and three distances"];
for (const [name, refs] of Object.entries(sets)) {
  const t = trial(page, refs, fewer.includes(name) ? MANY >> 1 : MANY);
  wide[name] = t.wide;
  console.log(`${name.padEnd(36)} ${(100 * t.cover).toFixed(1)} % of ${t.all} hold; centres: median 95 % +-${t.wide.toFixed(2)} mm, median miss ${t.miss.toFixed(2)} mm`);
  check(`${name}: at least 93 % of the intervals hold`, t.cover >= 0.93 && t.none === 0, t);
  check(`${name}: and are not wider than they need be`, t.wide < 6 * t.miss + 0.2 || refs.direction === false, t);
}
check("more distances, less error", wide["three distances"] < 0.9 * wide["one distance"], wide);
check("more rims, less error", wide["five rims"] < 0.9 * wide["two rims"] && wide["five rims and three distances"] < wide["five rims"], wide);
check("a focal length from the camera, less error", wide["one distance"] < wide["one distance, focal length unknown"], wide);
check("a second pulley in its place, less error", wide["five rims"] < 0.3 * wide["camera level by eye"], wide);

// ---- a lens that bends as much as a cheap one does ----------------------------------------------------------------------------
const cheap = {least: 0.02, most: 0.03}, rich = {sizes: 5, spans: 3, sigma: 0.6};
{ const t = trial(page, rich, MANY, SEED + 300, cheap); check("a lens that bends by 2 to 3 % at the corner", t.cover >= 0.93, t); }

// ---- a hand that shakes more than was said is seen ------------------------------------------------------------------------------
{
  const shaky = {...page, fitNaming: (items, before) => page.fitNaming(items.map((one) => ({...one, marks: one.marks.map((m) => ({...m, sigma: m.sigma / 3}))})), before)};
  const t = trial(shaky, {sizes: 4, spans: 1, many: 10}, 20, SEED + 500);
  check("marks that scatter three times as much as was said", t.cover >= 0.93 && t.noise > 1.5, t);
}

// ---- a reference that disagrees is named, and left out -------------------------------------------------------------------------------
for (const exif of [true, false]) {
  let named = 0, none = 0, right = 0, all = 0;
  const many = 25;
  for (let k = 0; k < many; k++) {
    const s = scene(SEED + 700 + k), {items, focal} = marked(s, {sizes: 4, spans: 2, exif}), before = page.beforeOf(s.size, focal, page.ASSUMED);
    if (!page.fitNaming(items, before).odd.length) none++;
    const wrong = items.find((one) => one.id === "distance 1"), was = wrong.length.value;
    wrong.length = {...wrong.length, value: was + (k % 2 ? 15 : -15)};
    const {fit: f, odd} = page.fitNaming(items, before);
    if (odd.length === 1 && odd[0].id === "distance 1" && Math.abs(odd[0].others - was) < 5) named++;
    for (const p of s.pulleys.slice(2)) { const got = f.found.get(p.name); for (const [v, t] of [[got.x, p.x], [got.y, p.y]]) { all++; if (Math.abs(v.value - t) <= v.wide) right++; } }
  }
  check(`a distance that is 15 mm wrong is named, with what the others say (focal length known: ${exif})`, named >= many - 1, named);
  check(`and the others' intervals hold all the same (${exif})`, right >= 0.93 * all, right / all);
  check(`none where all agree (${exif})`, none >= many - 1, none);
}
{
  let named = 0;
  for (let k = 0; k < 12; k++) {
    const s = scene(SEED + 850 + k), {items, focal} = marked(s, {sizes: 4, spans: 2}), place = items.find((one) => one.id === "alternator").place, far = Math.hypot(...place.at);
    place.at = place.at.map((v) => v * (1 + 15 / far)); // outwards: sideways it would only turn everything
    const {odd} = page.fitNaming(items, page.beforeOf(s.size, focal, page.ASSUMED));
    if (odd.length === 1 && odd[0].id === "alternator" && odd[0].what === "place" && Math.abs(odd[0].others - 15) < 7) named++;
  }
  check("a place in the file that is 15 mm wrong is named", named >= 11, named);
}
{
  const s = scene(SEED + 800), {items, focal} = marked(s, {spans: 2}), before = page.beforeOf(s.size, focal, page.ASSUMED), wrong = items.find((one) => one.id === "distance 1");
  for (const one of items) delete one[one.id === "crank" ? "none" : "place"]; // two distances and nothing else
  wrong.length = {...wrong.length, value: wrong.length.value * 1.2};
  const {odd} = page.fitNaming(items, before);
  check("where nothing tells which of two is wrong, both are named", odd.length === 2 && odd.every((c) => c.what === "length"), odd);
}

// ---- the pose of one circle against the closed form: the cone's principal axes -------------------------------------------------------
/** Eigenvalues and vectors of a symmetric 3 x 3, by Jacobi. */
function principal(m) {
  const a = m.map((r) => [...r]), v = [[1, 0, 0], [0, 1, 0], [0, 0, 1]];
  for (let sweep = 0; sweep < 60; sweep++) {
    for (const [p, q] of [[0, 1], [0, 2], [1, 2]]) {
      if (Math.abs(a[p][q]) < 1e-300) continue;
      const t = 0.5 * Math.atan2(2 * a[p][q], a[q][q] - a[p][p]), c = Math.cos(t), s = Math.sin(t);
      for (let k = 0; k < 3; k++) { const x = a[k][p], y = a[k][q]; a[k][p] = c * x - s * y; a[k][q] = s * x + c * y; }
      for (let k = 0; k < 3; k++) { const x = a[p][k], y = a[q][k]; a[p][k] = c * x - s * y; a[q][k] = s * x + c * y; }
      for (let k = 0; k < 3; k++) { const x = v[k][p], y = v[k][q]; v[k][p] = c * x - s * y; v[k][q] = s * x + c * y; }
    }
  }
  return [0, 1, 2].map((i) => ({value: a[i][i], axis: v.map((r) => r[i])})).sort((x, y) => y.value - x.value);
}
function gauss(rows) {
  const n = rows.length, a = rows.map((r) => [...r]);
  for (let c = 0; c < n; c++) {
    const best = a.slice(c).reduce((b, r, i) => (Math.abs(r[c]) > Math.abs(a[b][c]) ? c + i : b), c);
    [a[c], a[best]] = [a[best], a[c]];
    for (let r = 0; r < n; r++) if (r !== c) { const f = a[r][c] / a[c][c]; for (let k = c; k <= n; k++) a[r][k] -= f * a[c][k]; }
  }
  return a.map((r, i) => r[n] / r[i]);
}
for (let k = 0; k < 6; k++) {
  const s = scene(SEED + 900 + k), p = s.pulleys[3], camera = {...s.camera, k1: 0, k2: 0, middle: [s.size[0] / 2, s.size[1] / 2]};
  const at = (t) => project(camera, [p.x + p.r * Math.cos(t), p.y + p.r * Math.sin(t), p.z]);
  const five = [0, 1, 2, 3, 4].map((i) => at(i * 1.2566)).map(([u, v]) => [(u - camera.middle[0]) / camera.focal, -(v - camera.middle[1]) / camera.focal]);
  // a x^2 + b x y + c y^2 + d x + e y = 1 through five points; the cone over it, with the ray (x, y, -1)
  const [a, b, c, d, e] = gauss(five.map(([x, y]) => [x * x, x * y, y * y, x, y, 1]));
  let cone = [[a, b / 2, -d / 2], [b / 2, c, -e / 2], [-d / 2, -e / 2, -1]];
  let axes = principal(cone);
  if (axes[1].value < 0) { cone = cone.map((r) => r.map((v) => -v)); axes = principal(cone); }
  const [l1, l2, l3] = axes.map((one) => one.value), g = Math.sqrt((l1 - l2) / (l1 - l3)), h = Math.sqrt((l2 - l3) / (l1 - l3));
  const normals = [1, -1].map((sign) => [0, 1, 2].map((i) => sign * g * axes[0].axis[i] + h * axes[2].axis[i])).map((n) => (n[2] < 0 ? n.map((v) => -v) : n));
  const tilts = normals.map((n) => Math.acos(n[2]) * 180 / Math.PI);
  const items = [{id: "rim", kind: "circle", marks: Array.from({length: 16}, (_, i) => ({at: at(i * 0.3927), sigma: 1e-3})), z: {value: p.z, sigma: 1e-4}, diameter: {value: 2 * p.r, sigma: 1e-4}, place: {at: [p.x, p.y], sigma: 1e-3}}];
  const f = page.fit(items, {size: s.size, focal: {value: Math.log(camera.focal), sigma: 1e-7}, middle: 1e-7, bend: 1e-7, tilt: 10, roll: 0.03, turned: 0}), got = page.tiltOf(f.camera) * 180 / Math.PI;
  check(`pose of one circle ${k}: one of the closed form's two`, Math.min(...tilts.map((t) => Math.abs(t - got))) < 0.02, {tilts, got, true: s.tilt * 180 / Math.PI});
  check(`pose of one circle ${k}: the closed form knows the truth`, Math.min(...tilts.map((t) => Math.abs(t - s.tilt * 180 / Math.PI))) < 0.01, {tilts, true: s.tilt});
}

// ---- the error's shares: they add up, and the largest is what was made large ----------------------------------------------------------
for (const [group, refs, change] of /** @type {[string, object, object][]} */ ([["level", {sizes: 4, direction: false}, {}], ["depth", {sizes: 5}, {depth: 12}], ["marks", {sizes: 5, sigma: 9}, {}], ["sizes", {sizes: 1, direction: false}, {sized: 4}]])) {
  const s = scene(SEED + 950), {items, focal} = marked(s, refs);
  for (const one of items) { if (change.depth) one.z.sigma = change.depth; if (change.sized && one.diameter) one.diameter.sigma = change.sized; }
  const shares = page.fit(items, page.beforeOf(s.size, focal, page.ASSUMED)).found.get("idler")[group === "sizes" ? "diameter" : "x"].shares;
  check(`shares of ${group}`, Math.abs(Object.values(shares).reduce((t, v) => t + v, 0) - 1) < 1e-9 && Object.keys(shares).every((g) => shares[g] <= shares[group]), shares);
}

// ---- little marked: an ellipse is seen alike from either side -------------------------------------------------------------------------
{
  let inside = 0, all = 0, either = 0;
  for (let k = 0; k < 100; k++) {
    const s = scene(SEED + 2000 + k), {items, focal} = marked(s, {sizes: 1, many: 8, direction: false}), few = items.filter((one) => ["crank", "steering"].includes(one.id));
    const f = page.fit(few, page.beforeOf(s.size, focal, page.ASSUMED)), p = s.pulleys[5], got = f.found.get("steering");
    if (f.other) either++;
    for (const [v, t] of [[got.x, p.x], [got.y, p.y], [got.diameter, 2 * p.r]]) { all++; if (Math.abs(v.value - t) <= v.wide) inside++; }
  }
  check("one known rim and one other", inside >= 0.93 * all, inside / all);
  check("a second tilt that fits as well is seen, where there is one", either >= 2, either);
}

// ---- far off square: the minimum that is found is the lowest --------------------------------------------------------------------------
{
  const single = await pageModule(entry, ["photo-fit.ts", "[[0, 0], [0.2, 0], [-0.2, 0], [0, 0.2], [0, -0.2]] as Vec[]", "[[0, 0]] as Vec[]"]);
  let lower = 0, higher = 0;
  for (let k = 0; k < 25; k++) {
    const s = scene(SEED + 3000 + k, {tilts: [20, 35]}), {items, focal} = marked(s, {sizes: 1, exif: false}), before = page.beforeOf(s.size, focal, page.ASSUMED);
    const one = single.fit(items, before), best = page.fit(items, before);
    if (!one || best.cost < one.cost - 1) lower++;
    if (one && best.cost > one.cost + 0.01) higher++;
  }
  check("more starts than one are needed", lower >= 1 && higher === 0, {lower, higher});
  const t = trial(page, {sizes: 3}, 25, SEED + 3200, {tilts: [20, 35]});
  check("20 to 35 deg off square", t.cover >= 0.93 && t.none === 0, t);
}

// ---- there and back ------------------------------------------------------------------------------------------------------------------
{
  const d = dice(SEED), camera = [Math.log(3900), 0.01, -0.006, 0.012, 0.1, -0.15, 0.03, 40, 160, Math.log(3)], size = [4032, 3024];
  let worst = 0;
  for (let k = 0; k < 50; k++) {
    const pixel = [d.between(0, 4032), d.between(0, 3024)], z = d.between(-60, 60), seen = page.seenAt(camera, size, pixel, z), back = page.pixelOf(camera, size, seen.at, z);
    worst = Math.max(worst, Math.hypot(back[0] - pixel[0], back[1] - pixel[1]));
  }
  check("a pixel's point is seen in that pixel", worst < 1e-3, worst);
}

// ---- each term is needed: without it fewer than 93 % hold -------------------------------------------------------------------------------
const spoils = {
  "the planes' depth": ["photo-camera.ts", "t = (z - eye[2]) / ray[2]", "t = (0 - eye[2]) / ray[2]"],
  "the error of the depth": ["photo-fit.ts", "(z - item.z.value) / item.z.sigma", "(z - item.z.value) / 0.01"],
  "the tilt": ["photo-camera.ts", "const ca = Math.cos(camera[TILT_X]), sa = Math.sin(camera[TILT_X]), cb = Math.cos(camera[TILT_Y]), sb = Math.sin(camera[TILT_Y])", "const ca = 1, sa = 0, cb = 1, sb = 0"],
  "the bend of the lens": ["photo-camera.ts", "camera[BEND] * (du", "0 * (du", cheap],
  "the 95 %": ["photo-fit.ts", "const WIDE = 1.96;", "const WIDE = 1.5;"],
};
for (const [name, spoil] of Object.entries(spoils)) {
  const t = trial(await pageModule(entry, spoil), rich, 30, SEED, spoil[3]);
  console.log(`without ${name.padEnd(28)} ${(100 * t.cover).toFixed(1)} % hold`);
  check(`without ${name} it does not hold`, t.cover < 0.93, t);
}

console.log(`${passed} passed, ${failed} failed`);
process.exit(failed ? 1 : 0);
