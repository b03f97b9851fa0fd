// On a mark's page: a chassis number points out the forms that such a car can have been built with.
// needs: dating, data/model, data/key, data/words

document.addEventListener("DOMContentLoaded", function () {
  const form = document.querySelector("[data-expect]");
  const say = guide.words(guide.key.words);
  guide.parts.learn(guide.partWords);
  Object.assign(guide.key.words, guide.moreWords);
  let prepared = null;

  // [words, forms] of a number that was typed.
  function expectation(typed) {
    const read = guide.numbers.read(typed, guide.model.numbers);
    if (read.failure) { return [guide.numbers.failure(say, read, typed), []]; }
    prepared = prepared || guide.dating.prepare(guide.model, guide.key.words);
    const part = guide.dating.shouldHave(prepared, { answers: [], car: read.written, reach: [], known: {} })
      .find((one) => one.mark.id === form.dataset.expect);
    if (!part) { return [say("pages.mark.expect.not_on", { car: read.written }), []]; }
    return [say(part.sure ? "pages.mark.expect.forms" : "pages.mark.expect.probably",
      { car: read.written, forms: say.lowerFirst(part.plain) }), part.forms.map((one) => one.id)];
  }

  form.hidden = false;
  form.addEventListener("submit", function (event) {
    event.preventDefault();
    document.querySelectorAll(".expected").forEach((figure) => figure.classList.remove("expected"));
    const typed = form.elements.car.value.trim();
    const [words, forms] = typed ? expectation(typed) : ["", []];
    form.querySelector("[data-expect-says]").textContent = words;
    forms.forEach((one) => document.getElementById("form-" + one).classList.add("expected"));
  });
});
