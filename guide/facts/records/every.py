"""Every kind of record, in the order in which editors are told of them."""

from __future__ import annotations

from guide.facts import types as facts
from guide.facts.records.calendars import CalendarLine
from guide.facts.records.fields import Record, record_of
from guide.facts.records.letters_kept import KeptLetter
from guide.facts.records.pictures import Picture
from guide.facts.records.rivals import EndCar, EndDay
from guide.facts.records.rulings import READ_AS
from guide.facts.records.sources import ISSUE
from guide.facts.records.statements import CHANGE
from guide.facts.records.statements_csv import COLUMNS

__all__ = ["KEYS", "RECORDS"]

_OF_GUIDES: tuple[Record, ...] = (
    *map(
        record_of,
        (
            facts.Guide,
            facts.PublishedEdition,
            facts.Production,
            facts.Closure,
            facts.Split,
            facts.SplitValue,
            facts.ShareRow,
        ),
    ),
    *map(record_of, (EndDay, EndCar, facts.EndRuling, facts.Assembly)),
    *map(record_of, (facts.ChangedTogether, facts.RenewedTogether, facts.Series, facts.Run, CalendarLine)),
    *map(record_of, (facts.DatedCar, facts.Stray, facts.OutsideCars, facts.ModelYear, facts.Source)),
    ISSUE,
    *map(record_of, (facts.Period, facts.Interior, facts.Span)),
    *map(record_of, (facts.Area, facts.Mark, facts.Form, facts.Spell, facts.TakenFor, facts.Fitting, facts.Count)),
    *map(record_of, (facts.PartNumber, facts.Supply)),
    *(record_of(Picture), record_of(facts.Detail), record_of(facts.Plate)),
    *(record_of(facts.Statement), CHANGE),
    *(record_of(facts.Ruling), READ_AS),
    *(record_of(facts.CareNote), record_of(facts.Word), COLUMNS, record_of(facts.CarSeen)),
)
RECORDS = (*_OF_GUIDES, record_of(KeptLetter))
KEYS = frozenset(one.name for declared in _OF_GUIDES for one in declared.fields)
