// Shows the print button where there is something to print with; the browser's own menu does the same.

document.addEventListener("DOMContentLoaded", function () {
  if (typeof window.print !== "function") { return; }
  document.querySelectorAll("[data-print]").forEach(function (button) {
    button.hidden = false;
    button.addEventListener("click", () => window.print());
  });
});
