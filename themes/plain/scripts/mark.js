// On a mark's page: a chassis number points out the form that such a car was built with.
// needs: cars, data/cars

document.addEventListener("DOMContentLoaded", function () {
  const form = document.querySelector("[data-expect]");
  const data = JSON.parse(form.querySelector("[data-expect-table]").textContent);
  const say = guide.words(data.words);
  form.hidden = false;
  form.addEventListener("submit", function (event) {
    event.preventDefault();
    document.querySelectorAll(".expected").forEach((figure) => figure.classList.remove("expected"));
    const typed = form.elements.car.value.trim();
    const [words, forms] = typed ? guide.cars.expectation(say, guide.carTable, data, typed) : ["", []];
    form.querySelector("[data-expect-says]").textContent = words;
    forms.forEach((one) => document.getElementById("form-" + one).classList.add("expected"));
  });
});
