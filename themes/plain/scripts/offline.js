// The hosted guide on a phone: registers the worker, says truly whether the whole guide is held, and offers a new
// edition without ever forcing it. Opened from a disk there is no worker; then the start page says which way
// suits which device. Sentences stand in the page.

const top = new URL("..", document.currentScript.src).href;
const hosted = /^https?:$/.test(window.location.protocol);

// Does something once nothing is being pressed: what comes unasked would move that from under the finger.
function unpressed(act) {
  if (document.querySelector(":active")) { window.setTimeout(() => unpressed(act), 100); } else { act(); }
}

// Shows the one line that is true here; some are worded for a phone and for a computer.
let told = "";
function tell(kind) {
  told = kind;
  unpressed(function () {
    const device = window.matchMedia("(pointer: fine)").matches ? "computer" : "phone";
    document.querySelectorAll("[data-offline] [data-when]").forEach(function (line) {
      line.hidden = line.dataset.when !== told || (line.dataset.on || device) !== device;
    });
  });
}

// Asks the worker something; false where it does not answer.
function ask(worker, question, seconds) {
  return new Promise(function (resolve) {
    const channel = new MessageChannel();
    channel.port1.onmessage = (event) => resolve(event.data);
    worker.postMessage(question, [channel.port2]);
    window.setTimeout(() => resolve(false), seconds * 1000);
  });
}

// Shows the offer wherever no question is on the screen: there it would move the answers under a finger.
function show(place) {
  const asking = () => Boolean(document.querySelector('[data-screen="look"]:not([hidden])'));
  const draw = () => { place.hidden = asking(); };
  new MutationObserver(draw).observe(
    document.querySelector("main"), { attributes: true, attributeFilter: ["hidden"], subtree: true });
  unpressed(draw);
}

// Says on what this page's edition is wrong, as the newer one's worker has it.
async function tellWhatIsWrong(worker, place) {
  const own = document.querySelector('meta[name="edition"]').dataset.name;
  const wrong = await ask(worker, { wrongIn: own }, 10) || "";
  unpressed(() => { place.textContent = wrong; });
}

function offer(registration) {
  const place = document.querySelector("[data-newer]");
  if (!place || !registration.waiting || !navigator.serviceWorker.controller) { return; }
  show(place);
  tellWhatIsWrong(registration.waiting, place.querySelector("[data-newer-says]"));
  place.querySelector("[data-newer-take]").addEventListener("click", function () {
    navigator.serviceWorker.addEventListener("controllerchange", () => window.location.reload());
    registration.waiting.postMessage("take over");
  }, { once: true });
}

function watch(registration, coming) {
  if (!coming) { return; }
  coming.addEventListener("statechange", function () {
    if (coming.state === "installed") { offer(registration); }
    if (coming.state === "redundant" && !registration.active) { tell("failed"); }
  });
}

async function keep() {
  tell("fetching");
  let registration;
  try {
    registration = await navigator.serviceWorker.register(top + "worker.js", { scope: top });
  } catch (refused) {
    tell("cannot");
    return;
  }
  offer(registration);
  watch(registration, registration.installing); // the browser may have begun before this page asked
  registration.addEventListener("updatefound", () => watch(registration, registration.installing));
  const ready = await navigator.serviceWorker.ready;
  if (await ask(ready.active, "whole?", 10)) { tell("held"); return; }
  tell("fetching"); // the browser threw something away without a word
  tell(await ask(ready.active, "make whole", 600) ? "held" : "failed");
}

document.addEventListener("DOMContentLoaded", function () {
  if (!hosted) { tell("disk"); return; }
  const here = window.location.origin + window.location.pathname;   // printed with the page, for whoever holds the paper
  document.querySelectorAll("[data-address]").forEach((place) => { place.textContent = here; });
  if (!("serviceWorker" in navigator)) { tell(window.isSecureContext ? "cannot" : "insecure"); return; }
  const manifest = document.createElement("link");
  manifest.rel = "manifest";
  manifest.href = top + "manifest.webmanifest";
  document.head.append(manifest);
  keep();
});
