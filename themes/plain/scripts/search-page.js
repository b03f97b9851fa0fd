// The search page: reads the question from the address or the field, and shows what is found in groups.
// Drawings come from a script of their own, fetched only when something with a drawing is shown.
// needs: say, cars, search, data/cars, data/search
(function (guide) {
  "use strict";

  const GROUPS = ["mark", "form", "interior", "period", "area", "words", "care", "sources"];
  const MOST = 8; // of one group; the rest is one press away

  const say = (id, slots) => guide.say(guide.searchData.words, id, slots);

  function make(tag, attributes, ...inside) {
    const element = document.createElement(tag);
    Object.keys(attributes).forEach((name) => element.setAttribute(name, attributes[name]));
    element.append(...inside.filter((piece) => piece !== ""));
    return element;
  }

  // Calls back when the drawings are there; a page opened without its folder does without them.
  function withDrawings(done) {
    if (guide.drawings) { done(guide.drawings); return; }
    let script = document.querySelector("script[data-drawings]");
    if (!script) {
      script = make("script", { src: "data/drawings.js", "data-drawings": "" });
      document.head.append(script);
    }
    script.addEventListener("load", () => done(guide.drawings || {}));
  }

  function drawn(holder, file) {
    withDrawings(function (drawings) {
      if (!drawings[file]) { return; }
      const parsed = new DOMParser().parseFromString(
        '<svg xmlns="http://www.w3.org/2000/svg" class="drawing" aria-hidden="true" focusable="false" ' + drawings[file],
        "image/svg+xml");
      if (parsed.documentElement.localName === "svg") { holder.append(document.importNode(parsed.documentElement, true)); }
    });
  }

  function line(entry) {
    const leaf = make("span", { class: "leaf" });
    if (entry.picture) { drawn(leaf, entry.picture); }
    const text = make("span", {}, make("b", {}, entry.title), entry.says ? make("span", {}, entry.says) : "");
    return make("li", {}, make("a", { href: entry.path, class: entry.picture ? "" : "bare" },
      ...(entry.picture ? [leaf] : []), text));
  }

  function group(kind, entries) {
    const list = make("ul", { class: "entries" }, ...entries.slice(0, MOST).map(line));
    const section = make("section", {}, make("h2", {}, say("pages.search.group." + kind)), list);
    if (entries.length > MOST) {
      const more = make("button", { class: "press", type: "button" }, say("pages.search.more", { n: entries.length - MOST }));
      more.addEventListener("click", function () {
        list.append(...entries.slice(MOST).map(line));
        more.remove();
        list.children[MOST].querySelector("a").focus();
      });
      section.append(more);
    }
    return section;
  }

  // What a chassis number tells by itself, and where to take it; null when the text is no number.
  function car(text) {
    const data = guide.searchData;
    const read = guide.numbers.read(text, guide.carTable.numbers);
    if (read.failure === "not-a-number" || read.failure === "short") { return null; }
    if (read.failure) {
      return make("section", { class: "car" }, make("p", {}, say("pages.number." + read.failure, { number: text.trim() })));
    }
    const series = guide.carTable.series[read.series];
    const days = guide.cars.daysOf(guide.carTable, read);
    const periods = guide.cars.periodsOf(guide.carTable, days[0], days[1]).map((period) => period.name);
    const says = say("pages.search.car", {
      car: read.written, series: series.name, span: guide.say.daySpan(data.words, days[0], days[1]),
    });
    const ways = [
      ["fits.html#--car=", "pages.search.car_fits"], ["sheets.html#--car=", "pages.search.car_sheet"],
      ["key.html#--car=", "pages.search.car_key"],
    ].map(([path, id]) => make("li", {}, make("a", { href: path + encodeURIComponent(read.written) }, say(id))));
    const section = make("section", { class: "car" }, make("h2", {}, read.written), make("p", {}, says + " "
      + say("pages.search.car_period", { periods: guide.say.oneOf(data.words, periods) })),
    make("ul", { class: "plain-list" }, ...ways));
    const named = data.cars[read.written] || [];
    if (named.length) {
      section.append(make("p", { class: "small" }, say("pages.search.car_named")), make("ul", { class: "plain-list" },
        ...named.map(([title, path]) => make("li", {}, make("a", { href: path }, title)))));
    }
    return section;
  }

  // Whether what could be a registration is words that the guide has, as "May 1968".
  function isWords(index, text) {
    return guide.numbers.read(text, guide.carTable.numbers).failure === "registration"
      && guide.search.wordsIn(text).every((word) => index.holding.has(word));
  }

  // What may be a number without its letter or a nought, once nothing else answers to it.
  function cutShort(text) {
    const read = guide.numbers.read(text, guide.carTable.numbers);
    return read.failure === "short" ? say("pages.number.short", { number: text }) : "";
  }

  function pairEntry(at) {
    const [title, path] = guide.searchData.pairs[at];
    return { title: title, path: path, says: "", picture: "" };
  }

  function show(page, index, question) {
    const asked = question.trim();
    page.results.replaceChildren();
    page.found.textContent = "";
    if (!asked) { return; }
    const aCar = isWords(index, asked) ? null : car(asked);
    if (aCar) { page.results.append(aCar); }
    const answer = guide.search.find(index, asked);
    const pairs = aCar ? [] : guide.search.findPairs(index, asked).map(pairEntry);
    // of a chassis number the pieces are no words: only a part with that number is worth showing beside it
    if (aCar) { answer.found = answer.found.filter((one) => one.score >= guide.search.PART_NUMBER); }
    const groups = new Map();
    answer.found.forEach(function (one) {
      const entry = guide.searchData.entries[one.entry];
      if (!groups.has(entry.kind)) { groups.set(entry.kind, []); }
      groups.get(entry.kind).push(entry);
    });
    if (!answer.found.length) {
      page.found.textContent = aCar ? "" : cutShort(asked) || say("pages.search.nothing", { words: asked });
      return;
    }
    const n = answer.found.length + pairs.length;
    page.found.textContent = answer.meant
      ? say("pages.search.meant", { words: asked, word: guide.searchData.shown[answer.meant] || answer.meant })
      : say("pages.search.found", { n: n, count: guide.say.number(guide.searchData.words, n) });
    if (pairs.length) { page.results.append(group("apart", pairs)); }
    Array.from(groups.keys()).filter((kind) => GROUPS.includes(kind)).forEach(function (kind) {
      page.results.append(group(kind, groups.get(kind)));
    });
  }

  function mount() {
    const form = document.querySelector("[data-search]");
    if (!form || !guide.searchData || !guide.search) { return; }
    const index = guide.search.prepare(guide.searchData);
    const page = { found: document.querySelector("[data-found]"), results: document.querySelector("[data-results]") };
    const field = form.elements.q;
    const asked = new URLSearchParams(window.location.search).get("q") || "";
    let waiting = 0;
    function look(remember) {
      show(page, index, field.value);
      if (!remember) { return; }
      const address = new URL(window.location.href);
      address.searchParams.set("q", field.value);
      window.history.replaceState(null, "", address.href);
    }
    field.value = asked;
    document.querySelectorAll("[data-scripts-only]").forEach((element) => { element.hidden = false; });
    form.addEventListener("submit", function (event) {
      event.preventDefault();
      look(true);
    });
    field.addEventListener("input", function () {
      window.clearTimeout(waiting);
      waiting = window.setTimeout(() => look(true), 150);
    });
    if (asked) { look(false); } else { field.focus(); }
  }

  document.addEventListener("DOMContentLoaded", mount);
}(globalThis.guide = globalThis.guide || {}));
