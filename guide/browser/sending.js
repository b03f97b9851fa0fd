// What is sent of a car, as text, by whatever way the person likes: the sentence with what it rests on, what was seen in
// words, the caution, the edition, where the guide is hosted an address, and one line that the key takes back. And the
// panel that shows it, to copy or to share.
// needs: say, elements, path, answers
// in: car

const isHosted = () => /^https?:$/.test(window.location.protocol);

// The address at which the key shows a state; empty where the guide stands on a disk, whose address is of use to nobody.
function addressOf(key, state) {
  if (!isHosted()) { return ""; }
  const page = new URL(key.links.key || "", window.location.href.split(/[?#]/)[0]);
  return page.href + guide.path.hashOf(guide.path.moved(state, { at: "result", on: false }));
}

// The fingerprint of facts and program that this page was printed with.
function fingerprint() {
  const printed = document.querySelector('meta[name="edition"]');
  return printed ? printed.dataset.fingerprint || "" : "";
}

// `key` is what data/key.js holds; `told` is {sentences, seen: [words], state, car: the number as the guide writes it}; without its number a car's message
// holds no sentence that names it either.
function text(say, key, told, withCar) {
  const state = withCar ? told.state : Object.assign({}, told.state, { car: null });
  const names = (sentence) => Boolean(told.car) && sentence.includes(told.car);
  const address = addressOf(key, state);
  const known = Object.entries(state.known).map(([kind, when]) => guide.answers.known(say, guide.model, kind, when));
  const said = told.sentences.filter((sentence) => sentence && (withCar || !names(sentence)));
  return [withCar && told.car ? say("pages.send.car", { car: told.car }) : "", ...said,
    told.seen.length ? say("pages.send.seen", { looks: told.seen.join("; ") }) : "",
    known.length ? say("pages.send.known", { dates: known.join("; ") }) : "", say("pages.shell.caution"),
    say("pages.key.send_edition", { title: key.title, edition: guide.model.edition, fingerprint: fingerprint() }),
    address ? say("pages.send.address", { address }) : "",
    say("pages.key.send_line"), guide.path.lineOf(state, guide.model.edition, withCar)].filter(Boolean).join("\n");
}

// What a result of looks rests on, in words; empty of none.
function basis(say, car, looks) {
  return looks ? say(car ? "pages.send.basis.number" : "pages.send.basis.looks", { n: looks, count: say.count(looks) }) : "";
}

// Fills a panel with the text, and brings it into view.
function panel(place, say, key, told) {
  const { make, put } = guide.elements;
  const area = make("textarea", { class: "entry sent", id: "send-text", readonly: true, rows: "10" });
  const number = make("input", { type: "checkbox" });
  const heard = make("p", { class: "small", role: "status" });
  const write = () => { area.value = text(say, key, told, number.checked); };
  const select = () => { area.focus(); area.select(); };
  const copy = () => {
    const done = () => { heard.textContent = say("pages.key.copied"); };
    const byHand = () => { select(); heard.textContent = say(document.execCommand("copy") ? "pages.key.copied" : "pages.key.copy_by_hand"); };
    if (navigator.clipboard) { navigator.clipboard.writeText(area.value).then(done, byHand); } else { byHand(); }
  };
  number.addEventListener("change", write);
  write();
  put(place, make("label", { for: "send-text" }, say("pages.key.send_label")), area,
    told.state.car ? make("label", { class: "choice" }, number, make("span", {}, say("pages.key.send_number"))) : null,
    make("p", { class: "small" }, say("pages.notes.nothing_sent")),
    make("div", { class: "pair" },
      make("button", { class: "button", type: "button", "data-copy": true, onclick: copy }, say("pages.key.copy")),
      navigator.share ? make("button", { class: "button", type: "button", onclick: () => {
        navigator.share({ text: area.value }).catch(() => {});
      } }, say("pages.key.share")) : null), heard);
  select();
  place.scrollIntoView({ block: "nearest" });
}

guide.sending = { text, basis, panel, fingerprint };
