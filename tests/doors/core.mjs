// core.mjs FOLDER CATALOGUE: asks the server and the core that it hands out the same questions about every drive of a folder.
// Last line: `N passed, N failed`.
import {spawn} from "node:child_process";
import {existsSync, readdirSync, readFileSync} from "node:fs";
import {createRequire} from "node:module";
import {dirname, join, resolve} from "node:path";
import {fileURLToPath, pathToFileURL} from "node:url";
import {mkdtempSync, rmSync, writeFileSync} from "node:fs";
import {tmpdir} from "node:os";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const [folder, catalogue] = process.argv.slice(2);
// All but a few numbers agree to the tolerance. A force hangs on the difference of two lengths of a metre, 1e-16 apart at best,
// times EA/L, some 1e5 N/m, and a grip on the ratio of two such forces, of which one may be near zero: those to SHAKY.
// Where two things come nearest is found to 1e-8 of a span, and may be either of two places that are alike: of a distance its
// length is compared, and belt flap there, which goes with the place, to LOOSE.
const TOLERANCE = 1e-12, SHAKY = 1e-10, SHAKY_SHARE = 3e-4, LOOSE = 1e-6;
let passed = 0, failed = 0;
const check = (name, good, said = "") => { if (good) { passed++; return; } failed++; if (failed < 40) console.log(`FAILED ${name}: ${said}`); };

/** The page's own module, as its bundler makes it. */
async function pageModule(name) {
  const home = join(root, "page"), built = join(process.env.SNUB_BUILD_DIR, "page");
  const {buildSync} = createRequire(join(existsSync(join(home, "node_modules/esbuild")) ? home : built, "package.json"))("esbuild");
  const work = mkdtempSync(join(tmpdir(), "snub-core-js-")), out = join(work, `${name}.mjs`);
  buildSync({entryPoints: [join(home, "src", `${name}.ts`)], bundle: true, format: "esm", outfile: out, logLevel: "error"});
  const module = await import(pathToFileURL(out).href);
  rmSync(work, {recursive: true});
  return module;
}

const server = spawn(process.env.SNUB_BIN, ["serve", join(folder, "sedgemere.yaml"), "--port", "0", "--catalogue", catalogue], {stdio: ["ignore", "pipe", "inherit"]});
const address = await new Promise((ok) => server.stdout.once("data", (data) => ok(String(data).trim())));
const key = /key=([^&]+)/.exec(new URL(address).hash)[1], origin = new URL(address).origin;
const post = async (path, body) => {
  const answer = await fetch(origin + path, {method: "POST", headers: {"Content-Type": "application/json", Authorization: `Bearer ${key}`}, body: JSON.stringify(body)});
  return {status: answer.status, body: await answer.json()};
};

/** Where two answers are apart; "" where they are not. The greatest distance of two numbers is kept. */
let greatest = 0, numbers = 0, shaky = 0;
function apart(a, b, at) {
  if (typeof a === "number" && typeof b === "number") {
    const distance = Math.abs(a - b) / Math.max(1, Math.abs(a));
    numbers++;
    greatest = Math.max(greatest, distance);
    shaky += Number(distance > TOLERANCE);
    return distance <= (at.endsWith(".measured.judged.flap_mm") ? LOOSE : SHAKY) ? "" : `${at}: ${a} ${b}`;
  }
  if (a === null || b === null || typeof a !== "object" || typeof b !== "object") return a === b ? "" : `${at}: ${JSON.stringify(a)} ${JSON.stringify(b)}`;
  const keys = Object.keys(a);
  if (keys.join() !== Object.keys(b).join()) return `${at}: keys ${keys} ${Object.keys(b)}`;
  if (at.endsWith(".measured") && a.from_mm && a.to_mm) {
    const length = (m) => Math.hypot(...m.from_mm.map((one, i) => one - m.to_mm[i]));
    const found = apart(length(a), length(b), `${at}, between its places`);
    if (found) return found;
    for (const m of [a, b]) m.from_mm = m.to_mm = null;
  }
  for (const one of keys) { const found = apart(a[one], b[one], `${at}.${one}`); if (found) return found; }
  return "";
}

// A generator of one's own, so that a run can be repeated.
let state = 20261128;
const random = () => { state = (state * 1664525 + 1013904223) >>> 0; return state / 2 ** 32; };

