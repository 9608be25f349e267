// build.mjs OUT [CORE [ZOPFLI]]: bundles the page into OUT: one script, one for its workers, one for its curves, one for logs, one and a style sheet for its view of motion, one style sheet, one document,
// one mark, and the core where there is one; each also as it is sent, compressed: by zopfli where it is there (a twentieth smaller).
import {build} from "esbuild";
import {execFileSync} from "node:child_process";
import {copyFileSync, mkdirSync, readdirSync, readFileSync, writeFileSync} from "node:fs";
import {dirname, join} from "node:path";
import {fileURLToPath} from "node:url";
import {gzipSync} from "node:zlib";

const here = dirname(fileURLToPath(import.meta.url));
const out = process.argv[2] ?? join(here, "dist");
mkdirSync(out, {recursive: true});
await build({
  absWorkingDir: here,
  entryPoints: {page: "src/main.ts", "chart-worker": "src/chart-worker.ts", plot: "src/plot.ts", log: "src/log.ts", motion: "src/motion.ts", style: "src/style.css"},
  bundle: true, minify: true, target: ["es2022"], format: "esm", charset: "utf8", legalComments: "none",
  outdir: out, logLevel: "warning",
});
const style = readFileSync(join(out, "style.css"), "utf8"), known = new Set([...style.matchAll(/(--[\w-]+):/g)].map((m) => m[1]));
const unknown = [...new Set([...style.matchAll(/var\((--[\w-]+)\)/g)].map((m) => m[1]))].filter((name) => !known.has(name));
if (unknown.length) throw new Error(`style sheets use ${unknown.join(", ")}, which none sets`);
for (const name of ["index.html", "mark.svg"]) copyFileSync(join(here, "src", name), join(out, name));
const [core, zopfli] = process.argv.slice(3);
if (core) copyFileSync(core, join(out, "core.wasm"));
if (core && zopfli) copyFileSync(`${core}.gz`, join(out, "core.wasm.gz"));
const made = readdirSync(out), files = made.filter((file) => !file.endsWith(".gz") && !made.includes(`${file}.gz`)).map((name) => join(out, name));
if (zopfli) execFileSync(zopfli, ["--gzip", ...files]);
else for (const file of files) writeFileSync(`${file}.gz`, gzipSync(readFileSync(file), {level: 9}));
