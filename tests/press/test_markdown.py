"""The editor's Markdown: nothing unsafe comes out, ids keep still, what is lost is said."""

from __future__ import annotations

import re

import pytest

from guide.facts.types import Text
from guide.finding import Place
from guide.press.markdown import Job, Prose
from tests.told import ENGLISH

PROSE = Prose(("mark", "source"))


def turn(text: str, record: str = "dash", **more: object) -> tuple[str, list[str]]:
    job = Job(text, record, Place("about.md"), **more)  # type: ignore[arg-type]
    return PROSE.render(job), [finding.line(ENGLISH) for finding in job.findings]


@pytest.mark.parametrize(
    "link",
    [
        "[x](JaVaScript:a())",
        "[x](javascript\\:a)",
        "[x](&#106;avascript:a)",
        "[x](java\tscript:a)",
        "[x](data:text/html,x)",
        "[x][1]\n\n[1]: vbscript:a",
        "[x](<java script:a>)",
        "[x](\x01javascript:a)",
        "[x](jav&#x0A;ascript:a)",
        "[x](file:///etc/passwd)",
    ],
)
def test_a_link_to_anything_but_pages_mail_and_records_is_refused(link: str) -> None:
    page, findings = turn(link)
    assert "href" not in page
    assert "x" in page
    assert len(findings) == 1
    assert "expected a link to a web page" in findings[0]


@pytest.mark.parametrize("link", ["https://example.org/a?b=1&c=2", "mailto:editor@example.org"])
def test_an_honest_link_is_kept(link: str) -> None:
    page, findings = turn(f"[x]({link})")
    assert f'href="{link.replace("&", "&amp;")}"' in page
    assert findings == []


@pytest.mark.parametrize(
    "link",
    [
        "[x](//host/a)",
        "[x](///host)",
        r"[x](\\host\share)",
        r"[x](\\\\host\\share)",
        r"[x](</\host/a b>)",
        "[x][1]\n\n[1]: //host",
        "[x][1]\n\n[1]: \\\\host\\share",
    ],
)
def test_a_link_to_another_computer_that_does_not_say_how_is_refused(link: str) -> None:
    """A browser reads `//host` as a site of the page's own scheme; a file manager logs in to `\\\\host\\share`."""
    page, findings = turn(link)
    assert "href" not in page
    (finding,) = findings
    assert "warning: expected a link to a web page, a mail address or a record, found one to another comp" in finding


def test_a_link_within_the_text_leads_to_its_heading_and_one_to_none_is_said() -> None:
    page, findings = turn("# The care\n\n[a](#the-care) [b](#dash-the-care) [c](#wear)")
    assert page.count('<a href="#dash-the-care">') == 2
    assert "<span>c</span>" in page
    assert findings == ["about.md:3:40: warning: expected a heading of this text after #, found #wear"]


def test_an_address_within_the_guide_is_looked_for() -> None:
    pages = {"marks/dials.html": "../marks/dials.html", "../about.html": ""}
    page, findings = turn("[a](marks/dials.html) [b](../about.html) [c](other.html)", page=pages.get)
    assert page == '<p><a href="../marks/dials.html">a</a> <span>b</span> <span>c</span></p>'
    assert findings == [
        "about.md:1:46: warning: expected an address within this guide or a whole one, found other.html, which leads "
        "to no page"
    ]


@pytest.mark.parametrize(
    "text",
    [
        "".join(f"{'  ' * depth}- x\n" for depth in range(450)),
        "[" * 3000,
        "*a " * 3000 + "b" + "*" * 3000,
        "- " * 3000 + "x",
    ],
)
def test_a_text_nested_without_end_is_shown_as_typed_at_once(text: str) -> None:
    page, findings = turn(text)
    assert page.startswith("<p>")
    assert findings == [
        "about.md:1:1: warning: expected lists at most 20 deep and brackets that close, found more; the text is shown "
        "as typed"
    ]


@pytest.mark.parametrize("text", [">" * 3000 + " x", "[x](a) " * 200, "`" * 3000, "&" * 3000])
def test_a_text_that_only_looks_nested_is_laid_out(text: str) -> None:
    assert not [finding for finding in turn(text)[1] if "at most" in finding]


@pytest.mark.parametrize(
    "text",
    [
        "<script>a()</script>",
        "<img src=x onerror=a()>",
        "<div>\n\nblock\n\n</div>",
        "a <b onclick=a()>b</b>",
        "<!-- hidden -->",
        "<a href=javascript:a()>x</a>",
        "<svg/onload=a()>",
    ],
)
def test_raw_html_is_shown_as_text(text: str) -> None:
    page, _ = turn(text)
    assert set(re.findall(r"<([a-z0-9]+)", page)) <= {"p"}
    assert "&lt;" in page


def test_a_link_leads_to_a_record_and_a_dangling_one_is_said() -> None:
    def to(kind: str, identity: str) -> str | None:
        return "../marks/dials.html" if (kind, identity) == ("mark", "dials") else None

    page, findings = turn("See [the dials](mark:dials) and [it](mark:clock).", to=to)
    assert page == '<p>See <a href="../marks/dials.html">the dials</a> and <span>it</span>.</p>'
    assert findings == ["about.md:1:43: warning: expected one of this guide after mark:, found 'clock' in a link"]


def test_heading_ids_are_the_records_own_and_hold_any_script() -> None:
    page, _ = turn("# Приборная доска\n\n# Grüße & Küsse\n")
    assert 'id="dash-приборная-доска"' in page
    assert 'id="dash-grüße-küsse"' in page.replace("grüsse", "grüße")
    assert "<h3" in page


