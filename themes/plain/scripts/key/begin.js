// Before the first look, and the mount of the whole key.

// A number that may go on although no table holds it: that proves nothing by itself.
const HARMLESS = ["not-in-tables", "outside"];

screens.begin = function (app, section) {
  const state = app.state;
  const form = section.querySelector("[data-begin]");
  setBack(app, guide.key.car, null);
  form.elements.car.value = state.car || "";
  for (const box of form.querySelectorAll("[name=reach]")) { box.checked = state.reach.includes(box.value); }
  const known = Object.keys(state.known)[0];
  form.elements["known-kind"].value = known || "";
  form.elements["known-when"].value = known ? state.known[known] : "";
  for (const reply of section.querySelectorAll(".reply")) { reply.textContent = ""; }
  const place = section.querySelector("[data-lost]");
  place.hidden = !state.lost.length && !app.impossible;
  put(place, app.impossible ? make("p", { class: "said" }, say("pages.key.impossible")) : null, lost(app));
  document.title = guide.key.title;
};

function beginForm(app, section) {
  const form = section.querySelector("[data-begin]");
  const reply = section.querySelector("[data-reply]");
  const boxes = Array.from(form.querySelectorAll("[name=reach]"));

  form.addEventListener("change", (event) => { settleReach(boxes, event.target); });

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const car = form.elements.car.value.trim();
    const reach = boxes.filter((box) => box.checked).map((box) => box.value);
    const state = guide.path.moved(app.state, { car: car || null, reach: reach.length ? reach : guide.key.usual, known: {} });
    const failure = app.numberOf(state).failure;
    reply.textContent = "";
    if (failure && !HARMLESS.includes(failure)) {
      reply.textContent = say("pages.number." + failure, { number: car });
      form.elements.car.focus();
      return;
    }
    if (!knownOf(form, state, section)) { return; }
    app.go(state);
  });

  section.querySelector("[data-read]").addEventListener("click", () => {
    const state = guide.path.readLine(form.elements.sent.value, app.vocabulary);
    const reply = section.querySelector("[data-sent-reply]");
    reply.textContent = "";
    if (!state.answers.length && !state.lost.length) { reply.textContent = say("pages.key.begin.sent_nothing"); return; }
    if (!state.reach.length) { state.reach = app.state.reach; }
    app.go(Object.assign(state, { at: "result" }));
  });
}

function knownOf(form, state, section) {
  const kind = form.elements["known-kind"].value;
  const when = form.elements["known-when"].value.trim();
  const reply = section.querySelector("[data-known-reply]");
  reply.textContent = "";
  if (!kind || !when) { return true; }
  if (kind !== "model-year" && !guide.days.read(when)) {
    reply.textContent = say("pages.key.begin.known_odd", { found: when });
    form.elements["known-when"].focus();
    return false;
  }
  state.known[kind] = when;
  return true;
}

function mount() {
  const root = document.querySelector("main");
  const back = document.querySelector("[data-back]");
  back.dataset.back = back.getAttribute("href");
  const app = App(root);
  beginForm(app, root.querySelector('[data-screen="begin"]'));
  window.addEventListener("popstate", () => app.show(true));
  app.show(false);
}

document.addEventListener("DOMContentLoaded", mount);
