// Makes a buyer's sheet for a chassis number, for what an advert tells, or for what the key was told of photographs. What
// is asked stands in the address, after the #, so that a sheet can be kept as a bookmark and nothing is sent anywhere.
// needs: elements, path, buying, data/model, data/words, data/sheets, print

const { make, put, drawingLater } = guide.elements;
const say = guide.words(guide.sheetData.words);
guide.parts.learn(guide.partWords);
const ADVERT = ["body", "year", "month", "colour"];
const vocabulary = guide.answers.vocabulary(guide.model, guide.sheetData.formerly);

function entry(one) {
  return make("div", { class: one.pictures.length > 1 ? "item both" : "item" }, make("span", { class: "tick" }), one.pictures.map(drawingLater),
    make("p", {}, make("b", {}, make("a", { href: one.path }, one.name)), one.says, one.hint ? [" ", make("i", {}, one.hint)] : null));
}

const place = (one) => make("section", {}, make("h2", { class: "place" }, one.heading), one.entries.map(entry));

// What is asked, out of what can be read of the address: {car, year, month, body, colour, seen}; null where nothing is. An address of the key
// is read as the key reads it, but for the body, which is chosen here too.
function readAddress(address) {
  const given = new URLSearchParams(address);
  const seen = guide.path.readHash(address, vocabulary);
  const asked = { car: given.get("--car") || "", seen };
  ADVERT.forEach((name) => { asked[name] = given.get(name) || ""; });
  const [year, month, day] = (seen.known.registered || "").split("-");
  if (year && !day && !asked.year) { Object.assign(asked, { year, month: month || "" }); }
  seen.answers = seen.answers.filter((one) => one.mark !== "body" || one.forms.join("+") !== asked.body);
  return asked.car || seen.answers.length || Object.keys(seen.known).length || ADVERT.some((name) => asked[name]) ? asked : null;
}

function addressOf(asked) {
  const given = new URLSearchParams();
  ADVERT.forEach((name) => { if (asked[name]) { given.set(name, asked[name]); } });
  const seen = guide.path.hashOf(Object.assign(guide.path.empty(), { car: asked.car || null }, asked.seen && { answers: asked.seen.answers, known: asked.seen.known })).slice(1);
  return "#" + [given.toString(), seen].filter(Boolean).join("&");
}

// The sheet's heading: the number, or what the advert tells.
function titleOf(asked, read, form) {
  if (read) { return say("pages.sheets.for_car", { car: guide.sheetData.car, number: read.written }); }
  const told = ADVERT.filter((name) => asked[name] && name !== "month").map(function (name) {
    if (name === "year" && asked.month) { return say.monthYear(asked.year + "-" + asked.month + "-01"); }
    const field = form.elements[name];
    return field.selectedOptions.length ? field.selectedOptions[0].textContent.toLowerCase() : asked[name];
  });
  const n = asked.seen ? asked.seen.answers.filter((one) => one.forms.length).length : 0;
  if (n) { told.push(say("pages.sheets.seen", { n, count: say.count(n) })); }
  return told.length ? say("pages.sheets.for_advert", { car: guide.sheetData.car, told: told.join(", ") }) : guide.sheetData.car;
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
    document.body.classList.remove("choosing");
    document.title = page("choose").querySelector("h1").textContent;
  }

  function fill(asked) {
    form.elements.car.value = asked.car;
    ADVERT.forEach((name) => { form.elements[name].value = asked[name]; });
  }

  function show(asked) {
    fill(asked);
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
    page("when").textContent = [plan.dated.sentences[0], plan.dated.basis].filter(Boolean).join(" ");
    put(page("lines"), plan.lines.map((one) => make("li", {}, make("b", {}, one.name + ": "), one.says)));
    put(page("places"), plan.places.map(place));
    page("others").hidden = !plan.lines.length;
    page("choose").hidden = !window.matchMedia("screen and (min-width: 80rem)").matches;   // there it stands beside
    page("sheet").hidden = false;
    document.body.classList.add("choosing");
    document.title = page("title").textContent;
    page("title").focus();
    window.scrollTo(0, 0);
  }

  function follow() {
    const { read, unread } = guide.path.piecesOf(window.location.hash);
    const asked = readAddress(read.join("&"));
    if (asked && !unread.length) { show(asked); return; }
    choose();                                                // with what could be read of it, for the rest is missing
    if (asked) { fill(asked); }
    reply.textContent = unread.map((raw) => guide.path.lostInWords(say, raw)).join(" ");
  }

  form.hidden = false;
  form.addEventListener("submit", function (event) {
    event.preventDefault();
    const asked = { car: form.elements.car.value.trim() };
    ADVERT.forEach((name) => { asked[name] = form.elements[name].value; });
    if (!asked.year) { asked.month = ""; }                   // a month of no year is no date
    const read = numberOf(asked.car);
    if (!read && !ADVERT.some((name) => asked[name])) { reply.textContent = say("pages.sheets.nothing"); return; }
    if (read && read.failure) { form.elements.car.focus(); return; }
    if (window.location.hash === addressOf(asked)) { show(asked); } else { window.location.hash = addressOf(asked); }
  });
  page("again").addEventListener("click", function (event) {
    event.preventDefault();
    window.location.hash = "";
    choose();                                                  // what is hidden takes no focus
    form.elements.car.focus();
  });
  window.addEventListener("hashchange", follow);
  follow();
}

document.addEventListener("DOMContentLoaded", mount);
