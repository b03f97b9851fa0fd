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

// Whether an answer names forms.
const tells = (answer) => answer.kind === "form" || answer.kind === "several";
