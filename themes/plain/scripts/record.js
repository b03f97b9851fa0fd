// The record sheet: whatever is ticked is a note; one press keeps it and clears the sheet for the next car.
// What is ticked stands in the address as well, so that a reload, or a store that is refused, loses nothing.
// needs: say, numbers, path, keeping, fitting, data/model, data/key, data/words

const { make, put, drawing, settleReach, afterPress } = guide.elements;
const say = guide.words(guide.key.words);
guide.parts.learn(guide.partWords);
Object.assign(guide.key.words, guide.moreWords);
const form = document.querySelector("[data-record]");
const reaches = Array.from(form.querySelectorAll("[name=reach]"));
const fieldsets = Array.from(form.querySelectorAll("[data-mark]"));
const told = document.querySelector("[data-told]");
const store = guide.keeping.open(guide.key.store, Date.now);
const prepared = guide.dating.prepare(guide.model, guide.key.words);
const vocabulary = guide.answers.vocabulary(guide.model, guide.key.formerly);

function boxesOf(fieldset) { return Array.from(fieldset.querySelectorAll("input")); }

function answers() {
  return fieldsets.map((fieldset) => {
    const boxes = boxesOf(fieldset).filter((box) => box.checked);
    const alone = boxes.find((box) => box.hasAttribute("data-alone"));
    const value = alone ? alone.value : boxes.map((box) => box.value).join("+");
    return value && guide.answers.read(guide.model.marks.find((mark) => mark.id === fieldset.dataset.mark), value);
  }).filter(Boolean);
}

function state() {
  return Object.assign(guide.path.empty(), { answers: answers(), car: form.elements.car.value.trim() || null });
}

function fill(from) {
  for (const fieldset of fieldsets) {
    const given = from.answers.find((one) => one.mark === fieldset.dataset.mark);
    for (const box of boxesOf(fieldset)) { box.checked = Boolean(given) && (given.forms.includes(box.value) || given.kind === box.value); }
  }
  const car = form.elements.car;
  if (car.value !== (from.car || "")) { car.value = from.car || ""; }   // what is being typed keeps its caret
}

// What is said of itself stands alone: changed, none, can't tell. Two forms ticked means both are there.
function settle(box) {
  const fieldset = box.closest("[data-mark]");
  if (!box.checked) { return; }
  for (const other of boxesOf(fieldset)) {
    if (other !== box && (box.hasAttribute("data-alone") || other.hasAttribute("data-alone"))) { other.checked = false; }
  }
}

function reachNow() { return reaches.filter((box) => box.checked).map((box) => box.value); }

function showReach() {
  const reach = reachNow();
  for (const fieldset of fieldsets) {
    const inPhotographs = fieldset.dataset.photographs === "yes" && reach.includes("photographs");
    if (fieldset.hasAttribute("data-always")) { continue; }
    fieldset.hidden = !reach.includes(fieldset.dataset.reach) && !inPhotographs;
  }
  form.querySelector("[data-reach-reply]").textContent = reach.length ? "" : say("pages.key.begin.reach_none");
  for (const area of form.querySelectorAll("[data-area]")) {
    area.hidden = !area.querySelector("[data-mark]:not([hidden])");
  }
}

// What paper goes without because there is too much of it comes to the screen by area, as that nears; its room is there before, so
// that nothing moves beneath what is pressed meanwhile.
const nearing = new IntersectionObserver((areas) => {
  for (const { target } of areas.filter((one) => one.isIntersecting)) { nearing.unobserve(target); target.dispatchEvent(new Event("near")); }
}, { rootMargin: "100%" });

function drawLater(area) {
  const near = new Promise((comes) => area.addEventListener("near", comes));
  for (const box of area.querySelectorAll(".form input")) {
    box.closest(".form").append(...[drawing(box.name, box.value, near)].filter(Boolean));
  }
  nearing.observe(area);
}

function clear() {
  form.reset();
  fill(guide.path.empty());
  showReach();
  window.history.replaceState(null, "", window.location.pathname + window.location.search);
  form.querySelector("[data-reply]").textContent = "";
  compareWithNumber();
}

form.addEventListener("change", (event) => {
  if (event.target.name === "reach") { settleReach(reaches, event.target); showReach(); return; }
  if (event.target.closest("[data-mark]")) { settle(event.target); }
  settleNumber();
  window.history.replaceState(null, "", guide.path.hashOf(state()));
  if (event.target.name === "car") { afterPress(tellOfNumber); } else { tellOfNumber(); }
});

// A note as the guide sends it may be pasted where the number goes: what it says is ticked.
function pasted() {
  const { value } = form.elements.car;
  const sent = value.includes("=") ? guide.path.readLine(value, vocabulary) : null;
  return sent && sent.answers.length ? sent : null;
}

form.elements.car.addEventListener("input", () => {
  const sent = pasted();
  if (!sent) { return; }
  fill(sent);
  window.history.replaceState(null, "", guide.path.hashOf(state()));
  tellOfNumber();
});

