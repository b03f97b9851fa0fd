// Elements of a page, made here and nowhere else: from what they are called, from drawings, from choices.
// needs: parts
// in: car

const SVG = "http://www.w3.org/2000/svg";

// make("p", {class: "small", hidden: true, onclick: f}, "text", element, [more]...) -> element
function make(tag, attributes, ...inside) { return fill(document.createElement(tag), attributes, inside); }

function svg(tag, attributes, ...inside) { return fill(document.createElementNS(SVG, tag), attributes, inside); }

function fill(element, attributes, inside) {
  for (const [name, value] of Object.entries(attributes || {})) {
    if (name.startsWith("on")) { element.addEventListener(name.slice(2), value); }
    else if (value === true) { element.setAttribute(name, ""); }
    else if (value !== false && value !== null && value !== undefined) { element.setAttribute(name, value); }
  }
  element.append(...inside.flat(2).filter((piece) => piece !== null && piece !== undefined && piece !== ""));
  return element;
}

// Replaces what an element holds.
function put(element, ...inside) {
  element.replaceChildren();
  return fill(element, {}, inside);
}

// A list to choose from; `choices` are [value, words], `chosen` calls back with the value.
function select(id, choices, value, chosen) {
  const made = make("select", { class: "entry", id, onchange: () => chosen(made.value) },
    choices.map((choice) => make("option", { value: choice[0], selected: choice[0] === value }, choice[1])));
  return made;
}

// The drawing of an answer: a copy of the one that the page holds in a template, or a place that it takes once it is fetched; null
// where there is none, and its words stand alone. What comes true once it nears may be given: it is not fetched before.
function drawing(mark, form, near) {
  const template = document.querySelector('template[data-drawing="' + mark + "/" + form + '"]');
  const held = template && template.content.firstElementChild;
  if (held) { return held.cloneNode(true); }
  const at = guide.parts.whereDrawn(mark, form);
  return at ? drawingLater(at, near) : null;
}

// Where the guide tells of a part: of one form on its own page, where it has one; nothing where there is no page. `links` are those of
// data/key.js.
function pageOf(links, mark, forms) {
  return (forms.length === 1 && (links.forms[mark] || {})[forms[0]]) || guide.parts.pageOf(mark) || links.marks[mark];
}

// A sample of a colour, in six hex digits, beside the words that name it; null of none.
function swatch(colour) {
  return colour ? svg("svg", { class: "swatch", viewBox: "0 0 40 40", "aria-hidden": "true" },
    svg("path", { fill: "#" + colour, d: "M0 0H40V40H0Z" })) : null;
}

function drawn(at) {
  const held = guide.parts.drawing(at);
  if (!held || typeof held !== "string") { return held ? make("img", Object.assign({ class: "photograph", alt: "" }, held)) : null; }
  return document.importNode(new DOMParser().parseFromString(
    '<svg xmlns="' + SVG + '" class="drawing" aria-hidden="true" ' + held, "image/svg+xml").documentElement, true);
}

// The drawing at a place such as 3/switches/toggle, or what keeps its room until its area's file is there; a page opened without its
// folder does without.
function drawingLater(at, near) {
  const there = drawn(at);
  if (there) { return there; }
  const place = svg("svg", { class: "drawing", viewBox: "0 0 240 160", "aria-hidden": "true" });
  Promise.resolve(near).then(() => guide.parts.fetchArea(parseInt(at, 10))).then(() => afterPress(() => {
    const came = drawn(at);
    if (came) { place.replaceWith(came); } else { place.remove(); }
  }));
  return place;
}

// Photographs stand alone: who has only those cannot also open a door, and the other way round.
function settleReach(boxes, changed) {
  if (changed.name !== "reach" || !changed.checked) { return; }
  for (const box of boxes) {
    if ((box.value === "photographs") !== (changed.value === "photographs")) { box.checked = false; }
  }
}

// What a field has to say once it is left, said when no press is under way: text that came between press and click would move what is
// being pressed, and the press would be lost. A finger's press reaches the field only after it is lifted, as a mouse's that a slow phone
// may make of it late: the click ends it, or where none comes, a little time.
const NO_CLICK = 500;
let pressed = Boolean(globalThis.document && document.querySelector(":active"));   // begun before this ran, it may be
let unsaid = [];
let wait;

function afterPress(say) { if (pressed) { unsaid.push(say); } else { say(); } }

function endPress() {
  pressed = false;
  const held = unsaid;
  unsaid = [];
  held.forEach((say) => say());
}

function endPressIn(time) {
  clearTimeout(wait);
  wait = setTimeout(endPress, time);
}

if (globalThis.document) {                                     // this file is read without a page, too
  const at = (what, act) => document.addEventListener(what, act, true);
  for (const begun of ["pointerdown", "mousedown"]) { at(begun, () => { clearTimeout(wait); pressed = true; }); }
  for (const lifted of ["pointerup", "mouseup"]) { at(lifted, () => endPressIn(NO_CLICK)); }
  at("pointercancel", () => endPressIn(0));
  at("click", () => endPressIn(0));
}

// Hands the browser a file made here; nothing is sent anywhere.
function download(name, type, text) {
  const address = URL.createObjectURL(new Blob([text], { type }));
  const link = make("a", { href: address, download: name, hidden: true });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
}

guide.elements = { make, svg, put, select, drawing, pageOf, swatch, drawingLater, settleReach, afterPress, download };
