// Days as ISO text ("1968-06-24") and as whole numbers, counted from 1970, so that no clock or time zone of the device
// can shift them.
// in: car

const DAY = 86400000;
const number = (iso) => Date.parse(iso + "T00:00:00Z") / DAY;
const iso = (day) => new Date(day * DAY).toISOString().slice(0, 10);

// The first and last day, as numbers, of "1968", "1968-03", "1968-03-12" or of two of them with a stroke between; null for
// anything else: the twin of read_days in papers.py.
function read(text) {
  const ends = text.trim().split("/").map(readOne);
  if (ends.length > 2 || ends.includes(null) || ends[0][0] > ends[ends.length - 1][1]) { return null; }
  return [ends[0][0], ends[ends.length - 1][1]];
}

function readOne(text) {
  const found = /^([0-9]{4})(?:-([0-9]{2})(?:-([0-9]{2}))?)?$/.exec(text);
  if (!found) { return null; }
  const [year, month, day] = [Number(found[1]), Number(found[2] || 1), Number(found[3] || 1)];
  const at = (y, m, d) => { const made = new Date(0); made.setUTCFullYear(y, m - 1, d); return made; };
  const first = at(year, month, day);
  if (year < 1 || first.getUTCMonth() !== month - 1 || first.getUTCDate() !== day) { return null; }
  const next = found[3] ? at(year, month, day + 1) : found[2] ? at(year, month + 1, 1) : at(year + 1, 1, 1);
  return [first.getTime() / DAY, next.getTime() / DAY - 1];
}

// Of a result's spans those that hold the most (nine in ten), which stand first, and the days at their ends.
const widest = (spans) => spans.filter((span) => span.level === spans[0].level);

function ends(spans) {
  const wide = widest(spans);
  return { from: wide[0].from, to: wide[wide.length - 1].to };
}

guide.days = { number, iso, read, widest, ends };
