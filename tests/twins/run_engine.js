// Runs the browser's half of the dating in node, a line of JSON at a time: {"scripts": [[NAME, TEXT], ...]} runs these,
// {"model": TEXT, "words": {...}} is used from then on, {"session": {...}} is answered by a line of JSON,
// {"concluded": ..., "explained": ..., "reasons": ...} or {"error": words}.
"use strict";
const vm = require("vm");
const readline = require("readline");

let prepared = null;
readline.createInterface({ input: process.stdin }).on("line", (line) => {
  const asked = JSON.parse(line);
  if (asked.scripts) {
    for (const [name, text] of asked.scripts) { vm.runInThisContext(text, { filename: name }); }
    return;
  }
  if (asked.model) {
    prepared = globalThis.guide.dating.prepare(JSON.parse(asked.model), asked.words);
    return;
  }
  const { conclude, explain, reasons } = globalThis.guide.dating;
  let answer;
  try {
    answer = { concluded: conclude(prepared, asked.session), explained: explain(prepared, asked.session), reasons: reasons(prepared, asked.session) };
  } catch (error) {
    answer = { error: String(error.stack) };
  }
  process.stdout.write(JSON.stringify(answer) + "\n");
});
