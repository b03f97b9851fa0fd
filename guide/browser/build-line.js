// Where in the whole build some spans lie: open for nine in ten, solid for half. Ornament for the eye: the same is said
// in words beside it.
// needs: days, elements
// in: car

const LEFT = 8, RIGHT = 352;
const LABEL = 34, LEAST_LABEL = 30; // between two years that are written, and of a year cut short

guide.buildLine = function (first, last, spans) {
  const { svg } = guide.elements;
  const day = guide.days.number;
  const scale = (RIGHT - LEFT) / (day(last) + 1 - day(first));
  const at = (number) => LEFT + (number - day(first)) * scale;
  const x = (value) => value.toFixed(1);
  const years = [];
  for (let year = Number(first.slice(0, 4)); year <= Number(last.slice(0, 4)); year += 1) { years.push(year); }
  const every = Math.max(1, Math.ceil(LABEL / (365.25 * scale)));
  const starts = years.filter((_, index) => index > 0 && index % every === 0).map((year) => at(day(year + "-01-01")));
  const ends = [LEFT].concat(starts, [RIGHT]);
  return svg("svg", { class: "build-line", viewBox: "0 0 360 40", "aria-hidden": "true", focusable: "false" },
    svg("path", { class: "axis", d: "M8 16H352M8 11V21M352 11V21" + starts.map((start) => "M" + x(start) + " 16V21").join("") }),
    ends.slice(1).map((end, index) => (end - ends[index] < LEAST_LABEL ? null
      : svg("text", { class: "year", x: x((ends[index] + end) / 2), y: "35", "text-anchor": "middle" }, String(years[index * every])))),
    spans.map((span) => svg("rect", { class: span.level === spans[0].level ? "nine" : "half", x: x(at(day(span.from))), y: "11",
      width: x(Math.max(3, at(day(span.to) + 1) - at(day(span.from)))), height: "10" })));
};
