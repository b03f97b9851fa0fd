"""guide.yml: the guide as a whole. Splits and its own constants are read first: the rest hangs on them."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import replace
from typing import Any, ClassVar

from guide.constants import CONSTANTS
from guide.facts.records.areas import Area, each_in_one
from guide.facts.records.assemblies import Assembly
from guide.facts.records.care import CareNote
from guide.facts.records.cars_seen import CarSeen
from guide.facts.records.editions import KeptEdition, PublishedEdition, edition
from guide.facts.records.fields import Field, Reader, Typed, key, list_of, raw, record, records_of
from guide.facts.records.frontispiece import Plate, plates
from guide.facts.records.interiors import Interior
from guide.facts.records.marks import Mark
from guide.facts.records.model_years import ModelYear
from guide.facts.records.periods import Period
from guide.facts.records.pictures import Picture
from guide.facts.records.production import (
    CarModel,
    Closure,
    Production,
    check_series_have_production,
    models_of,
    production_of,
    productions,
    whole_of,
)
from guide.facts.records.readers import (
    a_share,
    duration_days,
    mark_ids,
    of_text,
    said,
    share_of_text,
    source_id,
    text,
    texts,
    yes_no,
)
from guide.facts.records.references import form_ref
from guide.facts.records.scopes import cars
from guide.facts.records.series import Series
from guide.facts.records.sources import Source
from guide.facts.records.splits import ShareRow, Split, share_rows
from guide.facts.records.vocabulary import Word
from guide.facts.text.desk import Desk
from guide.facts.text.meant import nearest
from guide.facts.text.problem import Problem, write
from guide.facts.text.source import Node
from guide.facts.values import FormRef, Scope, Text
from guide.facts.when.numbers import of_first_kind
from guide.finding import Place
from guide.sentence import sentence

__all__ = ["ChangedTogether", "Guide", "RenewedTogether", "read_overrides"]

_FORMAT = "1"
_FINE_ENOUGH_DAYS = 91


@record("changed-together")
class ChangedTogether:
    """Forms that came in at one moment: one hidden changeover for all of them."""

    name: str = key(said)
    scope: Scope = key(cars, "for", default=Scope())
    forms: tuple[FormRef, ...] = key(list_of(form_ref.read, "form-refs"))  # each the form that comes in
    source: str = key(source_id, default="")
    place: Place


@record("renewed-together")
class RenewedTogether:
    """Marks that one later job replaces together. Sets do not overlap."""

    id: str = key(text, default="")
    name: str = key(said)  # "a re-trim"
    marks: tuple[str, ...] = key(mark_ids)
    share: float = key(a_share)  # of cars today that have had it done
    place: Place


def _renewed_together(node: Node, desk: Desk) -> tuple[RenewedTogether, ...]:
    """Return the sets of marks that one job renews; no mark stands in two."""
    stands: dict[str, Place] = {}
    return tuple(
        replace(
            one,
            id=one.id or "-".join(re.findall(r"[a-z0-9]+", one.name.casefold())),
            marks=tuple(each_in_one(one.marks, stands, "facts.renewed-twice", desk)),
        )
        for one in records_of(RenewedTogether, "list").read(node, desk) or ()
    )


renewed_together: Reader[tuple[RenewedTogether, ...]] = Reader(sentence("facts.shape.list"), _renewed_together)


@of_text("text")
def _format(typed: Text, desk: Desk) -> Text:
    if typed != _FORMAT:
        desk.refuse("facts.unknown-format", typed, known=_FORMAT)
    return typed


@of_text("text")
def _language(tag: Text, desk: Desk) -> Text:
    if not re.fullmatch(r"[A-Za-z]{2,3}(-[A-Z][a-z]{3})?(-([A-Z]{2}|\d{3}))?(-([a-z0-9]{5,8}|\d[a-z0-9]{3}))*", tag):
        put_right = write(tag.replace("_", "-")) if "_" in tag else None
        desk.refuse("facts.bad-language-tag", tag, put_right=put_right)
    return tag


@of_text("text")
def _licence(licence: Text, desk: Desk) -> Text:
    """Say that a licence is no SPDX identifier; of those a guide is likely to name, the numbered ones are told."""
    commons = r"CC0-1\.0|CC-BY(-NC)?(-ND|-SA)?-([123]\.0|2\.5|4\.0)"
    if not re.fullmatch(commons if licence.upper().startswith("CC") else r"[A-Za-z0-9.+-]+", licence):
        desk.refuse("facts.unknown-licence", licence)
    return licence


@of_text("address")
def _address(typed: Text, desk: Desk) -> Text:
    """Return where the guide is published, closed by a slash. Source: RFC 3986, 3; no query, no fragment."""
    if not re.fullmatch(r"https?://[A-Za-z0-9.-]+(:[0-9]+)?(/[A-Za-z0-9._~%/-]*)?", typed):
        desk.refuse("facts.bad-address", typed)
        return Text("", typed.place)
    return typed if typed.endswith("/") else Text(f"{typed}/", typed.place)


@of_text("corrections")
def _corrections(typed: Text, desk: Desk) -> Text:
    """Return an e-mail address (the plain ones of RFC 5321, 4.1.2) or that of a page."""
    if not re.fullmatch(
        r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~.-]+@[A-Za-z0-9-]+([.][A-Za-z0-9-]+)+|https?://[^\s<>\"]+", typed
    ):
        desk.refuse("facts.bad-corrections", typed)
        return Text("", typed.place)
    return typed


@record("guide")
class Guide:
    """Everything the editor has stated. All mappings are in declared order."""

    FORMAT: ClassVar = Field("format", _format, needed=True)
    title: str = key(said)  # "Larkhythe Tern interiors"
    formerly: tuple[str, ...] = key(texts, default=())  # earlier titles, under which browsers keep notes of cars
    car: str = key(said)  # the model in a sentence: "Larkhythe Tern"
    subtitle: str = key(said, default="")
    published: PublishedEdition = key(edition, "edition")
    language: str = key(_language, default="en-GB")  # BCP 47
    ALSO_IN: ClassVar = Field("also in", list_of(_language.read, "languages"))
    licence: str = key(_licence, default="")  # SPDX identifier, empty when none is given
    address: str = key(_address, default="")  # where it is published, with a closing slash; empty when not known
    pictures: tuple[Picture, ...] = key(records_of(Picture, "pictures"), default=())  # whose those shown elsewhere are
    frontispiece: tuple[Plate, ...] = key(plates, default=())  # the car drawn, with the places of its marks
    contact: str = key(said, default="")  # whom to write to, in words; empty when none is given
    corrections: str = key(_corrections, default="")  # where a correction goes: an e-mail address, or a form's address
    PRODUCTION: ClassVar = Field("production", productions, needed=True)
    productions: tuple[Production, ...]  # one, or each model's own
    fine_enough_days: int = key(duration_days, "fine enough", default=_FINE_ENOUGH_DAYS)
    mask_numbers: bool = key(yes_no, default=True)  # hide the last two digits of cars seen
    mask_seen_statements: bool = key(yes_no, default=False)  # and of the cars that `seen:` statements name
    wanted_looks: bool = key(yes_no, default=False)  # notes ask for the looks that would tell most
    withdrawn: tuple[str, ...] = key(texts, default=())  # numbers of cars that are told nowhere
    closures: tuple[Closure, ...] = key(records_of(Closure, "closures"), "closed", default=())
    MODEL_YEARS: ClassVar = Field("model years", raw("model-years"))
    splits: Mapping[str, Split] = key(raw("splits"), default_factory=dict)
    shares: tuple[ShareRow, ...] = key(share_rows, default=())
    assembled: tuple[Assembly, ...] = key(records_of(Assembly, "list"), default=())
    changed_together: tuple[ChangedTogether, ...] = key(records_of(ChangedTogether, "list"), default=())
    renewed_together: tuple[RenewedTogether, ...] = key(renewed_together, default=())
    # Constants it states for itself, by id:
    overrides: Mapping[str, float] = key(raw("constants"), "defaults", default_factory=dict)
    series: Mapping[str, Series]
    model_years: tuple[ModelYear, ...] = ()  # by days, for every series without a table of its own
    sources: Mapping[str, Source]
    areas: Mapping[str, Area]
    marks: Mapping[str, Mark]  # in walking order: by area, then the area's own order
    periods: Mapping[str, Period]
    interiors: Mapping[str, Interior]
    cars_seen: tuple[CarSeen, ...]
    care: Mapping[str, CareNote]
    words: Mapping[str, Word]
    about: str  # Markdown, about.md
    editions: tuple[KeptEdition, ...] = ()  # those before this one, in order
    languages: tuple[str, ...] = ()  # in which it is given, its first before all; none where in one only
    sites: tuple[tuple[str, str], ...] = ()  # of a guide in several languages: each, with the address of its site
    place: Place

    @classmethod
    def beside_keys(cls, typed: Typed[Guide], desk: Desk) -> dict[str, Any]:
        """Return the productions, and the closures that lie in them, where these are known."""
        stated = typed.find(cls.PRODUCTION) or ()
        ordered = {name: one for name, one in of_first_kind(desk.series).items() if one.gives_build_order}
        check_series_have_production(stated, ordered, desk)
        closures = []
        for closure in typed.value_of("closed") or ():
            own = production_of(stated, closure.series) if stated else None
            if own is not None and (closure.last < own.first or closure.first > own.last):
                first, last = own.first.isoformat(), own.last.isoformat()
                desk.find("facts.closed-outside-production", closure.place, first=first, last=last)
            else:
                closures.append(closure)
        return {"productions": stated, "closures": tuple(closures)}

    @property
    def edition(self) -> str:
        """What this edition is called."""
        return self.published.name

    @property
    def production(self) -> Production:
        """The whole build, of all models together."""
        return whole_of(self.productions)

    def production_of(self, series: Collection[str]) -> Production:
        """Return the build of some series together; of all where none is named."""
        return production_of(self.productions, series)

    @property
    def models(self) -> tuple[CarModel, ...]:
        """The models of car, in order: most guides have one."""
        return models_of(self.productions, self.ordered_series, self.periods)

    @property
    def ordered_series(self) -> Mapping[str, Series]:
        """The series whose numbers follow the build, in declared order: a car is of one of them, and dated by it."""
        return {name: one for name, one in of_first_kind(self.series).items() if one.gives_build_order}

    @property
    def further_numbers(self) -> Mapping[str, Series]:
        """The series of further numbers on the same cars, as of bodies or engines, in declared order."""
        return {name: one for name, one in self.series.items() if name not in of_first_kind(self.series)}


def read_overrides(node: Node | None, desk: Desk) -> dict[str, float]:
    """Return the constants that the guide states for itself, by their id."""
    found = {}
    for typed, value in desk.pairs_of(node, "facts.wrong-shape.constants"):
        name = re.sub(r"[\s-]+", "_", typed.casefold())
        scalar = text.read(value, desk)
        if name not in CONSTANTS:
            near = nearest(name, CONSTANTS)
            desk.refuse("facts.unknown-constant", typed, put_right=write(near and near.replace("_", " ")))
        elif scalar is not None:
            number = float(scalar) if re.fullmatch(r"\d+(\.\d+)?", scalar) else share_of_text(scalar)
            if isinstance(number, Problem):
                usual = {"number": f"{CONSTANTS[name].value:g}", "unit": CONSTANTS[name].unit}
                desk.refuse("facts.not-a-number-typed.default", scalar, key=str(typed), **usual)
            else:
                found[name] = number
    return found
