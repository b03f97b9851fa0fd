// In a preview alone: shows the page anew whenever it, or a file that it loads, is no longer the same.
// runs: by itself
"use strict";

document.addEventListener("LiveReloadConnect", function () {
  fetch("/preview-digest?page=" + encodeURIComponent(location.pathname), { cache: "no-store" }).then((answer) => answer.text()).then(function (digest) {
    if (digest !== document.documentElement.dataset.preview) location.reload();
  });
});
