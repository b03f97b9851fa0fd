// In a preview alone: shows the page anew whenever the site has been made anew and is no longer the same.
// runs: by itself
"use strict";

document.addEventListener("LiveReloadConnect", function () {
  fetch("/preview-digest", { cache: "no-store" }).then((answer) => answer.text()).then(function (digest) {
    if (digest !== document.documentElement.dataset.preview) location.reload();
  });
});
