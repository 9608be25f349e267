// build.mjs OUT [CORE]: bundles the page into OUT: one script, one for its workers, one style sheet, one document, one mark, and the core where
// there is one; each also as it is sent, compressed.
import {build} from "esbuild";
import {copyFileSync, mkdirSync, readdirSync, readFileSync, writeFileSync} from "node:fs";
import {dirname, join} from "node:path";
import {fileURLToPath} from "node:url";
import {gzipSync} from "node:zlib";

const here = dirname(fileURLToPath(import.meta.url));
const out = process.argv[2] ?? join(here, "dist");
mkdirSync(out, {recursive: true});
await build({
  absWorkingDir: here,
  entryPoints: {page: "src/main.ts", "chart-worker": "src/chart-worker.ts", style: "src/style.css"},
  bundle: true, minify: true, target: ["es2022"], format: "esm", charset: "utf8", legalComments: "none",
  outdir: out, logLevel: "warning",
});
const style = readFileSync(join(out, "style.css"), "utf8"), known = new Set([...style.matchAll(/(--[\w-]+):/g)].map((m) => m[1]));
const unknown = [...new Set([...style.matchAll(/var\((--[\w-]+)\)/g)].map((m) => m[1]))].filter((name) => !known.has(name));
if (unknown.length) throw new Error(`style sheets use ${unknown.join(", ")}, which none sets`);
for (const name of ["index.html", "mark.svg"]) copyFileSync(join(here, "src", name), join(out, name));
const core = process.argv[3];
if (core) copyFileSync(core, join(out, "core.wasm"));
for (const name of readdirSync(out).filter((file) => !file.endsWith(".gz"))) writeFileSync(join(out, `${name}.gz`), gzipSync(readFileSync(join(out, name)), {level: 9}));
