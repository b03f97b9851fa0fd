// How it is said what the works can have fitted: the twin of fitted_sentences.py.

// The interiors that a car can have, by what was worked out of it; all of them where none is told apart.
function trimsOf(model, fittedMarks) {
  const trim = fittedMarks.find((one) => model.marks[one.mark].kind === "interior");
  return trim ? trim.forms.map((form) => model.marks[trim.mark].forms[form.form].id) : model.interiors.map((one) => one.id);
}

// Interiors by what they are made of where that decides, else by their colour, else by name.
function trimSaid(prepared, values, trims) {
  const { model, say } = prepared;
  const small = (names) => names.map((name) => say.lowerFirst(name));
  for (const name of ["material", "colour"]) {
    const told = new Map(model.interiors.map((one) => [one.id, one[name] || ""]));
    const meant = values.map((id) => told.get(id));
    if (!meant.includes("") && !trims.some((id) => !values.includes(id) && meant.includes(told.get(id)))) {
      return say("dating.fitted.trim", { what: say.oneOf(small([...new Set(meant)])) });
    }
  }
  return say.oneOf(small(values.map((id) => model.interiors.find((one) => one.id === id).name)));
}

// Some kinds of car as inside a sentence, "left-hand drive"; empty for all.
function carsSaid(prepared, scopes, trims) {
  const { model, say } = prepared;
  const partOf = (name, values) => {
    if (name === "series") { return say.oneOf(model.series.filter((one) => values.includes(one.id)).map((one) => say.lowerFirst(one.name))); }
    if (name === "interior") { return trimSaid(prepared, values, trims); }
    return say.oneOf(values.map((value) => ((model.splits || {})[name] || {})[value] || value));
  };
  const said = scopes.filter((cars) => Object.keys(cars).length)
    .map((cars) => Object.keys(cars).map((name) => partOf(name, cars[name])).reduce((a, b) => say("words.then", { a, b })));
  return said.length ? say.oneOf(said) : "";
}

const scopesOf = (form) => form.scopes.map((scope) => scope.cars);

// The cars that alone can have a form, "leather trim only"; empty where all can.
function onlySaid(prepared, form, trims) {
  const cars = carsSaid(prepared, scopesOf(form), trims);
  return cars && prepared.say("dating.fitted.only", { cars });
}

// What a car should have in a few words, however sure: what any such car can have, then what only some can;
// where each form is for some cars, each with its own.
function fittedSaid(prepared, one, trims) {
  const { say } = prepared;
  const { forms, kind } = prepared.model.marks[one.mark];
  let said = [forms[one.forms[0].form][kind === "interior" ? "name" : "answer"]];
  if (one.forms.length > 1) {
    const whole = one.forms.filter((form) => !Object.keys(form.scopes[0].cars).length);
    said = whole.length ? [say.oneOfNames(whole.map((form) => forms[form.form].name))] : [];
    one.forms.filter((form) => !whole.includes(form)).forEach((form) => {
      const { name } = forms[form.form];
      const cars = whole.length ? onlySaid(prepared, form, trims) : carsSaid(prepared, scopesOf(form), trims);
      said.push(say("dating.fitted.some", { form: said.length ? say.lowerFirst(name) : name, cars }));
    });
  }
  return said.reduce((a, b) => say("words.then_after_stop", { a, b }));
}

// What a car should have, for pages: by mark {mark, only, sure, says, plain: the same without its degree, forms: [{id,
// chance, sure, apart: dimensions, only, behind: entries}]}, in the model's order.
function partsSaid(prepared, found) {
  const { model, say } = prepared;
  const trims = trimsOf(model, found);
  return found.map((one) => {
    const plain = fittedSaid(prepared, one, trims);
    return {
      mark: model.marks[one.mark], sure: one.sure, only: carsSaid(prepared, one.only, trims), plain,
      says: one.sure ? plain : say("dating.fitted.probably", { forms: say.lowerFirst(plain) }),
      forms: one.forms.map((form) => ({ id: model.marks[one.mark].forms[form.form].id, chance: form.chance, sure: form.sure,
        apart: [...new Set(form.scopes.flatMap((scope) => Object.keys(scope.cars)))], only: onlySaid(prepared, form, trims),
        behind: [...new Set(form.scopes.flatMap((scope) => scope.behind))] })),
    };
  });
}

function shouldHaveSaid(prepared, session) {
  const state = believe(prepared, session);
  return partsSaid(prepared, fittedOf(state, figures(state)));
}

// The same of all cars of a period.
function shouldHaveIn(prepared, id) {
  const period = prepared.model.periods.find((one) => one.id === id);
  const weights = Float64Array.from(prepared.weights, (weight, cell) => {
    const t = cell % prepared.bins;
    return t >= period.first && t < period.end ? weight : 0;
  });
  return partsSaid(prepared, fitted(prepared, () => weights, {}, null));
}
