// On the timeline: a chassis number stands as a line down the whole of it, as wide as its date is sure.
// needs: dating, elements, data/model, data/key

document.addEventListener("DOMContentLoaded", function () {
  const form = document.querySelector("[data-number-line]");
  const says = form.querySelector("[data-number-says]");
  const say = guide.words(guide.key.words);
  const day = guide.days.number;
  let prepared = null;

  // From where to where on an axis the car lies, in hundredths; nothing where it is of another axis.
  function stretch(axis, read, dated) {
    const { first, last, series, cars } = axis.dataset;
    if (series) {
      const own = guide.model.series.find((one) => one.id === series && one.id === read.series);
      const at = own ? guide.numbers.place(own.runs || [], read) : null;
      return at === null ? null : [at / cars * 100, (at + 1) / cars * 100];
    }
    const whole = day(last) + 1 - day(first);
    const ends = [(day(dated.from) - day(first)) / whole * 100, (day(dated.to) + 1 - day(first)) / whole * 100];
    return ends[1] < 0 || ends[0] > 100 ? null : ends;
  }

  form.hidden = false;
  form.addEventListener("submit", function (event) {
    event.preventDefault();
    const typed = form.elements.car.value.trim();
    const read = guide.numbers.read(typed, guide.model.numbers);
    document.querySelectorAll(".your-line, .your-time, .your-place").forEach((line) => line.remove());
    if (!typed || read.failure) { says.textContent = typed ? guide.numbers.failure(say, read, typed) : ""; return; }
    prepared = prepared || guide.dating.prepare(guide.model, guide.key.words);
    const dated = guide.dating.tell(prepared, { answers: [], car: read.written, reach: [], known: {} });
    says.textContent = dated.sentences[0];
    const { svg } = guide.elements;
    for (const axis of document.querySelectorAll("[data-axis]")) {
      const found = stretch(axis, read, dated);
      if (found) {
        const [from, to] = found;
        const middle = (from + to) / 2 + "%";
        const through = (name, ...drawn) => svg("svg", { class: "through " + name, width: "100%", height: "100%", "aria-hidden": "true" }, ...drawn);
        const line = (name) => svg("line", { class: name, x1: middle, x2: middle, y1: "0", y2: "100%" });
        axis.prepend(through("your-line", line("")));
        axis.append(through("your-time", svg("rect", { x: from + "%", width: Math.max(0.2, to - from) + "%", y: "0", height: "100%" })));
        axis.querySelectorAll(".band.row > svg").forEach((strip) => strip.after(line("your-place")));   // over the strip, beneath its names
      }
    }
  });
});
