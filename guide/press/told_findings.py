"""What the preview shows of findings: a page of all of them by file, and a strip on every other page."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from html import escape
from pathlib import Path

from markdown import markdown

from guide.finding import Finding, Severity, mend_order, told_once
from guide.press.policy import policy_of
from guide.words.say import Words

__all__ = [
    "FINDINGS",
    "FOR_EDITOR",
    "STRIP_STYLE",
    "counts_said",
    "findings_page",
    "handbook_page",
    "parts_page",
    "plain_page",
    "with_strip",
]

FINDINGS = "findings.html"  # where the page of all findings stands in a preview
FOR_EDITOR = ("disclosed.html", "sent.html", "handing-over.html")  # its other pages that are never published
_HANDBOOK = Path(__file__).resolve().parent.parent / "handbook"
Concerned = Callable[[Finding], Mapping[str, str]]
_STYLE = """
body { margin: 2rem auto; max-width: 60rem; padding: 0 1rem; background: #faf7f0; color: #1c1a17;
  font: 1.125rem/1.45 Palatino, P052, serif; }
h1, h2 { font-weight: 400; } ul { list-style: none; padding: 0; } li { border-top: 1px solid #7c7466; }
pre, code { white-space: pre-wrap; overflow-wrap: anywhere; font-size: .9375rem; }
p { margin: .5rem 0; } .error p:first-child { font-weight: 600; }
table { border-collapse: collapse; } td, th { border: 1px solid #7c7466; padding: .25rem .5rem; text-align: left;
  vertical-align: top; }
@media (prefers-color-scheme: dark) { body { background: #1c1a17; color: #f0ebe0; } a { color: #9cc4e8; } }
"""
_POLICY = policy_of(_STYLE, besides="script-src 'self'; connect-src 'self'")
STRIP_STYLE = """
.preview-strip { padding: .5rem 1rem; border-bottom: 2px solid #7c7466; background: #efe8d8; color: #1c1a17;
  font: 1rem/1.4 Palatino, P052, serif; overflow-wrap: anywhere; }
.preview-strip a { color: #1c1a17; } .preview-strip p, .preview-strip ul { margin: 0; }
.preview-strip pre { white-space: pre-wrap; margin: .25rem 0; font-size: .9375rem; }
.preview-strip.broken { background: #1c1a17; color: #faf7f0; } .preview-strip.broken a { color: #faf7f0; }
.preview-note { display: block; margin-top: .25rem; padding-left: .5rem; border-left: 4px solid #7c7466; }
@media print { .preview-strip, .preview-note { display: none; } }
"""


def counts_said(findings: Sequence[Finding], words: Words) -> str:
    """Return how many there are of each severity, in words; that there are none."""
    if not findings:
        return words.say("press.preview.none")
    counts = {
        f"{severity}s": sum(finding.severity is severity for finding in findings) for severity in Severity
    }  # the slots are called after the severities
    return words.say("press.preview.counts", **counts)


def plain_page(title: str, body: str, words: Words) -> bytes:
    """Return a page of the preview's own; ``body`` is markup."""
    return f"""<!doctype html>
<html lang="{escape(words.language)}"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="{_POLICY}">
<title>{escape(title)}</title><style>{_STYLE}</style></head><body>{body}</body></html>
""".encode()


def parts_page(title: str, lead: str, parts: Iterable[tuple[str, Iterable[str]]], words: Words) -> bytes:
    """Return a page of the preview's own that tells headings, each with its lines."""
    told = ""
    for heading, lines in parts:
        listed = "\n".join(f"<li>{escape(line)}</li>" for line in lines)
        told += f"<h2>{escape(heading)}</h2>\n<ul>\n{listed}\n</ul>\n"
    return plain_page(title, f"<h1>{escape(title)}</h1>\n<p>{escape(lead)}</p>\n{told}", words)


def handbook_page(name: str, content: Path, words: Words) -> bytes | None:
    """Return a page of the handbook: the one beside the guide, else the program's own; None for none of that name."""
    if not re.fullmatch(r"[a-z-]+[.]md", name):
        return None
    path = next((path for path in (content / "handbook" / name, _HANDBOOK / name) if path.is_file()), None)
    if path is None:
        return None
    text = path.read_text(encoding="utf-8", errors="replace")
    body = markdown(text, extensions=["tables", "fenced_code", "sane_lists"])
    return plain_page(text.split("\n", 1)[0].lstrip("# "), body, words)


def findings_page(
    findings: Sequence[Finding], words: Words, concerned: Concerned = lambda _: {}, *, broken: bool = True
) -> bytes:
    """Return a page that shows what there is to put right, file by file, in the order in which one would mend it.

    ``concerned`` gives the pages that a finding concerns; ``broken``: what was saved cannot be shown.
    """
    by_file: dict[str, list[str]] = {}
    for finding in told_once(findings):
        by_file.setdefault(finding.place.file, []).append(_told(finding, words, concerned))
    title = words.say("press.preview.title")
    heading = words.say("press.preview.heading") if broken else title
    lead = words.say("press.preview.lead") if broken else counts_said(findings, words)
    files = "\n".join(
        f"<section><h2>{escape(file)}</h2>\n<ul>\n{chr(10).join(told)}\n</ul></section>"
        for file, told in by_file.items()
    )
    more = [("handbook/for-editors.md", "press.preview.handbook")]
    more += [(name, f"press.preview.editor.{name.removesuffix('.html')}") for name in FOR_EDITOR]
    links = "".join(f'<p><a href="/{name}">{escape(words.say(says))}</a></p>\n' for name, says in more)
    body = f"<h1>{escape(heading)}</h1>\n<p>{escape(lead)}</p>\n{files}\n{links}"
    return plain_page(title, body, words)


def _told(finding: Finding, words: Words, concerned: Concerned) -> str:
    parts = [f"<p>{escape(finding.line(words))}</p>"]
    if finding.excerpt:
        parts.append(f"<pre>{escape(finding.excerpt.strip())}</pre>")
    parts += [f"<p>{escape(line)}</p>" for line in finding.beneath(words)]
    if finding.chain:
        steps = "".join(f"<li>{escape(words.tell(step.says))}</li>" for step in finding.chain)
        parts.append(f"<details><summary>{escape(words.say('press.preview.why'))}</summary><ol>{steps}</ol></details>")
    page = next(iter(concerned(finding)), "")
    if page:
        said = escape(words.say("press.preview.open", page=page))
        parts.append(f'<p><a href="/{escape(page)}">{said}</a></p>')
    return f'<li class="{finding.severity}">{"".join(parts)}</li>'


def with_strip(
    page: bytes, name: str, findings: Sequence[Finding], words: Words, concerned: Concerned, *, broken: bool
) -> bytes:
    """Return a page with the strip at its head: how many findings there are, and those that concern this page; where a
    save is in error, a bar that says so and what is in error."""
    own = [(finding, pages[name]) for finding in mend_order(findings) if name in (pages := concerned(finding))]
    if broken:
        wrong = [finding for finding in mend_order(findings) if finding.severity is Severity.ERROR]
        parts = [f"<p>{escape(words.say('press.preview.bar'))}</p>"]
        parts += [f"<pre>{escape(finding.printed(words))}</pre>" for finding in wrong[:3]]
        own = [(finding, beside) for finding, beside in own if finding not in wrong[:3]]
    else:
        parts = []
    link = f'<a href="/{FINDINGS}">{escape(counts_said(findings, words))}</a>'
    parts.append(f"<p>{link} {escape(words.say('press.preview.own', n=len(own))) if own else ''}</p>")
    listed = "".join(
        f'<li data-beside="{escape(beside)}" class="{one.severity}">{escape(one.line(words))}</li>'
        for one, beside in own
    )
    parts += [f"<ul>{listed}</ul>"] if listed else []
    kind = "preview-strip broken" if broken else "preview-strip"
    strip = f'<aside class="{kind}" aria-label="{escape(words.say("press.preview.title"))}">{"".join(parts)}</aside>'
    page = re.sub(rb"<body[^>]*>", lambda match: match[0] + strip.encode(), page, count=1)
    return page.replace(b"</head>", b'<link rel="stylesheet" href="/preview.css"></head>', 1)
