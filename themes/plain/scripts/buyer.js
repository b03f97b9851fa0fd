// Makes a buyer's sheet for a chassis number, or for what an advert tells. What is asked stands in the address,
// after the #, so that a sheet can be kept as a bookmark and nothing is sent anywhere.
// needs: dating, cars, buying, data/model, data/cars, data/sheets, print
(function (guide) {
  "use strict";

  const say = (id, slots) => guide.say(guide.sheetData.words, id, slots);

  function make(tag, attributes, ...inside) {
    const element = document.createElement(tag);
    Object.keys(attributes).forEach((name) => element.setAttribute(name, attributes[name]));
    element.append(...inside.filter((piece) => piece));
    return element;
  }

  // Calls back when the drawings are there; without them the sheet is words alone.
  function withDrawings(done) {
    if (guide.drawings) { done(guide.drawings); return; }
    const script = make("script", { src: "data/drawings.js" });
    script.addEventListener("load", () => done(guide.drawings || {}));
    script.addEventListener("error", () => done({}));
    document.head.append(script);
  }

  function drawing(drawings, file) {
    if (!drawings[file]) { return make("span", {}); }
    const parsed = new DOMParser().parseFromString(
      '<svg xmlns="http://www.w3.org/2000/svg" class="drawing" aria-hidden="true" focusable="false" ' + drawings[file],
      "image/svg+xml");
    return parsed.documentElement.localName === "svg" ? document.importNode(parsed.documentElement, true) : make("span", {});
  }

  function entry(one, drawings) {
    return make("div", { class: "item" }, make("span", { class: "tick" }), drawing(drawings, one.picture),
      make("p", {}, make("b", {}, make("a", { href: one.path }, one.name)), one.says, one.hint ? " " : "",
        one.hint && make("i", {}, one.hint)));
  }

  function place(one, drawings) {
    return make("section", {}, make("h2", { class: "place" }, one.heading), ...one.entries.map((each) => entry(each, drawings)));
  }

  // What is asked, out of the address: {car, year, body, colour}; null where nothing is.
  function readAddress() {
    const given = new URLSearchParams(window.location.hash.slice(1));
    const asked = {
      car: given.get("--car") || "", year: given.get("year") || "", body: given.get("body") || "", colour: given.get("colour") || "",
    };
    return asked.car || asked.year || asked.body || asked.colour ? asked : null;
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
    const told = ["body", "year", "colour"].filter((name) => asked[name]).map(function (name) {
      const field = form.elements[name];
      return field.selectedOptions.length ? field.selectedOptions[0].textContent.toLowerCase() : asked[name];
    });
    return say("pages.sheets.for_advert", { car: guide.sheetData.car, told: told.join(", ") });
  }

  function mount() {
    const form = document.querySelector("[data-buy]");
    const ready = guide.dating && guide.dating.conclude && guide.sheetData && guide.carTable && guide.model && guide.buying;
    if (!form || !ready) { return; }
    const page = (name) => document.querySelector("[data-" + name + "]");
    const prepared = guide.dating.prepare(guide.model, guide.sheetData.words);
    const reply = page("reply");

    function numberOf(text) {
      if (!text) { return null; }
      const read = guide.numbers.read(text, guide.carTable.numbers);
      if (read.failure) { reply.textContent = say("pages.number." + read.failure, { number: text }); }
      return read;
    }

    function choose() {
      page("choose").hidden = false;
      page("sheet").hidden = true;
      document.title = page("choose").querySelector("h1").textContent;
    }

    function show(asked) {
      reply.textContent = "";
      form.elements.car.value = asked.car;
      ["year", "body", "colour"].forEach((name) => { form.elements[name].value = asked[name]; });
      const read = numberOf(asked.car);
      if (read && read.failure) { choose(); form.elements.car.focus(); return; }
      let concluded;
      try {
        concluded = guide.dating.conclude(prepared, {
          answers: guide.buying.answersFor(guide.model, guide.sheetData, asked), car: read ? read.written : null,
          reach: [], known: asked.year ? { registered: asked.year } : {},
        });
      } catch (unknown) {                                      // an old bookmark, or no car could be like this
        choose();
        reply.textContent = say("pages.sheets.impossible");
        return;
      }
      const known = read ? guide.cars.knownOf(guide.carTable, read) : { series: asked.body };
      const plan = guide.buying.plan(guide.sheetData, concluded, known, asked.colour);
      const spans = concluded.result.spans.filter((span) => span.level > 0.6);
      page("title").textContent = titleOf(asked, read, form);
      page("when").textContent = say("pages.sheets.built", {
        span: guide.say.span(guide.sheetData.words, spans[0].from, spans[spans.length - 1].to),
      });
      page("lines").replaceChildren(...plan.lines.map((one) => make("li", {}, make("b", {}, one.name + ": "), one.says)));
      page("others").hidden = !plan.lines.length;
      page("choose").hidden = true;
      page("sheet").hidden = false;
      document.title = page("title").textContent;
      withDrawings(function (drawings) {
        page("places").replaceChildren(...plan.places.map((one) => place(one, drawings)));
      });
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
      ["year", "body", "colour"].forEach((name) => { asked[name] = form.elements[name].value; });
      reply.textContent = "";
      if (!asked.car && !asked.year && !asked.body && !asked.colour) { reply.textContent = say("pages.sheets.nothing"); return; }
      const read = numberOf(asked.car);
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
}(globalThis.guide = globalThis.guide || {}));
