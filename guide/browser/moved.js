// At an old address: leads on to the new one, with the part of the page that was asked for.

const there = new URL(document.currentScript.dataset.to, window.location.href);
if (window.location.hash && !there.hash) {
  there.hash = window.location.hash;
  window.location.replace(there.href);
}