/** Changes as hands and entries make them. */
function changesFor(shape) {
  const changes = [], pulley = shape.pulleys[Math.floor(random() * shape.pulleys.length)];
  if (pulley.sits === "fixed") changes.push({path: `${pulley.name}.at`, value: pulley.centre_mm.map((one) => Math.round((one + random() * 8 - 4) * 1000) / 1000)});
  if (pulley.arm) changes.push({path: `${pulley.name}.arm.pivot`, value: pulley.arm.pivot_mm.map((one) => one + random() * 4 - 2)});
  if (pulley.slot && !pulley.slot.lock) changes.push({path: `${pulley.name}.slot.setting`, value: pulley.slot.length_mm * random()});
  if (random() < 0.3) changes.push({path: `${pulley.name}.diameter`, value: `${(pulley.diameter_mm / 25.4).toFixed(4)} in`});
  if (random() < 0.2) changes.push({path: "limits.clearance", value: random() < 0.5 ? 3 : -1});
  return changes;
}

/** Something of a drive whose distance may be asked. */
function thingOf({pulleys, obstacles, mounts, side}) {
  const any = (list) => list[Math.floor(random() * list.length)], kind = Math.floor(random() * 6);
  if (kind === 0 && obstacles.length) return {obstacle: any(obstacles).name};
  if (kind === 1 && mounts.length) return {mount: any(mounts).name, part: any(any(mounts).bolts).name};
  if (kind === 2 && side.blocks.length) { const block = any(side.blocks); return {[block.on_mount ? "mount" : "pulley"]: block.of, part: block.name}; }
  if (kind === 3) return {at: [random() * 200, random() * 200]};
  return {[kind === 4 ? "span" : "pulley"]: any(pulleys).name};
}

const {Core} = await pageModule("core"), {joined} = await pageModule("chart-join");
const core = await Core.load(`${origin}/core.wasm`);
check("the server has the core, and it loads", core !== null);
const charts = await Core.load(`${origin}/charts.wasm`);
check("and the one with charts and curves", charts !== null);
{
  const {printed} = await pageModule("lent");
  const wrong = readFileSync(join(folder, "printed.txt"), "utf8").split("\n").filter((line) => { const [kind, digits, number, text] = line.split(" "); return printed(Number(number), kind, Number(digits)) !== text; });
  check("numbers are printed as C prints them", wrong.length === 0, wrong.slice(0, 5).join("; "));
}
{
  const [packed, plain] = await Promise.all(["gzip", "identity"].map((way) => fetch(`${origin}/core.wasm`, {headers: {"Accept-Encoding": way}})));
  check("it is sent packed where that is accepted", packed.headers.get("content-encoding") === "gzip" && plain.headers.get("content-encoding") === null, [packed.headers.get("content-encoding"), plain.headers.get("content-encoding")].join());
  check("both ways it is the same", Buffer.from(await packed.arrayBuffer()).equals(Buffer.from(await plain.arrayBuffer())));
}
let own = 0, refused = 0, left = 0, measured = 0, judged = 0;
async function both(name, path, file, text, more) {
  const body = {file, text, changes: [], exact: true, ...more}, theirs = await post(path, body), ours = (path === "/api/lay" ? core : charts).ask(path, body);
  if (ours === null) { left++; return theirs; }
  if (ours.status === 200) own++; else refused++;
  const found = ours.status !== theirs.status ? `status ${theirs.status} ${ours.status}` : apart(theirs.body, ours.body, "");
  check(`${name} ${path}`, found === "", found);
  return theirs;
}

async function chart(file, text) {
  let {body: job} = await post("/api/chart", {file, text, changes: [], exact: true});
  const ours = charts.ask("/api/chart", {file, text, changes: [], exact: true});
  do {
    await new Promise((ok) => setTimeout(ok, 20));
    job = await (await fetch(`${origin}/api/job?id=${job.job}`, {headers: {Authorization: `Bearer ${key}`}})).json();
  } while (job.state === "running");
  const found = job.state !== "done" ? `the server's chart ${job.state}` : ours === null ? "the core has none" : apart(job.result, ours.body, "");
  check(`${file}: chart`, found === "", found);
  if (found === "") inParts(file, text, job.result);
}

/** The page shares a chart out among its workers, and joins what they make. */
let wholes = 0, parted = 0;
function inParts(file, text, whole) {
  const parts = [0, 1, 2, 3].map((part) => charts.ask("/api/chart", {file, text, changes: [], exact: true, builds_only: true, part: [part, 4]}));
  check(`${file}: chart in parts`, parts.every((part) => part?.status === 200), parts.map((part) => part?.status).join());
  const made = joined(parts.map((part) => part.body));
  wholes++;
  if (!made) return;
  parted++;
  for (const key of Object.keys(made)) { const found = apart(whole[key], made[key], `.${key}`); check(`${file}: chart in parts, ${key}`, found === "", found); }
}

