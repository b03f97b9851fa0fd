// Says the card's sums aloud whenever an answer is pressed; the figures on the screen are the style sheet's.
// needs: adding, print

const points = (row) => [...row.querySelectorAll(".points b")].map((one) => Number(one.textContent));

function say(card) {
  const rows = [...card.querySelectorAll("input:checked")].map((one) => one.closest(".row"));
  const chosen = rows.filter((row) => row.querySelector(".points"));
  const sums = guide.adding.sums(points(card.querySelector(".begin")), chosen.map(points));
  const place = card.querySelector("[data-heard]");
  const names = [...card.querySelectorAll(".sums a")].map((one) => one.textContent);
  place.textContent = names.map((name, at) =>
    place.dataset.heard.replace("{period}", () => name).replace("{points}", () => String(sums[at]))).join(" ");
}

document.addEventListener("DOMContentLoaded", function () {
  document.querySelectorAll(".adds-up").forEach((card) => {
    if (card.querySelector("input:checked:not([checked])")) { say(card); }   // answered before this ran
    card.addEventListener("change", () => say(card));
    card.addEventListener("reset", () => window.setTimeout(() => say(card)));
  });
});
