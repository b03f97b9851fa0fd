// In a preview alone: shows the page anew whenever it, or a file that it loads, is no longer the same.
// runs: by itself
"use strict";

document.addEventListener("LiveReloadConnect", function () {
  fetch("/preview-digest?page=" + encodeURIComponent(location.pathname), { cache: "no-store" }).then((answer) => answer.text()).then(function (digest) {
    if (digest !== document.documentElement.dataset.preview) location.reload();
  });
});

// What a finding says stands beside the statement that it speaks of, too.
document.addEventListener("DOMContentLoaded", function () {
  document.querySelectorAll(".preview-strip [data-beside^='row ']").forEach(function (told) {
    const row = document.querySelectorAll("#statements tbody tr")[Number(told.dataset.beside.slice(4))];
    if (!row || !row.lastElementChild) return;
    const note = document.createElement("small");
    note.className = "preview-note " + told.className;
    note.textContent = told.textContent;
    row.lastElementChild.append(note);
  });
});
