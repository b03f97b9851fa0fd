// On a mark's page: any two of its forms told apart, chosen there or in the address (#two=ONE,OTHER).
// needs: elements, dating, data/model, data/key, data/words

document.addEventListener("DOMContentLoaded", function () {
  const { make, put } = guide.elements;
  const chooser = document.querySelector("[data-two]");
  const form = chooser.querySelector("form");
  const told = document.querySelector("[data-two-told]");
  const said = form.querySelector("[data-two-says]");
  const by = JSON.parse(chooser.dataset.told);
  const say = guide.words(guide.key.words);
  guide.parts.learn(guide.partWords);
  Object.assign(guide.key.words, guide.moreWords);
  const mark = guide.model.marks.find((one) => one.id === chooser.dataset.two);
  const nameOf = (id) => form.elements.one.querySelector('option[value="' + CSS.escape(id) + '"]').textContent.replace(/^\d+\. /, "");
  let prepared = null;

  // The two in the address, where the part has both and they are not one; null of others.
  function asked() {
    const [name, two] = window.location.hash.slice(1).split("=");
    let ids = [];
    try { ids = name === "two" && two ? decodeURIComponent(two).split(",") : []; } catch (malformed) { said.textContent = say("pages.key.lost_piece", { typed: name + "=" + two }); }
    return ids.length === 2 && ids[0] !== ids[1] && ids.every((id) => document.getElementById("form-" + id)) ? ids : null;
  }

  function picture(id) {
    const shown = document.getElementById("form-" + id).cloneNode(true);
    shown.removeAttribute("id");
    shown.className = "half";
    return shown;
  }

  function today(id) {
    const of = mark && mark.forms.find((one) => one.id === id);
    if (!of || !by.asked || of.factory === false) { return null; }
    const spans = guide.dating.nineInTen(prepared, mark.id, id).map((ends) => say.span(...ends));
    return spans.length ? make("p", {}, make("b", {}, nameOf(id) + ". "), say("pages.forms.today", { span: say.oneOf(spans) })) : null;
  }

  // What cars had of a part: the most usual alone where nearly all had it, else each with how many had it.
  function expected(part, shares) {
    const rank = (at) => Math.round(shares[at] * 1e6);
    const order = shares.map((_, at) => at).sort((a, b) => rank(b) - rank(a));
    const worth = shares[order[0]] >= by.usual ? order.slice(0, 1) : order.filter((at) => shares[at] >= by.least);
    return worth.map((at, place) => {
      const words = place ? say.lowerFirst(part.forms[at].answer) : part.forms[at].answer;
      return shares[at] >= by.usual ? words : words + " (" + say.inTen(shares[at]) + ")";
    }).join("; ");
  }

  function line(row, heads) {
    const part = guide.model.marks.find((one) => one.id === row.mark);
    const path = guide.elements.pageOf(guide.key.links, row.mark, []);
    const [, differs] = by.differs.find(([least]) => row.separation >= least);
    return make("tr", {}, make("th", { scope: "row" }, path ? make("a", { href: "../" + path }, part.name) : part.name),
      [expected(part, row.one), expected(part, row.other), say("pages.apart.differs." + differs)].map((words, at) => make("td", { "data-heading": heads[at] }, words)));
  }

  function table(rows, ids) {
    const heads = [...ids.map(nameOf), say("pages.forms.differ")];
    return make("div", { class: "wide-table", tabindex: "0", role: "region", "aria-label": say("pages.forms.what_else") },
      make("table", { class: "by-line" }, make("thead", {}, make("tr", {}, [say("pages.forms.part"), ...heads].map((head) => make("th", { scope: "col" }, head)))),
        make("tbody", {}, rows.map((row) => line(row, heads)))));
  }

  function lead(rows, ids) {
    if (rows.length) { return say("pages.forms.lead"); }
    const never = mark ? ids.map((id) => mark.forms.find((one) => one.id === id)).filter((one) => one.factory === false) : [];
    const forms = say.allOf(never.map((one) => "\u201c" + one.answer + "\u201d"));
    return forms ? say("pages.forms.never_fitted", { forms }) : say("pages.forms.nothing");
  }

  function show() {
    const ids = asked();
    told.hidden = !ids;
    if (!ids) { return; }
    prepared = prepared || guide.dating.prepare(guide.model, guide.key.words);
    const rows = mark ? guide.dating.tellFormsApart(prepared, mark.id, ids).filter((row) => row.gain_bits >= by.bits) : [];
    const dates = ids.map(today).filter(Boolean);
    [form.elements.one.value, form.elements.other.value] = ids;
    put(told, make("h2", {}, say("pages.forms.pair", { one: nameOf(ids[0]), other: say.lowerFirst(nameOf(ids[1])) })),
      make("div", { class: "leaf two" }, ids.map(picture)),
      dates.length ? [make("h3", {}, say("pages.forms.date")), dates] : null,
      make("h3", {}, say("pages.forms.what_else")), make("p", {}, lead(rows, ids)), rows.length ? table(rows, ids) : null);
    told.focus();
    told.scrollIntoView({ block: "start" });
  }

  form.addEventListener("submit", function (event) {
    event.preventDefault();
    const ids = ["one", "other"].map((name) => form.elements[name].value);
    said.textContent = ids[0] === ids[1] ? say("pages.forms.same") : "";
    if (ids[0] !== ids[1]) { window.location.hash = "two=" + ids.map(encodeURIComponent).join(","); }
  });
  chooser.hidden = false;
  form.elements.other.selectedIndex = 1;
  window.addEventListener("hashchange", show);
  show();
});
