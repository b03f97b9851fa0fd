// On a mark's page: a chassis number points out the form that such a car was built with.
// needs: say, cars, data/cars
(function (guide) {
  "use strict";

  function mount() {
    const form = document.querySelector("[data-expect]");
    const table = document.querySelector("[data-expect-table]");
    if (!form || !table || !guide.numbers || !guide.cars || !guide.carTable) { return; }
    const data = JSON.parse(table.textContent);
    const says = form.querySelector("[data-expect-says]");
    const say = (id, slots) => guide.say(data.words, id, slots);

    function clear() {
      document.querySelectorAll(".expected").forEach((figure) => figure.classList.remove("expected"));
    }

    function answer(text) {
      const read = guide.numbers.read(text, guide.carTable.numbers);
      if (read.failure) { return [say("pages.number." + read.failure, { number: text }), []]; }
      const car = guide.cars.knownOf(guide.carTable, read);
      const fits = Object.keys(data.scope).every((name) => car[name] === undefined || data.scope[name].includes(car[name]));
      if (!fits) { return [say("pages.mark.expect.not_on", { car: read.written }), []]; }
      const days = guide.cars.daysOf(guide.carTable, read);
      const forms = guide.cars.expectedForms(data.rows, car, days[0], days[1]);
      if (!forms.length) { return [say("pages.mark.expect.unknown", { car: read.written }), []]; }
      const names = guide.say.oneOf(data.words, forms.map((one) => data.names[one]));
      return [say("pages.mark.expect.forms", { car: read.written, forms: names }), forms];
    }

    form.hidden = false;
    form.addEventListener("submit", function (event) {
      event.preventDefault();
      clear();
      const text = form.elements.car.value.trim();
      if (!text) { says.textContent = ""; return; }
      const [words, forms] = answer(text);
      says.textContent = words;
      forms.forEach((one) => document.getElementById("form-" + one).classList.add("expected"));
    });
  }

  document.addEventListener("DOMContentLoaded", mount);
}(globalThis.guide = globalThis.guide || {}));
