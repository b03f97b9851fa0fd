// Parts that several pages put together: elements, drawings, sentences, the build line, downloads.
// needs: say, numbers, data/model, data/key
(function (guide) {
  "use strict";

  const SVG = "http://www.w3.org/2000/svg";

  // make("p", {class: "small", hidden: true, onclick: f}, "text", element...) -> element
  function make(tag, attributes, ...inside) {
    const element = document.createElement(tag);
    for (const name of Object.keys(attributes || {})) {
      const value = attributes[name];
      if (name.startsWith("on")) { element.addEventListener(name.slice(2), value); }
      else if (value === true) { element.setAttribute(name, ""); }
      else if (value !== false && value !== null && value !== undefined) { element.setAttribute(name, value); }
    }
    fill(element, inside);
    return element;
  }

  function fill(element, inside) {
    element.append(...inside.flat(2).filter((piece) => piece !== null && piece !== undefined && piece !== ""));
    return element;
  }

  // Replaces what an element holds.
  function put(element, ...inside) {
    element.replaceChildren();
    return fill(element, inside);
  }

  // A sentence of the page's language.
  function say(id, slots) { return guide.say(guide.key.words, id, slots); }

  // A sentence with one of its slots set apart in an element of its own.
  function sayWith(id, slots, slot, wrap) {
    return guide.say.parts(guide.key.words, id, slots).map((piece) => (piece[0] === slot ? wrap(piece[1]) : piece[1]));
  }

  // Photographs stand alone: who has only those cannot also open a door, and the other way round.
  function settleReach(boxes, changed) {
    if (changed.name !== "reach" || !changed.checked) { return; }
    for (const box of boxes) {
      if ((box.value === "photographs") !== (changed.value === "photographs")) { box.checked = false; }
    }
  }

  // A copy of a drawing that the page holds in a template; null where there is none.
  function drawing(mark, form) {
    const template = document.querySelector('template[data-drawing="' + mark + "/" + form + '"]');
    return template ? template.content.firstElementChild.cloneNode(true) : null;
  }

  function svg(tag, attributes, text) {
    const element = document.createElementNS(SVG, tag);
    for (const name of Object.keys(attributes)) { element.setAttribute(name, attributes[name]); }
    if (text !== undefined) { element.textContent = text; }
    return element;
  }

  function dayNumber(iso) { return Date.parse(iso + "T00:00:00Z") / 86400000; }

  // Where in the whole build the spans lie: open for nine in ten, solid for half. Ornament for the eye: the same
  // is said in words beside it.
  function buildLine(first, last, spans) {
    const left = 8;
    const right = 352;
    const from = dayNumber(first);
    const scale = (right - left) / (dayNumber(last) + 1 - from);
    const at = (iso) => left + (dayNumber(iso) - from) * scale;
    const after = (iso) => left + (dayNumber(iso) + 1 - from) * scale;
    const x = (value) => value.toFixed(1);
    const picture = svg("svg", { class: "build-line", viewBox: "0 0 360 40", "aria-hidden": "true", focusable: "false" });
    const years = [];
    for (let year = Number(first.slice(0, 4)); year <= Number(last.slice(0, 4)); year += 1) { years.push(year); }
    const every = Math.max(1, Math.ceil(34 / (365.25 * scale)));
    const starts = years.slice(1).filter((year, index) => (index + 1) % every === 0).map((year) => at(year + "-01-01"));
    picture.append(svg("path", { class: "axis", d: "M8 16H352M8 11V21M352 11V21" + starts.map((start) => "M" + x(start) + " 16V21").join("") }));
    const ends = [left].concat(starts, [right]);
    ends.slice(1).forEach((end, index) => {
      if (end - ends[index] < 30) { return; }
      const middle = (ends[index] + end) / 2;
      picture.append(svg("text", { class: "year", x: x(middle), y: "35", "text-anchor": "middle" }, String(years[index * every])));
    });
    for (const span of spans.slice().sort((a, b) => b.level - a.level)) {
      const start = at(span.from);
      const width = Math.max(3, after(span.to) - start);
      picture.append(svg("rect", { class: span.level > 0.6 ? "nine" : "half", x: x(start), y: "11", width: x(width), height: "10" }));
    }
    return picture;
  }

  // Hands the browser a file made here; nothing is sent anywhere.
  function download(name, type, text) {
    const address = URL.createObjectURL(new Blob([text], { type: type }));
    const link = make("a", { href: address, download: name, hidden: true });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(address), 60000);
  }

  // What is wrong with the chassis number in a field: empty for a good one, which is then shown as the guide
  // writes it, and for none at all. What is typed is never taken away.
  function readNumber(field) {
    const text = field.value.trim();
    const read = text ? guide.numbers.read(text, guide.model.numbers) : {};
    if (read.written) { field.value = read.written; }
    return read.failure ? say("pages.number." + read.failure, { number: text }) : "";
  }

  guide.parts = {
    make: make, put: put, say: say, sayWith: sayWith, drawing: drawing, buildLine: buildLine, download: download,
    readNumber: readNumber, settleReach: settleReach,
  };
}(globalThis.guide = globalThis.guide || {}));
