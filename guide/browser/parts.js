// What is said and drawn of the parts of a car: it comes by area, in one file, which the first part that is shown fetches. Its
// words are put into guide.model; pages that tell of any part have them all from data/words, as guide.partWords.
// in: car

const drawings = [];                    // by area: what is inside the element of each drawing, by MARK/FORM
const fetched = new Map();

// `words` are {mark: {name, question, look, page, forms: [{name, answer, drawn}]}}, or some of that.
function learn(words) {
  for (const mark of (guide.model || { marks: [] }).marks.filter((one) => words[one.id])) {
    const { forms, ...own } = words[mark.id];
    Object.assign(mark, own);
    (forms || []).forEach((form, at) => Object.assign(mark.forms[at], form));
  }
}

// Called by the file of an area.
function came(area, words, drawn) {
  drawings[area] = drawn;
  learn(words);
}

// Comes true once a script of the site is there, and false where it cannot be fetched: the next that asks tries again.
function fetchFile(src) {
  if (!fetched.has(src)) {
    fetched.set(src, new Promise((done) => {
      const script = guide.elements.make("script", { src, onload: () => done(true), onerror: () => {
        fetched.delete(src);
        script.remove();
        done(false);
      } });
      document.head.append(script);
    }));
  }
  return fetched.get(src);
}

const fetchArea = (area) => fetchFile("data/area" + area + ".js");

function find(id) { return guide.model.marks.find((mark) => mark.id === id); }

// The page of a part; nothing of what has none.
function pageOf(id) { return (find(id) || {}).page; }

function areaOf(mark) { return guide.model.areas.findIndex((area) => area.id === mark.area); }

// Does something as soon as the words of some marks are there, at once where they are; something else where they cannot be had.
function withWords(ids, then, otherwise) {
  const areas = new Set(ids.map(find).filter((mark) => mark.question === undefined).map(areaOf));
  if (!areas.size) { then(); return; }
  Promise.all(Array.from(areas, fetchArea)).then((there) => (there.every(Boolean) ? then() : otherwise()));
}

// Where the drawing of a form is, as AREA/MARK/FORM; null where it has none.
function whereDrawn(mark, id) {
  const one = guide.model && find(mark);
  const form = one && one.forms.find((other) => other.id === id);
  return form && form.drawn ? areaOf(one) + "/" + mark + "/" + id : null;
}

function drawing(at) {
  const area = at.slice(0, at.indexOf("/"));
  return (drawings[area] || {})[at.slice(area.length + 1)];
}

guide.parts = { learn, came, fetchFile, fetchArea, withWords, pageOf, whereDrawn, drawing };