function tellOfNumber() {
  form.querySelector("[data-reply]").textContent = settleNumber();
  compareWithNumber();
}

// The number written as its series writes it; what is wrong with it, or "".
function settleNumber() { return guide.numbers.settle(form.elements.car, guide.model.numbers, say); }

function outcomeOf(now) {
  const read = now.car ? guide.numbers.read(now.car, guide.model.numbers) : {};
  return { read, outcome: read.written ? guide.fitting.outcome(prepared, guide.model, read.written, now.answers) : null };
}

// What the number says of the date, and of each part that is ticked how it compares: not before, lest anyone see what he
// is told to see.
function compareWithNumber() {
  const { read, outcome } = outcomeOf(state());
  form.querySelector("[data-dated]").textContent = outcome ? outcome.dated.sentences[0] : "";
  for (const fieldset of fieldsets) {
    const part = outcome && outcome.parts.find((one) => one.mark.id === fieldset.dataset.mark && one.given);
    let place = fieldset.querySelector("[data-compared]");
    if (!place) {
      if (!part) { continue; }
      place = make("p", { class: "small", role: "status", "data-compared": true });
      fieldset.append(place);
    }
    const said = part ? guide.fitting.said(say, part) : "";
    place.textContent = part && guide.fitting.differs(part.verdict) ? say("pages.record.differs", { verdict: said, car: read.written, forms: part.says }) : said;
  }
}

let accepted = "";                      // what is kept although its number does not fit

form.addEventListener("submit", (event) => {
  event.preventDefault();
  const now = state();
  told.hidden = false;
  if (!now.answers.length && !now.car && !form.elements.remarks.value.trim()) {
    put(told, make("p", {}, say("pages.record.empty")));
    return;
  }
  // a number that does not fit what is ticked is questioned before it is kept, and so is a tick for untouched
  const misfit = guide.dating.misfit(prepared, { answers: now.answers, car: now.car, reach: [], known: {} });
  const touched = misfit || !form.elements.untouched.checked ? "" : guide.fitting.touched(say, outcomeOf(now).outcome);
  if ((misfit || touched) && accepted !== JSON.stringify(now)) {
    put(told, make("p", {}, misfit || touched), make("p", { class: "small" }, say(misfit ? "pages.key.apart_number" : "pages.record.untouched_or")),
      make("button", { class: "button", type: "button", "data-keep-anyway": true, onclick: () => {
        accepted = JSON.stringify(now);
        form.querySelector("[type=submit]").click();
      } }, say("pages.key.keep_anyway")));
    window.scrollTo(0, 0);
    document.querySelector("h1").focus({ preventScroll: true });
    return;
  }
  const note = { car: now.car || "", answers: now.answers.map((one) => guide.answers.noted(say, guide.model.marks.find((mark) => mark.id === one.mark), one)), reach: [], edition: guide.model.edition, words: "",
    remarks: form.elements.remarks.value.trim(), untouched: form.elements.untouched.checked };
  const id = store.add(note);
  const reach = reachNow();
  clear();
  for (const box of reaches) { box.checked = reach.includes(box.value); }
  showReach();
  put(told, make("p", {}, guide.keeping.told(say, store), " ",
    make("button", { class: "press", type: "button", "data-undo": true, onclick: () => {
      store.remove(id);
      fill(now);
      form.elements.remarks.value = note.remarks;
      form.elements.untouched.checked = note.untouched;
      window.history.replaceState(null, "", guide.path.hashOf(now));
      told.hidden = true;
    } }, say("pages.notes.undo"))));
  window.scrollTo(0, 0);
  document.querySelector("h1").focus({ preventScroll: true });
});

// The sheet can be read and ticked before this runs: what was entered by then stands, a part's answer in the address before
// one that was ticked, and is taken as if it were entered now. A number that is still being typed is let be until it is left.
function begin() {
  const given = guide.path.readHash(window.location.hash, vocabulary);
  const entered = pasted() || state();
  reaches.filter((box) => box.checked && !box.defaultChecked).forEach((box) => settleReach(reaches, box));
  fill({ car: entered.car || given.car,
    answers: given.answers.concat(entered.answers.filter((one) => !given.answers.some((other) => other.mark === one.mark))) });
  afterPress(() => {
    if (given.lost.length) {
      told.hidden = false;
      put(told, given.lost.map((raw) => make("p", {}, guide.path.lostInWords(say, raw))));
    }
    showReach();
    if (document.body.classList.contains("in-words")) { form.querySelectorAll("[data-area]").forEach(drawLater); }
  });
  form.querySelector("[type=submit]").disabled = false;
  if (!entered.car && !entered.answers.length) { compareWithNumber(); return; }
  if (document.activeElement !== form.elements.car) { settleNumber(); }
  window.history.replaceState(null, "", guide.path.hashOf(state()));
  afterPress(document.activeElement === form.elements.car ? compareWithNumber : tellOfNumber);
}

begin();
