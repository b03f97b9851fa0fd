"""The facts of a guide, as every later stage sees them: frozen, typed, each knowing its place.

Reading makes these once; after that nothing touches a mapping of loose text. Order in every tuple and
mapping is the editor's declared order, and ties anywhere follow it. Ids are file names or keys. Single values
stand in `values`, each record in the module that reads it; all are to be had from here.
"""

from __future__ import annotations

from guide.facts.records.areas import Area
from guide.facts.records.assemblies import Assembly
from guide.facts.records.calendars import Calendar, CalendarEntry, CalendarKind
from guide.facts.records.care import CareNote
from guide.facts.records.cars_seen import CarSeen
from guide.facts.records.counts import Count, CountKind
from guide.facts.records.editions import KeptEdition, PublishedEdition, ToldForm, ToldLimit, ToldMark, ToldStatement
from guide.facts.records.fittings import FittedAs, Fitting
from guide.facts.records.forms import Detail, Form, Spell, TakenFor
from guide.facts.records.frontispiece import Plate
from guide.facts.records.guide_file import ChangedTogether, Guide, RenewedTogether
from guide.facts.records.interiors import Interior, Span
from guide.facts.records.marks import Mark
from guide.facts.records.model_years import ModelYear
from guide.facts.records.one_car import Report
from guide.facts.records.parts import PartNumber, Supply, SupplyKind
from guide.facts.records.periods import Period
from guide.facts.records.pictures import Picture
from guide.facts.records.production import CarModel, Closure, Production
from guide.facts.records.rivals import EndRuling, RivalEnd
from guide.facts.records.rulings import Ruling
from guide.facts.records.runs import Run
from guide.facts.records.series import DatedCar, OutsideCars, Series, Stray
from guide.facts.records.sources import Source
from guide.facts.records.splits import ShareRow, Split, SplitValue
from guide.facts.records.statements import Statement, StatementKind
from guide.facts.records.vocabulary import Word
from guide.facts.values import (
    RESERVED_IDS,
    CarNumber,
    FormRef,
    NumberFailure,
    Reach,
    Scope,
    StatedAt,
    Sureness,
    Text,
    Trust,
    When,
    WhenKind,
)

__all__ = [
    "RESERVED_IDS",
    "Area",
    "Assembly",
    "Calendar",
    "CalendarEntry",
    "CalendarKind",
    "CarModel",
    "CarNumber",
    "CarSeen",
    "CareNote",
    "ChangedTogether",
    "Closure",
    "Count",
    "CountKind",
    "DatedCar",
    "Detail",
    "EndRuling",
    "FittedAs",
    "Fitting",
    "Form",
    "FormRef",
    "Guide",
    "Interior",
    "KeptEdition",
    "Mark",
    "ModelYear",
    "NumberFailure",
    "OutsideCars",
    "PartNumber",
    "Period",
    "Picture",
    "Plate",
    "Production",
    "PublishedEdition",
    "Reach",
    "RenewedTogether",
    "Report",
    "RivalEnd",
    "Ruling",
    "Run",
    "Scope",
    "Series",
    "ShareRow",
    "Source",
    "Span",
    "Spell",
    "Split",
    "SplitValue",
    "StatedAt",
    "Statement",
    "StatementKind",
    "Stray",
    "Supply",
    "SupplyKind",
    "Sureness",
    "TakenFor",
    "Text",
    "ToldForm",
    "ToldLimit",
    "ToldMark",
    "ToldStatement",
    "Trust",
    "When",
    "WhenKind",
    "Word",
]
