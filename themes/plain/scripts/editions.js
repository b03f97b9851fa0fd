// On the page of editions: says what is wrong on a sheet of the edition that is typed, by its name or its fingerprint, or
// that stands in the address (?edition=NAME).

document.addEventListener("DOMContentLoaded", function () {
  const form = document.querySelector("[data-held]");
  const said = form.querySelector("[data-held-says]");
  const plain = (text) => text.trim().toLowerCase().replace(/[.()]/g, "").replace(/\s+/g, " ");

  // An edition by its name, its fingerprint, or both as they stand on paper together.
  function isIt(typed, one) {
    const name = plain(one.name), mark = one.fingerprint;
    return [name, mark, name + " " + mark].includes(plain(typed));
  }

  function look(typed) {
    const present = { name: said.dataset.present, fingerprint: said.dataset.fingerprint };
    const found = Array.from(document.querySelectorAll("section[data-edition]"))
      .find((one) => isIt(typed, { name: one.dataset.edition, fingerprint: one.dataset.fingerprint }));
    said.textContent = found ? found.querySelector("p").textContent
      : isIt(typed, present) ? said.dataset.isPresent : said.dataset.unknown;
    if (found) { found.scrollIntoView({ block: "nearest" }); }
  }

  form.hidden = false;
  form.addEventListener("submit", function (event) {
    event.preventDefault();
    look(form.elements.edition.value);
  });
  const asked = new URLSearchParams(window.location.search).get("edition");
  if (asked) {
    form.elements.edition.value = asked;
    look(asked);
  }
});
