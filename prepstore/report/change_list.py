"""What differs from an earlier plan, as lines that say what to do about it."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from prepstore.amounts import Kind
from prepstore.planning.changes import Changes, Difference
from prepstore.report.wording import amount_in_words, day_in_words


@dataclass(frozen=True, slots=True)
class ChangeLine:
    """One thing to do: under which heading, of what, how much more or less, before and now."""

    heading: str
    what: str
    to_do: str
    before: str
    now: str


_STUDENTS: Final = "Students"
_ON_THE_BENCH: Final = "On the bench of"
_MAKE_UP: Final = "Make up"
_SHORT: Final = "Short"
_ORDER: Final = "Order"
_CONTAINERS: Final = "Waste containers"


def change_lines(changes: Changes) -> Iterator[ChangeLine]:
    """Yield what to do about each difference: sessions, benches, batches, orders, containers."""
    for students in changes.students:
        yield _line(_STUDENTS, students.key, students, Kind.COUNT, ("more", "fewer"))
    # One heading a session, whatever the order in which its items changed.
    for bench in sorted(changes.benches, key=lambda change: change.key[0]):
        session, item = bench.key
        kind = Kind(changes.units.get(item, Kind.COUNT))
        yield _line(f"{_ON_THE_BENCH} {session}", item, bench, kind, ("add", "take off"))
    for batch in changes.batches:
        solution, make_on = batch.key
        what = f"{solution}, made on {day_in_words(make_on)}"
        yield _line(_MAKE_UP, what, batch, Kind.VOLUME, ("make more", "make less"))
    for short in changes.short:
        kind = Kind(changes.units.get(short.key, Kind.COUNT))
        yield _line(_SHORT, short.key, short, kind, ("more is short,", "less is short,"))
    for packs in changes.packs:
        what = f"{packs.key[0]}, {packs.key[1]}"
        yield _line(_ORDER, what, packs, Kind.COUNT, ("order more", "cancel"))
    for containers in changes.containers:
        yield _line(_CONTAINERS, containers.key, containers, Kind.COUNT, ("more", "fewer"))


def _line(
    heading: str,
    what: str,
    change: Difference[Any],
    kind: Kind,
    words: tuple[str, str],
) -> ChangeLine:
    more, less = words
    size = amount_in_words(abs(change.difference), kind)
    return ChangeLine(
        heading=heading,
        what=what,
        to_do=f"{more if change.difference > 0 else less} {size}",
        before=_amount(change.before, kind),
        now=_amount(change.now, kind),
    )


def _amount(number: Decimal, kind: Kind) -> str:
    return amount_in_words(number, kind) if number else "none"


def change_summary(changes: Changes, since: str) -> Iterator[str]:
    """Yield the differences under their headings, for the screen."""
    yield f"Changes since {since}"
    if changes.is_empty:
        yield "Nothing differs."
    heading = ""
    for line in change_lines(changes):
        if line.heading != heading:
            heading = line.heading
            yield ""
            yield heading
        yield f"  {line.what}: {line.to_do} ({line.before} before, {line.now} now)"
    yield ""
    yield "A plan, not a risk assessment: safety data sheets and local codes first."