def test_a_heading_keeps_its_id_when_one_is_added_above_it() -> None:
    before, _ = turn("# Late\n## Wear\n")
    after, _ = turn("# Early\n## Wear\n# Late\n## Wear\n")
    assert 'id="dash-late"' in before
    assert 'id="dash-late"' in after
    assert len(set(re.findall(r'id="([^"]+)"', after))) == 4


def test_two_texts_with_the_same_footnote_share_a_page() -> None:
    text = "Seen[^1] twice[^1].\n\n[^1]: In the register.\n"
    ids = re.findall(r' id="([^"]+)"', turn(text, "dash")[0] + turn(text, "dials")[0])
    assert len(ids) == len(set(ids)) == 6


def test_extra_table_cells_are_said() -> None:
    page, findings = turn("One\n\n| a | b |\n|---|---|\n| 1 | 2 | 3 |\n")
    assert "<td>2</td>" in page
    assert findings == ["about.md:5:1: warning: expected 2 cells as in the table's head, found 3: '3' would be lost"]


def test_a_picture_with_blanks_and_brackets_in_its_name_is_found() -> None:
    asked: list[tuple[str, str]] = []

    def picture(name: str, alt: str) -> str | None:
        asked.append((name, alt))
        return f"<img alt='{alt}'>"

    page, findings = turn("![dash](left dash (1).jpg) ![dash](left%20dash%20(1).jpg)", picture=picture)
    assert asked == [("left dash (1).jpg", "dash")] * 2
    assert page.count("<img") == 2
    assert findings == []


def test_a_missing_picture_and_missing_words_are_said() -> None:
    _, findings = turn("![](no.jpg)")
    assert findings == [
        "about.md:1:5: note: expected words for those who cannot see no.jpg, found none",
        "about.md:1:5: warning: expected a picture no.jpg in the pictures folder, found none that can be shown",
    ]


def test_a_finding_names_the_line_inside_a_block_of_yaml() -> None:
    text = Text("First line.\nSecond [x](foo:bar).", Place("marks/dials.yml", 7, 8))
    _, (finding,) = turn(text)
    assert finding.startswith("marks/dials.yml:9:12: ")


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ('The works\' crease, and "later".', "<p>The works’ crease, and “later”.</p>"),
        ('It\'s *"bright"*, she said.', "<p>It’s <em>“bright”</em>, she said.</p>"),
        ("Type `say \"it's\"`'s name.", '<p>Type <code>say "it\'s"</code>’s name.</p>'),
        (
            "[the maker's \"plate\"](https://example.org/it's)",
            '<p><a href="https://example.org/it\'s" rel="noreferrer">the maker’s “plate”</a></p>',
        ),
        ('- "one\n- two"', "<ul>\n<li>“one</li>\n<li>two”</li>\n</ul>"),
        ('    it\'s "code"', '<pre><code>it\'s "code"\n</code></pre>'),
    ],
)
def test_running_text_has_the_marks_of_print_and_code_has_not(typed: str, printed: str) -> None:
    assert turn(typed)[0] == printed


def test_a_language_without_its_own_marks_keeps_the_typed_ones() -> None:
    prose = Prose((), "fr")
    assert prose.render(Job('l\'auto "rouge"', "x", Place("a.yml"))) == '<p>l’auto "rouge"</p>'


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("- a\n  - b\n  - c\n- d", "<ul><li>a<ul><li>b</li><li>c</li></ul></li><li>d</li></ul>"),
        ("- a\n    - b\n- c", "<ul><li>a<ul><li>b</li></ul></li><li>c</li></ul>"),
        ("1. a\n   - b\n     - c\n2. d", "<ol><li>a<ul><li>b<ul><li>c</li></ul></li></ul></li><li>d</li></ol>"),
        ("- a\n\n  more\n\n- b", "<ul><li><p>a</p><p>more</p></li><li><p>b</p></li></ul>"),
        ("- a\n\nmore\n\n  - b", "<ul><li>a</li></ul><p>more</p><ul><li>b</li></ul>"),
        ("- a\nb\n- c", "<ul><li>a b</li><li>c</li></ul>"),
        ("text\n\n    - code", "<p>text</p><pre><code>- code </code></pre>"),
        ("- a\n\n        code", "<ul><li>a<pre><code>code </code></pre></li></ul>"),
    ],
)
def test_a_list_nests_by_the_width_of_its_sign(typed: str, printed: str) -> None:
    assert re.sub(r"(?<=>) | (?=<[/uo])(?!</code)", "", turn(typed)[0].replace("\n", " ")) == printed


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("#37 has blue trim", "<p>#37 has blue trim</p>"),
        ("Two cars:\n#37 has blue trim", "<p>Two cars:\n#37 has blue trim</p>"),
        ("K7*1042* and *K8*", "<p>K7*1042* and <em>K8</em></p>"),
        ("`K7*1042*`, a *b* **c**d", "<p><code>K7*1042*</code>, a <em>b</em> <strong>c</strong>d</p>"),
        ("from_stock_to_works", "<p>from_stock_to_works</p>"),
        ("# Early", '<h3 id="dash-early">Early</h3>'),
        ("[x](https://example.org/a*b*c)", '<p><a href="https://example.org/a*b*c" rel="noreferrer">x</a></p>'),
    ],
)
def test_numbers_stay_as_typed(typed: str, printed: str) -> None:
    assert turn(typed)[0] == printed
