// Makes a buyer's sheet for a chassis number, or for what an advert tells. What is asked stands in the address,
// after the #, so that a sheet can be kept as a bookmark and nothing is sent anywhere.
// needs: elements, buying, data/model, data/sheets, print

const { make, put, drawingLater } = guide.elements;
const say = guide.words(guide.sheetData.words);
const ADVERT = ["body", "year", "colour"];

function entry(one) {
  return make("div", { class: "item" }, make("span", { class: "tick" }), drawingLater(one.picture),
    make("p", {}, make("b", {}, make("a", { href: one.path }, one.name)), one.says, one.hint ? [" ", make("i", {}, one.hint)] : null));
}

const place = (one) => make("section", {}, make("h2", { class: "place" }, one.heading), one.entries.map(entry));

// What is asked, out of the address: {car, year, body, colour}; null where nothing is.
function readAddress() {
  const given = new URLSearchParams(window.location.hash.slice(1));
  const asked = { car: given.get("--car") || "" };
  ADVERT.forEach((name) => { asked[name] = given.get(name) || ""; });
  return asked.car || ADVERT.some((name) => asked[name]) ? asked : null;
}

function addressOf(asked) {
  const given = new URLSearchParams();
  if (asked.car) { given.set("--car", asked.car); }
  ["year", "body", "colour"].forEach((name) => { if (asked[name]) { given.set(name, asked[name]); } });
  return "#" + given.toString();
}

// The sheet's heading: the number, or what the advert tells.
function titleOf(asked, read, form) {
  if (read) { return say("pages.sheets.for_car", { car: guide.sheetData.car, number: read.written }); }
  const told = ADVERT.filter((name) => asked[name]).map(function (name) {
    const field = form.elements[name];
    return field.selectedOptions.length ? field.selectedOptions[0].textContent.toLowerCase() : asked[name];
  });
  return say("pages.sheets.for_advert", { car: guide.sheetData.car, told: told.join(", ") });
}

function mount() {
  const form = document.querySelector("[data-buy]");
  const page = (name) => document.querySelector("[data-" + name + "]");
  const prepared = guide.dating.prepare(guide.model, guide.sheetData.words);
  const reply = page("reply");

  // The number that is asked for, or null for none; one that cannot be used is told.
  function numberOf(text) {
    const read = text ? guide.numbers.read(text, guide.model.numbers) : null;
    reply.textContent = read ? guide.numbers.failure(say, read, text) : "";
    return read;
  }

  function choose() {
    page("choose").hidden = false;
    page("sheet").hidden = true;
    document.title = page("choose").querySelector("h1").textContent;
  }

  function show(asked) {
    form.elements.car.value = asked.car;
    ADVERT.forEach((name) => { form.elements[name].value = asked[name]; });
    const read = numberOf(asked.car);
    if (read && read.failure) { choose(); form.elements.car.focus(); return; }
    let plan;
    try {
      const session = guide.buying.sessionFor(guide.model, guide.sheetData, Object.assign({}, asked, { car: read ? read.written : "" }));
      plan = guide.buying.plan(guide.sheetData, prepared, session);
    } catch (unknown) {                                      // an old bookmark, or no car could be like this
      choose();
      reply.textContent = say("pages.sheets.impossible");
      return;
    }
    page("title").textContent = titleOf(asked, read, form);
    page("when").textContent = plan.dated.sentences.slice(0, 1).join(" ");
    put(page("lines"), plan.lines.map((one) => make("li", {}, make("b", {}, one.name + ": "), one.says)));
    put(page("places"), plan.places.map(place));
    page("others").hidden = !plan.lines.length;
    page("choose").hidden = true;
    page("sheet").hidden = false;
    document.title = page("title").textContent;
    page("title").focus();
    window.scrollTo(0, 0);
  }

  function follow() {
    const asked = readAddress();
    if (asked) { show(asked); } else { choose(); }
  }

  form.hidden = false;
  form.addEventListener("submit", function (event) {
    event.preventDefault();
    const asked = { car: form.elements.car.value.trim() };
    ADVERT.forEach((name) => { asked[name] = form.elements[name].value; });
    const read = numberOf(asked.car);
    if (!read && !ADVERT.some((name) => asked[name])) { reply.textContent = say("pages.sheets.nothing"); return; }
    if (read && read.failure) { form.elements.car.focus(); return; }
    if (window.location.hash === addressOf(asked)) { show(asked); } else { window.location.hash = addressOf(asked); }
  });
  page("again").addEventListener("click", function (event) {
    event.preventDefault();
    window.location.hash = "";
    form.elements.car.focus();
  });
  window.addEventListener("hashchange", follow);
  follow();
}

document.addEventListener("DOMContentLoaded", mount);
