// build.mjs OUT [CORE [ZOPFLI]]: bundles the page into OUT: a script for what is seen when it opens, one for each part that is sent when it is first
// wanted and one with what they share; one for its workers, one for plots, one for logs, one and a style sheet for its view of motion, a style sheet for what is seen and one for what comes, one document, one mark, and the core where
// there is one; each also as it is sent, compressed: by zopfli where it is there (a twentieth smaller).
import {build} from "esbuild";
import {execFileSync} from "node:child_process";
import {copyFileSync, mkdirSync, readdirSync, readFileSync, writeFileSync} from "node:fs";
import {dirname, join} from "node:path";
import {fileURLToPath} from "node:url";
import {gzipSync} from "node:zlib";

const here = dirname(fileURLToPath(import.meta.url));
const out = process.argv[2] ?? join(here, "dist");
mkdirSync(out, {recursive: true});
const common = {absWorkingDir: here, bundle: true, minify: true, target: ["es2022"], format: "esm", charset: "utf8", legalComments: "none", outdir: out, logLevel: "warning"};
await build({...common, entryPoints: {"chart-worker": "src/chart-worker.ts", plot: "src/plot.ts", log: "src/log.ts", motion: "src/motion.ts", style: "src/style.css", later: "src/later.css"}});
// A part's name has its hash: a page that is open never takes a part of another build, whose names inside differ.
const {metafile} = await build({...common, entryPoints: {page: "src/main.ts"}, splitting: true, metafile: true});
const shared = Object.entries(metafile.outputs).filter(([, of]) => !of.entryPoint).map(([name]) => name);
if (shared.length !== 1) throw new Error(`the page's scripts share ${shared.join(", ")}: src/shared.ts must list what is in all but one of them`);
// Under another name each time that it failed: a browser does not ask again for a script that it once could not have.
const main = join(out, "page.js"), script = readFileSync(main, "utf8"), later = /import\("(\.\/[\w-]+\.js)"\)/g;
if (!script.match(later)) throw new Error("the page has no parts that are sent later");
writeFileSync(main, `const tries={},part=async n=>{try{return await import(n+(tries[n]?"?"+tries[n]:""))}catch(e){tries[n]=1+(tries[n]??0);throw e}};${script.replace(later, 'part("$1")')}`);
const style = ["style", "later"].map((name) => readFileSync(join(out, `${name}.css`), "utf8")).join(""), known = new Set([...style.matchAll(/(--[\w-]+):/g)].map((m) => m[1]));
const unknown = [...new Set([...style.matchAll(/var\((--[\w-]+)\)/g)].map((m) => m[1]))].filter((name) => !known.has(name));
if (unknown.length) throw new Error(`style sheets use ${unknown.join(", ")}, which none sets`);
for (const name of ["index.html", "mark.svg"]) copyFileSync(join(here, "src", name), join(out, name));
const [core, zopfli] = process.argv.slice(3);
for (const name of core ? ["core.wasm", "charts.wasm"] : []) { // the second has charts and curves as well
  copyFileSync(join(dirname(core), name), join(out, name));
  if (zopfli) copyFileSync(join(dirname(core), `${name}.gz`), join(out, `${name}.gz`));
}
const made = readdirSync(out), files = made.filter((file) => !file.endsWith(".gz") && !made.includes(`${file}.gz`)).map((name) => join(out, name));
if (zopfli) execFileSync(zopfli, ["--gzip", ...files]);
else for (const file of files) writeFileSync(`${file}.gz`, gzipSync(readFileSync(file), {level: 9}));
