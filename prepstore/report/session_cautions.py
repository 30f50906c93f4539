"""What a demonstrator reads before the door of a session opens: on one page."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from prepstore.amounts import Kind
from prepstore.cell_types import KNOWN_ENDS, ItemKind, fold
from prepstore.planning.classified_solutions import SolutionClasses
from prepstore.planning.composition import substance_of
from prepstore.planning.demands import SessionWork
from prepstore.planning.handled import handled_by
from prepstore.planning.meetings import Meeting
from prepstore.planning.plan import Plan
from prepstore.report.container_acidity_words import gas_of_session
from prepstore.report.meeting_words import (
    CLOSE_NOTHING,
    gas_in_words,
    pairs_in_words,
    reactions_of_session,
    worth_telling,
)
from prepstore.report.wording import far_day_in_words
from prepstore.safety.cautions import IN_SHORT, cautions_for
from prepstore.safety.hazard_statements import in_words
from prepstore.safety.meeting.meetings import hits_among, unchecked_among
from prepstore.safety.meeting.remedies import Where

_PAIRS: Final = 10
_APART: Final = (
    "Keep these apart, in waste bottles too; bring them together only as the script says."
)
"""Common practice, no source."""


@dataclass(frozen=True, slots=True)
class CautionsPart:
    """A part of the page: its heading and its paragraphs."""

    heading: str
    paragraphs: tuple[str, ...]


def session_cautions(
    plan: Plan, work: SessionWork, classes: SolutionClasses
) -> tuple[CautionsPart, ...]:
    """Return what stands on a session's page of cautions; parts without anything are left out.

    Args:
        plan: The plan of a period with the session.
        work: The session.
        classes: Of the solutions, which are classified as made on the session's day.
    """
    practical = plan.catalogue.practicals[fold(work.session.practical)]
    parts = (
        CautionsPart(_head(plan, work), (IN_SHORT,)),
        CautionsPart("The script says", (practical.notes,) if practical.notes else ()),
        CautionsPart("On the benches", tuple(_hazards(plan, work, classes))),
        CautionsPart("Must not meet on the benches", tuple(_meetings(plan, work))),
        CautionsPart("Gas", tuple(_gas(plan, work))),
        CautionsPart("Waste containers to stand by", tuple(_waste(plan, work))),
        CautionsPart("Take care", tuple(_cautions(plan, work))),
    )
    return tuple(part for part in parts if part.paragraphs)


def _head(plan: Plan, work: SessionWork) -> str:
    session = work.session
    practical = plan.catalogue.practicals[fold(session.practical)]
    start = f"{session.start:%H:%M}" if session.start else ""
    return " · ".join(
        text
        for text in (
            session.session,
            f"{practical.practical} {practical.title}",
            f"{far_day_in_words(session.date)} {start}".strip(),
            session.room or "",
            f"{session.students} students, {work.scale.groups} groups",
        )
        if text
    )


def _hazards(plan: Plan, work: SessionWork, classes: SolutionClasses) -> Iterator[str]:
    """Yield things with their statements, those with the same together."""
    statements = {name: _statements(plan, work, name, classes) for name in _chemicals(plan, work)}
    told = sorted(
        ((text, plan.label(name)) for name, text in statements.items()),
        key=lambda one: (not one[0].startswith("H"), one[0], fold(one[1])),
    )
    for text, things in groupby(told, key=lambda one: one[0]):
        yield f"{' / '.join(name for _, name in things)}: {text}"


def _chemicals(plan: Plan, work: SessionWork) -> Iterator[str]:
    """Yield what people handle beside apparatus and counted things (folded)."""
    for name in sorted(work.scale.needs):
        item = plan.catalogue.items.get(name)
        is_apparatus = item is not None and item.kind is ItemKind.APPARATUS
        if not is_apparatus and plan.materials[name].unit is not Kind.COUNT:
            yield name


def _statements(plan: Plan, work: SessionWork, name: str, classes: SolutionClasses) -> str:
    """Return the statements of an item as entered, of a solution as calculated."""
    item = plan.catalogue.items.get(name)
    if item is not None:
        codes: Iterable[str] = item.hazards or ()
        return _in_words(codes) or "no hazard codes are entered; see the safety data sheet"
    found = classes.of(name, work.session.date).classified
    words = _in_words((*found.h_codes, *found.euh))
    undecided = ", ".join(dict.fromkeys(one.what for one in found.undecided))
    told = words or "no class is calculated"
    return f"{told} (calculated{f'; not decided: {undecided}' if undecided else ''})"


def _in_words(codes: Iterable[str]) -> str:
    return "; ".join(f"{code} {in_words(code)}" for code in codes)


def _meetings(plan: Plan, work: SessionWork) -> Iterator[str]:
    """Yield the pairs of what stands on the benches, solutions told as what they are made of."""
    makeups = plan.catalogue.makeups
    origins: dict[str, set[str]] = {}
    for name in _chemicals(plan, work):
        for part in makeups.of(name).parts:
            origins.setdefault(part.name, set()).add(name)
    substances = [substance_of(plan.catalogue.items[name]) for name in origins]
    hits = [
        Meeting(Where.PLACE, "", hit)
        for hit in hits_among(substances)
        if not _is_in_one([origins[fold(one)] for one in hit.substances])
    ]
    if hits:
        yield f"{pairs_in_words(hits, _PAIRS)}. {_APART}"
    unchecked = " / ".join(one.substance for one in unchecked_among(substances))
    if unchecked:
        yield f"Not checked, which does not mean safe: {unchecked}."


def _is_in_one(things: list[set[str]]) -> bool:
    first, second = things
    return len(first) == 1 and first == second


def _gas(plan: Plan, work: SessionWork) -> Iterator[str]:
    for gas in worth_telling(plan.gas_of_sessions):
        if gas.name == work.session.session:
            yield f"{gas_in_words(gas)}."


def _waste(plan: Plan, work: SessionWork) -> Iterator[str]:
    ends = dict.fromkeys(share.end for line in work.scale.lines for share in line.ends)
    streams = [
        plan.catalogue.streams[end].stream
        for end in ends
        if end not in KNOWN_ENDS and end in plan.catalogue.streams
    ]
    if streams:
        yield " / ".join(streams)
    yield from (f"{text}." for text in reactions_of_session(plan, work) if text.startswith("in "))
    for name, text in gas_of_session(plan.acidity_of_containers, work.session.session):
        yield f"in {name}, {text}: {CLOSE_NOTHING}."


def _cautions(plan: Plan, work: SessionWork) -> Iterator[str]:
    for caution in cautions_for(handled_by(plan, work), {}):
        yield f"{caution.text} ({caution.because})"
