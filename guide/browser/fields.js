// What is typed into a note of a car: its number and remarks, each with its label; `changed` is told at every stroke.
// `misfit` gives what speaks against a number, if anything does.
// needs: numbers, elements, data/model
// in: car

function number(id, value, say, changed, misfit) {
  const { make, afterPress } = guide.elements;
  const reply = make("p", { class: "reply", id: id + "-reply", role: "alert" });
  const tell = (event) => changed(event.target.value.trim());
  return [make("label", { for: id }, say("pages.notes.car")),
    make("input", { class: "entry", id, type: "text", value, autocomplete: "off", autocapitalize: "characters", spellcheck: "false",
      "aria-describedby": id + "-reply", oninput: tell, onchange: (event) => {
        const question = guide.numbers.settle(event.target, guide.model.numbers, say) || misfit(event.target.value) || "";
        afterPress(() => { reply.textContent = question; });
        tell(event);
      } }), reply];
}

function remarks(id, value, say, changed) {
  const { make } = guide.elements;
  return [make("label", { for: id }, say("pages.notes.remarks")),
    make("textarea", { class: "entry", id, oninput: (event) => changed(event.target.value) }, value)];
}

// What is filled in by hand on a print: the car's number, who looked, the day. The edition it was printed from stands in
// the line beneath, which every print ends with.
function label(say, car) {
  const { make } = guide.elements;
  return make("p", { class: "print-label on-paper" }, ["number", "by", "day"].map((what) => (
    make("span", {}, say("pages.key.label." + what), what === "number" && car ? " " + car : ""))));
}

guide.fields = { number, remarks, label };
