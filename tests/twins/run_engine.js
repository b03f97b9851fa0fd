// Runs the browser's engine in node: node run_engine.js PROJECT, then one JSON line in, one JSON line out.
// A line is {"model": TEXT, "words": {...}} (use this model from now on) or {"session": {...}}, answered by
// {"concluded": ..., "explained": ...} or {"error": words}.
"use strict";
const fs = require("fs");
const path = require("path");
const vm = require("vm");
const readline = require("readline");

const root = process.argv[2];
for (const name of ["say", "numbers", "engine", "engine-belief", "engine-result", "engine-look", "engine-says"]) {
  const file = path.join(root, "guide", "browser", name + ".js");
  vm.runInThisContext(fs.readFileSync(file, "utf8"), { filename: file });
}
const guide = globalThis.guide;
let prepared = null;
readline.createInterface({ input: process.stdin }).on("line", (line) => {
  const asked = JSON.parse(line);
  if (asked.model) {
    prepared = guide.engine.prepare(JSON.parse(asked.model), asked.words);
    return;
  }
  let answer;
  try {
    answer = { concluded: guide.engine.conclude(prepared, asked.session), explained: guide.engine.explain(prepared, asked.session) };
  } catch (error) {
    answer = { error: String(error.stack) };
  }
  process.stdout.write(JSON.stringify(answer) + "\n");
});