const files = core ? readdirSync(folder).filter((name) => name.endsWith(".yaml")) : [];
for (const [i, file] of files.entries()) {
  const text = readFileSync(join(folder, file), "utf8"), snapshot = await post("/api/snapshot", {file, text});
  if (snapshot.status !== 200) { check(`${file}: no snapshot where the file is no YAML`, snapshot.status === 422, snapshot.status); continue; }
  for (const one of [core, charts]) one.open(file, text, snapshot.body.snapshot);
  check(`${file}: snapshot taken`, core.has(file, text));
  const first = await both(file, "/api/lay", file, text, {rpm: Math.round(500 + 6500 * random()), whole: true});
  const shape = first.body.geometry;
  if (!shape) continue;
  await both(`${file}, moved`, "/api/lay", file, text, {rpm: Math.round(500 + 6500 * random()), rate: random() < 0.5 ? 0 : Math.round(8000 * random() - 4000), whole: random() < 0.5, changes: changesFor(shape), units: random() < 0.3 ? "us" : undefined});
  const distance = await both(`${file}, measured`, "/api/lay", file, text, {rpm: 3000, whole: true, mount: true, measure: {view: random() < 0.5 ? "front" : "side", of: [thingOf(shape), thingOf(shape)]}});
  measured += Number(Boolean(distance.body.geometry?.measured));
  judged += Number(Boolean(distance.body.geometry?.measured?.judged));
  if (i % 5 === 0 || i < 10) await both(file, "/api/sweep", file, text, {points: 12});
  if (i % 25 === 0 || !file.startsWith("front-")) await chart(file, text);
}
const enough = Math.min(500, files.length);
check("most questions are answered by the core", own > 1.5 * enough && left < 0.02 * own, [own, refused, left]);
check("distances are among them, most of things that the program keeps apart", measured > 0.5 * enough && judged > 0.2 * enough, [measured, judged, enough]);
check("nearly every chart can be made in parts", parted > 0 && parted >= 0.8 * wholes, [parted, wholes]);
check("answers that refuse are among them", refused > 0, refused);
check("all but a few numbers agree to the tolerance", shaky <= SHAKY_SHARE * numbers, [shaky, numbers]);
check("numbers were compared", numbers > 100 * enough, numbers);

// What it must not answer: a file that it has no snapshot of, and what the snapshot lacks.
const text = readFileSync(join(folder, "sedgemere.yaml"), "utf8");
core.open("sedgemere.yaml", text, (await post("/api/snapshot", {file: "sedgemere.yaml", text})).body.snapshot);
check("another text is left to the server", core.ask("/api/lay", {file: "sedgemere.yaml", text: `${text} `, changes: [], rpm: 3000}) === null);
check("a unit that nobody noted is left to the server", core.ask("/api/lay", {file: "sedgemere.yaml", text, changes: [{path: "limits.clearance", value: "0.01 furlong"}], rpm: 3000}) === null);
check("a part that nobody noted is left to the server", core.ask("/api/lay", {file: "sedgemere.yaml", text, changes: [{path: "belt.part", value: "INV-1300"}], rpm: 3000}) === null);
const asked = {file: "sedgemere.yaml", text, changes: [], rpm: 3000};
for (const wrong of [{view: "above", of: [{at: [0, 0]}, {at: [1, 1]}]}, {view: "front", of: [{at: [0, 0]}]}, {view: "front", of: [{pulley: "crank", span: "crank"}, {at: [0, 0]}]}, {view: "front", of: [{part: "bolt"}, {at: [0, 0]}]}, {view: "side", of: [{at: [0, "1"]}, {at: [0, 0]}]}]) {
  const [theirs, ours] = [await post("/api/lay", {...asked, measure: wrong}), core.ask("/api/lay", {...asked, measure: wrong})];
  check(`refused: ${JSON.stringify(wrong)}`, theirs.status === 400 && ours?.status === 400 && theirs.body.errors[0].key === "measure", JSON.stringify(theirs.body));
}
check("a snapshot that is cut off is not taken", (core.open("sedgemere.yaml", text, Buffer.from("snub").toString("base64")), !core.has("sedgemere.yaml", text)));
console.log(`${numbers} numbers, ${shaky} of them over ${TOLERANCE} apart, at most ${greatest.toExponential(1)}; ${own} answers, ${refused} refusals, ${left} left to the server`);
server.kill();
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed ? 1 : 0);
