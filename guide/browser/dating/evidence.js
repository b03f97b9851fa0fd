// What an answer says of how a car was built: the twin of evidence.py.

function foundTable(mark) {
  const count = mark.forms.length;
  const lost = 1 - mark.survives;
  return mark.forms.map((_, built) => mark.forms.map((__, found) => (
    lost * (mark.replacement ? mark.replacement[built][found] : 1 / count) + (found === built ? mark.survives : 0))));
}

function readAs(mark, forms) {
  const count = mark.forms.length;
  if (count === 1) { return [1]; }
  const other = mark.misread / (count - 1);
  return mark.forms.map((_, found) => (
    forms.includes(found) ? (1 - mark.misread) + (forms.length - 1) * other : forms.length * other));
}

// For each form built: the chance of the answer, and of the answer with the car truly so found.
function reported(mark, forms) {
  const said = readAs(mark, forms);
  const truly = foundTable(mark).map((row) => sum(forms.map((form) => row[form] * said[form])));
  const everything = foundTable(mark).map((row, built) => (
    truly[built] + sum(row.map((value, form) => (forms.includes(form) ? 0 : value * said[form])))));
  return { everything, truly };
}

// The forms of the part itself that an answer names; what lies over it tells nothing of what is beneath.
function seenForms(mark, answer) {
  if (answer.kind !== "form" && answer.kind !== "several") { return []; }
  const ids = mark.forms.map((form) => form.id);
  const forms = [...new Set(answer.forms.map((form) => ids.indexOf(form)))];
  if (forms.includes(-1)) { throw new Error("'" + answer.mark + "' has no form '" + answer.forms + "'"); }
  return forms.filter((at) => !(mark.forms[at].over || []).includes(mark.id)).sort((a, b) => a - b);
}

// Whether an answer says that the car has such a part at all.
const showsPart = (answer) => ["form", "several", "changed"].includes(answer.kind);

// The marks, by id, that cannot be seen with an answer: all that it names lies over them.
function hiddenBy(mark, answer) {
  const over = mark.forms.filter((form) => answer.forms.includes(form.id)).map((form) => form.over || []);
  return over.length ? over[0].filter((id) => over.every((one) => one.includes(id))) : [];
}
