"""What several pages' scripts share, each thing written once: answers, days, numbers in fields, elements."""

from __future__ import annotations

import pytest

from guide.words.say import load_words
from tests.pages.scripts import evaluate

TWO = {
    "id": "switches",
    "name": "Small switches",
    "forms": [
        {"id": "toggle", "name": "Toggles", "answer": "Round metal toggles"},
        {"id": "rocker", "name": "Rockers", "answer": "Flat black rockers"},
    ],
}
THREE = {**TWO, "forms": [*TWO["forms"], {"id": "push", "name": "Push buttons", "answer": "Push buttons"}]}
WORDS = dict(load_words("en").templates)
REST = [
    ["changed", WORDS["pages.key.changed"]],
    ["none", WORDS["pages.key.none"]],
    ["cannot-tell", WORDS["pages.key.cannot_tell"]],
]


@pytest.mark.parametrize(
    ("value", "forms", "kind"),
    [
        ("toggle", ["toggle"], "form"),
        ("toggle+rocker", ["toggle", "rocker"], "several"),
        ("toggle+gone", ["toggle"], "form"),
        ("changed", [], "changed"),
        ("cannot-tell", [], "cannot-tell"),
    ],
)
def test_a_value_is_read_as_an_answer_and_written_again(node: str, value: str, forms: list[str], kind: str) -> None:
    run = "[guide.answers.read(given[0], given[1]), guide.answers.valueOf(guide.answers.read(given[0], given[1]))]"
    read, written = evaluate(node, "path", run, [TWO, value])
    assert read == {"mark": "switches", "forms": forms, "kind": kind}
    assert written == ("+".join(forms) or kind)


def test_what_can_be_chosen_is_each_form_both_and_the_rest(node: str) -> None:
    run = """given.jobs.map(([mark, value]) => guide.answers.choices(
      guide.words(given.words), mark, value && guide.answers.read(mark, value)))"""
    jobs = [[TWO, ""], [TWO, "toggle+rocker"], [THREE, ""], [THREE, "toggle+push"]]
    both, again, three, several = evaluate(node, "keeping", run, {"words": WORDS, "jobs": jobs})
    assert both == [
        ["toggle", "Round metal toggles"],
        ["rocker", "Flat black rockers"],
        ["toggle+rocker", WORDS["pages.key.both"]],
        *REST,
    ]
    assert again == both, "both of two forms stands there already"
    assert [value for value, _ in three] == ["toggle", "rocker", "push", "changed", "none", "cannot-tell"]
    assert several[3] == ["toggle+push", "Round metal toggles or push buttons"]


def test_an_answer_in_a_few_words(node: str) -> None:
    run = """given.values.map((value) => guide.answers.inWords(
      guide.words(given.words), given.mark, guide.answers.read(given.mark, value)))"""
    said = evaluate(node, "keeping", run, {"words": WORDS, "mark": TWO, "values": ["toggle", "toggle+rocker", "none"]})
    form = WORDS["pages.key.answer.form"]
    assert said == [
        form.replace("{part}", "Small switches").replace("{form}", "Toggles"),
        form.replace("{part}", "Small switches").replace("{form}", "Toggles or rockers"),
        WORDS["pages.key.answer.none"].replace("{part}", "Small switches"),
    ]


def test_the_vocabulary_holds_every_mark_and_form_by_id(node: str) -> None:
    model = {"marks": [TWO], "reaches": {"outside": 1, "door": 2}}
    found = evaluate(node, "path", "guide.answers.vocabulary(given, {marks: {old: 'switches'}, forms: {}})", model)
    assert list(found["marks"]) == ["switches"]
    assert list(found["marks"]["switches"]["forms"]) == ["toggle", "rocker"]
    assert found["reaches"] == ["outside", "door"]
    assert found["formerly"]["marks"] == {"old": "switches"}


def test_days_are_read_and_counted(node: str) -> None:
    texts = ["1968", "1968-02", "1968-02-29", "1969-02-29", "1968-13", "0000", " 1968 ", "68", "1968-22", "9999-12"]
    run = """given.map((text) => { const days = guide.days.read(text);
      return days && days.map(guide.days.iso); })"""
    assert evaluate(node, "days", run, texts) == [
        ["1968-01-01", "1968-12-31"],
        ["1968-02-01", "1968-02-29"],
        ["1968-02-29", "1968-02-29"],
        None,
        None,
        None,
        ["1968-01-01", "1968-12-31"],
        None,
        None,
        ["9999-12-01", "9999-12-31"],
    ]


def test_the_ends_are_those_of_the_widest_span_whatever_it_holds(node: str) -> None:
    spans = [
        {"level": 0.8, "from": "1968-01-01", "to": "1968-02-01"},
        {"level": 0.8, "from": "1969-01-01", "to": "1969-02-01"},
        {"level": 0.4, "from": "1968-01-10", "to": "1968-01-20"},
    ]
    assert evaluate(node, "days", "guide.days.widest(given).length", spans) == 2
    assert evaluate(node, "days", "guide.days.ends(given)", spans) == {"from": "1968-01-01", "to": "1969-02-01"}


def test_the_place_of_a_number_counts_the_runs_before_it(node: str) -> None:
    runs = [["C", 1001, 10], ["D", 1, 5], ["", 2001, 5]]
    reads = [("C", 1003), ("D", 5), ("C", 2002), ("C", 1011), ("E", 1)]
    run = "given.reads.map(([prefix, number]) => guide.numbers.place(given.runs, {prefix, number}))"
    assert evaluate(node, "numbers", run, {"runs": runs, "reads": reads}) == [2, 14, 16, None, None]


PAGE = """
globalThis.document = {
  createElement: (tag) => element(tag), createElementNS: (space, tag) => element(tag),
};
function element(tag) {
  const own = { tag, attributes: {}, inside: [], heard: {} };
  return Object.assign(own, {
    setAttribute: (name, value) => { own.attributes[name] = value; }, append: (...some) => own.inside.push(...some),
    addEventListener: (name, listener) => { own.heard[name] = listener; }, replaceChildren: () => { own.inside = []; },
  });
}
"""


def test_elements_take_what_they_are_given_and_leave_out_what_is_nothing(node: str) -> None:
    run = """(() => {
      const { make, put } = guide.elements;
      let pressed = 0;
      const made = make("p", { class: "a", hidden: true, id: null, title: false, onclick: () => { pressed += 1; } },
        "one", null, [make("b", {}, "two"), ""], undefined);
      made.heard.click();
      const before = [made.tag, made.attributes, made.inside.map((one) => one.tag || one), pressed];
      put(made, "three");
      return [before, made.inside];
    })()"""
    assert evaluate(node, "elements", PAGE + run) == [["p", {"class": "a", "hidden": ""}, ["one", "b"], 1], ["three"]]


def test_a_choice_calls_back_with_its_value(node: str) -> None:
    run = """(() => {
      let chosen = null;
      const made = guide.elements.select("x", [["a", "A"], ["b", "B"]], "b", (value) => { chosen = value; });
      made.value = "a";
      made.heard.change();
      return [made.attributes.id, made.inside.map((one) => [one.attributes, one.inside]), chosen];
    })()"""
    assert evaluate(node, "elements", PAGE + run) == [
        "x",
        [[{"value": "a"}, ["A"]], [{"value": "b", "selected": ""}, ["B"]]],
        "a",
    ]
