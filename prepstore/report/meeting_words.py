"""What must not meet, gas and acidity, in words for paper; none of them says that all is safe."""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import Final

from prepstore.amounts import Kind, plain
from prepstore.chemistry.carbon_dioxide import CarbonDioxide
from prepstore.chemistry.neutralising import AcidBaseBalance
from prepstore.planning.acidity import Gas, StreamAcidity
from prepstore.planning.demands import SessionWork
from prepstore.planning.meeting_warnings import ALREADY_THERE, gravest
from prepstore.planning.meetings import Meeting
from prepstore.planning.plan import Plan
from prepstore.report.wording import amount_in_words
from prepstore.safety.meeting.chart import codes_in_words
from prepstore.safety.meeting.meetings import (
    CONTENTS_KNOWN_IN_PART,
    CONTENTS_UNKNOWN,
    Unchecked,
)
from prepstore.safety.meeting.remedies import Where, remedy_for

CLOSE_NOTHING: Final = "let it off before a funnel or a bottle is closed"

_ML_PER_L: Final = 1000
_SHOWN_FROM_ML: Final = 10
"""Less gas than this is not told on paper."""


def pairs_in_words(hits: Sequence[Meeting], at_most: int) -> str:
    """Return pairs of substances and what happens, the gravest first; each pair once."""
    pairs: dict[str, dict[str, None]] = {}
    for hit in gravest(hits):
        pairs.setdefault(_pair(hit), {}).update(dict.fromkeys(hit.hit.codes))
    told = [f"{pair}: {codes_in_words(codes)}" for pair, codes in list(pairs.items())[:at_most]]
    if len(pairs) > at_most:
        told.append(f"and {len(pairs) - at_most} more")
    return "; ".join(told)


def _pair(hit: Meeting) -> str:
    """Return the two substances, and which of them only the open container has."""
    before = hit.from_before
    if len(before) == len(hit.hit.substances):
        return f"{' with '.join(hit.hit.substances)} (both {ALREADY_THERE})"
    return " with ".join(
        f"{one} ({ALREADY_THERE})" if one in before else one for one in hit.hit.substances
    )


def streams_that_react(plan: Plan, at_most: int) -> Iterator[tuple[str, str]]:
    """Yield each stream in which substances must not meet, the gravest pairs, and what to do."""
    apart = [
        hit for hit in plan.meetings.hits if hit.where is Where.STREAM and not hit.is_in_one_thing
    ]
    for name in dict.fromkeys(hit.name for hit in apart):
        hits = [hit for hit in apart if hit.name == name]
        remedy = remedy_for(gravest(hits)[0].hit.pair, Where.STREAM)
        yield name, f"{pairs_in_words(hits, at_most)}. {remedy}"


def reactions_of_session(plan: Plan, work: SessionWork) -> Iterator[str]:
    """Yield the gravest pair of each stream that a session sends one of to, and its gas."""
    session = work.session.session
    hits: dict[str, list[Meeting]] = {}
    for hit in plan.meetings.hits:
        if session in hit.sessions and not hit.is_in_one_thing:
            hits.setdefault(hit.name, []).append(hit)
    for name, of_stream in hits.items():
        yield f"in {name}, {pairs_in_words(of_stream, 1)} (sheet Waste)"
    for gas in worth_telling(plan.gas_of_sessions):
        if gas.name == session:
            yield gas_in_words(gas)


def not_checked_in_words(plan: Plan) -> Iterator[tuple[str, str]]:
    """Yield each stream with the substances that have no group in the chart."""
    found: dict[str, list[str]] = {}
    for one in plan.meetings.not_checked:
        if one.where is Where.STREAM:
            found.setdefault(one.name, []).append(_not_checked(one.unchecked))
    for name, told in found.items():
        yield name, " / ".join(told)


def _not_checked(one: Unchecked) -> str:
    if one == CONTENTS_UNKNOWN:
        return "what is in the open container"
    if one == CONTENTS_KNOWN_IN_PART:
        return "part of what is in the open container"
    return one.substance


def gas_in_words(gas: Gas) -> str:
    """Return how much carbon dioxide there may be at most, spare included."""
    most = gas.allow_for or gas.expected
    litres = most.litres if most else Decimal(0)
    text = f"up to {gas_volume_in_words(litres)} of carbon dioxide"
    if gas.groups:
        text += f", {gas_volume_in_words(litres / gas.groups)} a group"
    not_counted = f" (not counted: {' / '.join(gas.not_counted)})" if gas.not_counted else ""
    return f"{text}{not_counted}: {CLOSE_NOTHING}"


def gas_volume_in_words(litres: Decimal) -> str:
    """Return a volume of gas to two figures."""
    return amount_in_words(_two_figures(litres * _ML_PER_L), Kind.VOLUME)


def _two_figures(number: Decimal) -> Decimal:
    return round(number, 1 - number.adjusted()) if number else number


def worth_telling(gases: Iterable[Gas]) -> Iterator[Gas]:
    """Yield those that may give off more than a breath of gas."""
    for gas in gases:
        most = gas.allow_for or gas.expected
        if most is not None and is_worth_telling(most):
            yield gas


def is_worth_telling(most: CarbonDioxide) -> bool:
    """Return whether it is more than a breath of gas."""
    return most.litres * _ML_PER_L >= _SHOWN_FROM_ML


def acidity_in_words(one: StreamAcidity) -> str:
    """Return what a stream has too much of, in mol of H+."""
    not_counted = f"; not counted: {' / '.join(one.not_counted)}" if one.not_counted else ""
    return f"{sum_in_words(one.balance)}{not_counted}. For neutralising by local rules; it is no pH"


def sum_in_words(balance: AcidBaseBalance) -> str:
    """Return acids and bases, in mol of H+, and which of them is left over."""
    left = (
        "as much acid as base"
        if balance.excess == "none"
        else (f"{_mol(balance.excess_mol)} too much {balance.excess}")
    )
    return f"acids {_mol(balance.acid_mol)}, bases {_mol(balance.base_mol)}: {left}"


def _mol(mol: Decimal) -> str:
    return f"{plain(_two_figures(mol))} mol"
