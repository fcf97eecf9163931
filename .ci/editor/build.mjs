// Builds ../../linter/desk/page/editor.js and ../../linter/desk/page/editor.licences.txt:  npm ci && npm run build
// The same lock file gives the same bytes, which tests/desk/test_editor_build.py checks.
import { readFileSync, writeFileSync } from "node:fs";
import { build } from "esbuild";

const made = await build({
  entryPoints: ["entry.js"],
  bundle: true,
  minify: true,
  format: "esm",
  target: "es2022",
  charset: "ascii",
  legalComments: "none",
  metafile: true,
  write: false,
  banner: { js: "/* CodeMirror 6 and what it stands on, in one file: editor.licences.txt names each part and its licence. */" },
});
writeFileSync("../../linter/desk/page/editor.js", made.outputFiles[0].contents);

const parts = [...new Set(Object.keys(made.metafile.inputs).map((path) => /^node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(path)?.[1]))];
const notices = parts.filter(Boolean).sort().map((part) => {
  const { version, license } = JSON.parse(readFileSync(`node_modules/${part}/package.json`, "utf8"));
  return `${part} ${version} (${license})\n\n${readFileSync(`node_modules/${part}/LICENSE`, "utf8").trim()}\n`;
});
writeFileSync("../../linter/desk/page/editor.licences.txt", `The file editor.js is made of these packages.\n\n${notices.join(`\n${"-".repeat(72)}\n\n`)}`);
console.log(`${made.outputFiles[0].contents.length} bytes from ${notices.length} packages`);
