// Bright sun: black on white with heavier strokes, on request. Runs before the page is drawn, so that nothing
// flashes. The choice is remembered where the browser keeps things, and carried in the address (?light=) where
// it does not: opened from a disk, some browsers keep a store of their own for every single file.
// runs: early

const NAME = "running-change:light";
const root = document.documentElement;
const CHOICES = ["sun", "plain"];

function stored() {
  try { return window.localStorage.getItem(NAME); } catch (refused) { return null; }
}

// Tells whether the choice will be found again on the next page.
function keep(choice) {
  try {
    window.localStorage.setItem(NAME, choice);
    return window.location.protocol !== "file:" && window.localStorage.getItem(NAME) === choice;
  } catch (refused) { return false; }
}

const asked = /[?&]light=(sun|plain)(?=&|$)/.exec(window.location.search);
let choice = asked ? asked[1] : stored();
if (!CHOICES.includes(choice)) { choice = null; }
let kept = choice === null || keep(choice);

function show() {
  if (choice) { root.setAttribute("data-light", choice); }
  for (const button of document.querySelectorAll("[data-sun]")) {
    button.setAttribute("aria-pressed", String(choice === "sun"));
  }
}

// The address of a page with the choice in it. Only our own pages are touched.
function carried(href) {
  const here = new URL(href, window.location.href);
  if (here.protocol !== window.location.protocol || here.host !== window.location.host) { return href; }
  here.searchParams.set("light", choice);
  return here.href;
}

function press() {
  choice = choice === "sun" ? "plain" : "sun";
  kept = keep(choice);
  if (!kept) { window.history.replaceState(window.history.state, "", carried(window.location.href)); }
  show();
}

root.setAttribute("data-scripts", "");
show();
document.addEventListener("DOMContentLoaded", show);
document.addEventListener("click", (event) => {
  const target = event.target instanceof Element ? event.target : null;
  if (!target) { return; }
  if (target.closest("[data-sun]")) { press(); return; }
  const link = target.closest("a[href]");
  if (!link || kept || !choice || link.getAttribute("href").startsWith("#") || link.hasAttribute("download")) { return; }
  link.href = carried(link.href);
}, true);
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (kept || !choice || form.method !== "get" || form.querySelector("[name=light]")) { return; }
  const field = document.createElement("input");
  field.type = "hidden";
  field.name = "light";
  field.value = choice;
  form.append(field);
}, true);
