// Bundles the page into dist/: one script, one style sheet, one document, one mark.
import {build} from "esbuild";
import {copyFileSync, mkdirSync} from "node:fs";
import {dirname, join} from "node:path";
import {fileURLToPath} from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const out = process.argv[2] ?? join(here, "dist");
mkdirSync(out, {recursive: true});
await build({
  absWorkingDir: here,
  entryPoints: {page: "src/main.ts", style: "src/style.css"},
  bundle: true, minify: true, target: ["es2022"], format: "esm", charset: "utf8", legalComments: "none",
  outdir: out, logLevel: "warning",
});
for (const name of ["index.html", "mark.svg"]) copyFileSync(join(here, "src", name), join(out, name));
