// Where in the whole build some spans lie: open for nine in ten, solid for half; and beneath it, on the same axis, when
// one thing that was looked at was fitted. Ornament for the eye: the same is said in words beside it.
// needs: days, elements
// in: car

const LEFT = 8, RIGHT = 352;
const LEAST_BAR = 3;
const LABEL = 34, LEAST_LABEL = 30; // between two years that are written, and of a year cut short

const day = (iso) => guide.days.number(iso);
const x = (value) => value.toFixed(1);

// Where a day, as a number, lies on the axis of a build from `first` to `last`.
function placed(first, last) {
  const scale = (RIGHT - LEFT) / (day(last) + 1 - day(first));
  return { scale, at: (number) => Math.min(RIGHT, Math.max(LEFT, LEFT + (number - day(first)) * scale)) };
}

function bar(at, span, attributes) {
  const from = at(day(span.from));
  return guide.elements.svg("rect", Object.assign({ x: x(from), width: x(Math.max(LEAST_BAR, at(day(span.to) + 1) - from)) }, attributes));
}

guide.buildLine = function (first, last, spans) {
  const { svg } = guide.elements;
  const { scale, at } = placed(first, last);
  const years = [];
  for (let year = Number(first.slice(0, 4)); year <= Number(last.slice(0, 4)); year += 1) { years.push(year); }
  const every = Math.max(1, Math.ceil(LABEL / (365.25 * scale)));
  const starts = years.filter((_, index) => index > 0 && index % every === 0).map((year) => at(day(year + "-01-01")));
  const ends = [LEFT].concat(starts, [RIGHT]);
  return svg("svg", { class: "build-line", viewBox: "0 0 360 40", "aria-hidden": "true" },
    svg("path", { class: "axis", d: "M8 16H352M8 11V21M352 11V21" + starts.map((start) => "M" + x(start) + " 16V21").join("") }),
    ends.slice(1).map((end, index) => (end - ends[index] < LEAST_LABEL ? null
      : svg("text", { class: "year", x: x((ends[index] + end) / 2), y: "35", "text-anchor": "middle" }, String(years[index * every])))),
    spans.map((span) => bar(at, span, { class: span.level === spans[0].level ? "nine" : "half", y: "11", height: "10" })));
};

// One thin bar; behind it the spans that hold nine in ten, so that one sees what it leaves of them.
guide.lookLine = function (first, last, look, nine) {
  const { at } = placed(first, last);
  return guide.elements.svg("svg", { class: "build-line thin", viewBox: "0 0 360 10", "aria-hidden": "true" },
    nine.map((span) => bar(at, span, { class: "behind", y: "0", height: "10" })),
    guide.elements.svg("path", { class: "axis", d: "M8 5H352" }), bar(at, look, { class: "look-bar", y: "3", height: "4" }));
};
