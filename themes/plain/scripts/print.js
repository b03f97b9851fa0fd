// Shows the print button where there is something to print with, and opens what is folded on the screen for paper.

window.addEventListener("beforeprint", function () {
  document.querySelectorAll("[data-open-on-paper]").forEach((one) => { one.open = true; });
});

document.addEventListener("DOMContentLoaded", function () {
  if (typeof window.print !== "function") { return; }
  document.querySelectorAll("[data-print]").forEach(function (button) {
    button.hidden = false;
    button.addEventListener("click", () => window.print());
  });
});
