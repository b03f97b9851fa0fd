// A photograph larger, on press: in a window of the page's own over everything, closed by a press, the escape key or
// the way back. Without scripts, or in a browser without such windows, the link leads to the picture itself.

document.addEventListener("click", function (event) {
  const link = event.target instanceof Element ? event.target.closest("a[data-larger]") : null;
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || !("HTMLDialogElement" in window)) { return; }
  event.preventDefault();
  const small = link.querySelector("img");
  const shown = document.createElement("dialog");
  const large = document.createElement("img");
  const close = document.createElement("button");
  shown.className = "larger";
  shown.setAttribute("aria-label", small.alt);
  large.src = link.href;
  large.alt = small.alt;
  large.width = Number(link.dataset.width);
  large.height = Number(link.dataset.height);
  close.type = "button";
  close.className = "button low";
  close.textContent = link.dataset.close;
  shown.append(close, large);
  shown.addEventListener("click", () => shown.close());
  shown.addEventListener("close", function () { shown.remove(); link.focus(); });
  document.body.append(shown);
  shown.showModal();
});
