"""What differs from an earlier plan, as lines that say what to do about it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import singledispatch
from typing import Final

from prepstore.amounts import Kind
from prepstore.planning.differs import (
    ApparatusDiffers,
    BatchDiffers,
    BenchDiffers,
    DeliveryDiffers,
    Differs,
    OrderDiffers,
    SessionDiffers,
    ShortDiffers,
    StateDiffers,
    StreamDiffers,
    WarningDiffers,
)
from prepstore.planning.papers import (
    BatchThen,
    BenchThen,
    DeliveryThen,
    OrderThen,
    StreamThen,
)
from prepstore.planning.states import State
from prepstore.report.screen import wrapped
from prepstore.report.session_words import session_now, session_then, session_to_do
from prepstore.report.wording import amount_in_words, day_in_words

NONE: Final = "none"


@dataclass(frozen=True, slots=True)
class ChangeLine:
    """One thing that is otherwise: under which heading, of what, what to do, before and now.

    `is_to_do` is false where there is only something to know.
    """

    heading: str
    what: str
    to_do: str
    before: str
    now: str
    is_to_do: bool = True


def change_lines(differences: Iterable[Differs]) -> Iterator[ChangeLine]:
    """Yield what to do about each difference."""
    return (_line(one) for one in differences)


@singledispatch
def _line(differs: Differs) -> ChangeLine:
    raise TypeError(f"There are no words for {differs}.")


@_line.register
def _of_session(differs: SessionDiffers) -> ChangeLine:
    then, now = differs.before, differs.now
    of = now or then
    name = "" if of is None else f"{of.session} ({of.practical})"
    return ChangeLine(
        "Sessions",
        name,
        session_to_do(differs),
        session_then(then) if then else NONE,
        session_now(differs) or NONE,
    )


@_line.register
def _of_state(differs: StateDiffers) -> ChangeLine:
    now, was = differs.now.state, differs.before.state
    before = "" if differs.before is differs.now else was
    to_do = _STATE_WORDS.get(State(now), "") if now != was or not before else ""
    return ChangeLine(
        "What stands in the way",
        differs.now.session,
        to_do,
        before or NONE,
        now,
        is_to_do=now != State.COVERED,
    )


_STATE_WORDS: Final = {
    State.LATE: "late now: see the sheet Week for what is missing",
    State.ORDER: "waits for an order now",
    State.MAKE_UP: "a solution is to be made now; nothing else is missing",
    State.COVERED: "covered now",
}


@_line.register
def _of_bench(differs: BenchDiffers) -> ChangeLine:
    kind = Kind(differs.unit)
    return ChangeLine(
        f"On the bench of {differs.session}",
        differs.item,
        "; ".join(_bench_to_do(differs, kind)),
        _bench(differs.before, kind),
        _bench(differs.now, kind),
    )


def _bench_to_do(differs: BenchDiffers, kind: Kind) -> Iterator[str]:
    more, before, now = differs.difference, differs.before, differs.now
    if more and differs.is_uses:
        uses = "use" if abs(more) == 1 else "uses"
        yield f"{amount_in_words(abs(more), kind)} {uses} {'more' if more > 0 else 'fewer'}"
    elif more > 0:
        yield f"add {amount_in_words(more, kind)}{_from(differs)}"
    elif more:
        yield f"take off {amount_in_words(abs(more), kind)}"
    if now is None:
        return
    if before is None or (before.containers, before.fill) != (now.containers, now.fill):
        yield from _bottles(now, kind)
    is_said = more > 0 and now.lots and not differs.is_uses
    if before is not None and set(now.lots) != set(before.lots) and not is_said:
        yield _from(differs).lstrip() or "no longer from stock"


def _from(differs: BenchDiffers) -> str:
    """Return from which lots the amount comes now, with their places; blank where from none."""
    lots = differs.now.lots if differs.now else ()
    places = (f" ({differs.places[lot]})" if lot in differs.places else "" for lot in lots)
    words = ", ".join(f"{lot}{place}" for lot, place in zip(lots, places, strict=True))
    return f" from {words}" if words else ""


def _bottles(bench: BenchThen, kind: Kind) -> Iterator[str]:
    if bench.containers:
        fullest = amount_in_words(bench.fill, kind)
        yield f"in {bench.containers} shared, {fullest} in the fullest"


def _bench(bench: BenchThen | None, kind: Kind) -> str:
    if bench is None or not bench.amount:
        return NONE
    lots = f" from {', '.join(bench.lots)}" if bench.lots else ""
    return f"{amount_in_words(bench.amount, kind)}{lots}"


@_line.register
def _of_batch(differs: BatchDiffers) -> ChangeLine:
    of = differs.now or differs.before
    return ChangeLine(
        "Make up",
        of.solution if of else "",
        "; ".join(_batch_to_do(differs)),
        _batch(differs.before),
        _batch(differs.now),
    )


def _batch_to_do(differs: BatchDiffers) -> Iterator[str]:
    before, now = differs.before, differs.now
    if now is None and before is not None:
        yield "no longer needed"
        if differs.made:
            yield f"made already ({', '.join(differs.made)}): keep it or discard it"
        return
    if before is None and now is not None:
        yield f"make it on {day_in_words(now.make_on)}"
    if before is None or now is None:
        return
    if before.make_on != now.make_on:
        yield f"make it on {day_in_words(now.make_on)}"
    more = now.volume_ml - before.volume_ml
    if more:
        size = amount_in_words(abs(more), Kind.VOLUME)
        yield f"make {size} {'more' if more > 0 else 'less'}"
    elif before.make_on == now.make_on:
        is_other_amounts = _amounts(before) != _amounts(now)
        to_do = "weigh and measure again" if is_other_amounts else "take it from other lots"
        yield f"{to_do}: see the sheet Make up"


def _amounts(batch: BatchThen) -> dict[str, Decimal]:
    return {item: amount for item, (amount, _) in batch.parts.items()}


def _batch(batch: BatchThen | None) -> str:
    if batch is None:
        return NONE
    makings = f" in {batch.makings} makings" if batch.makings > 1 else ""
    volume = amount_in_words(batch.volume_ml, Kind.VOLUME)
    return f"{volume}{makings}, {day_in_words(batch.make_on)}"


@_line.register
def _of_order(differs: OrderDiffers) -> ChangeLine:
    of = differs.now or differs.before
    return ChangeLine(
        "Order",
        f"{of.pack}, {of.item}" if of else "",
        "; ".join(_order_to_do(differs)),
        _order(differs.before),
        _order(differs.now),
    )


def _order_to_do(differs: OrderDiffers) -> Iterator[str]:
    before, now = differs.before, differs.now
    if now is None:
        yield "no longer wanted: do not order it; if it is ordered, cancel it"
        return
    if before is None:
        yield f"order {now.packs}{_send_by(now.order_by)}"
    else:
        more = now.packs - before.packs + differs.placed
        if more:
            yield f"order {abs(more)} {'more' if more > 0 else 'fewer'}"
        if now.order_by != before.order_by:
            yield f"send it{_send_by(now.order_by)}"
        if before.is_for_spare and not now.is_for_spare:
            yield "needed now, and not for spare alone"
    if now.is_late:
        yield "LATE"


def _send_by(day: date | None) -> str:
    return f" by {day_in_words(day)}" if day else ", on no fixed day"


def _order(order: OrderThen | None) -> str:
    if order is None:
        return NONE
    return f"{order.packs}{_send_by(order.order_by)}"


@_line.register
def _of_delivery(differs: DeliveryDiffers) -> ChangeLine:
    of = differs.now or differs.before
    return ChangeLine(
        "Deliveries",
        f"{of.pack}, {of.item}" if of else "",
        _delivery_to_do(differs),
        _delivery(differs.before),
        _delivery(differs.now),
    )


def _delivery_to_do(differs: DeliveryDiffers) -> str:
    now = differs.now
    if now is None:
        return "no longer on order, but the earlier plan counted on it"
    if differs.is_overdue:
        return f"was due on {day_in_words(now.due)} and has not come: ask for it"
    if differs.is_too_late:
        return (
            f"comes on {day_in_words(now.due)}, TOO LATE for what counted on it: ask for it sooner"
        )
    if not now.is_counted:
        return "not needed in these days any more"
    return f"take it in on {day_in_words(now.due)}"


def _delivery(delivery: DeliveryThen | None) -> str:
    if delivery is None:
        return NONE
    reference = f", {delivery.reference}" if delivery.reference else ""
    return f"{delivery.packs} on {day_in_words(delivery.due)}{reference}"


@_line.register
def _of_short(differs: ShortDiffers) -> ChangeLine:
    kind = Kind(differs.unit)
    more = differs.now - differs.before
    size = amount_in_words(abs(more), kind)
    return ChangeLine(
        "Short, and no order brings it",
        differs.item,
        f"{size} {'more' if more > 0 else 'less'} is missing",
        _amount(differs.before, kind),
        _amount(differs.now, kind),
    )


def _amount(number: Decimal, kind: Kind) -> str:
    return amount_in_words(number, kind) if number else NONE


@_line.register
def _of_apparatus(differs: ApparatusDiffers) -> ChangeLine:
    now = differs.now
    to_do = f"{now[0]} missing from {_moment(now[1])}" if now else "enough now"
    return ChangeLine(
        "Apparatus and instruments",
        differs.item,
        to_do,
        _missing(differs.before),
        _missing(now),
        is_to_do=now is not None,
    )


def _missing(short: tuple[Decimal, str] | None) -> str:
    return f"{short[0]} missing from {_moment(short[1])}" if short else NONE


def _moment(at: str) -> str:
    day, _, clock = at.partition("T")
    return f"{day_in_words(date.fromisoformat(day))} {clock}"


@_line.register
def _of_stream(differs: StreamDiffers) -> ChangeLine:
    more = differs.now.containers - differs.before.containers
    words = []
    if more:
        size = f"{abs(more)} {'container' if abs(more) == 1 else 'containers'}"
        words.append(f"{size} {'more' if more > 0 else 'fewer'}")
    if differs.before.full_on != differs.now.full_on:
        words.append(_change_days(differs.now))
    return ChangeLine(
        "Waste containers",
        differs.stream,
        "; ".join(words),
        _stream(differs.before),
        _stream(differs.now),
    )


def _change_days(stream: StreamThen) -> str:
    if not stream.full_on:
        return "none is full in these days"
    return f"change it on {', '.join(day_in_words(day) for day in stream.full_on)}"


def _stream(stream: StreamThen) -> str:
    full = f", full on {', '.join(map(day_in_words, stream.full_on))}" if stream.full_on else ""
    return f"{stream.containers}{full}" if stream.containers else NONE


@_line.register
def _of_warning(differs: WarningDiffers) -> ChangeLine:
    before, now = ("no warning", "a warning") if differs.is_new else ("a warning", "no warning")
    message = differs.message if differs.is_new else f"no longer so: {differs.message}"
    return ChangeLine("Look at", differs.about, message, before, now, is_to_do=differs.is_new)


def change_summary(differences: Iterable[Differs], since: str) -> Iterator[str]:
    """Yield what differs from an earlier plan, for the screen."""
    yield f"Changes since {since}"
    yield from difference_lines(differences)
    yield ""
    yield from wrapped("A plan, not a risk assessment: safety data sheets and local codes first.")


def difference_lines(differences: Iterable[Differs]) -> Iterator[str]:
    """Yield the differences under their headings, for the screen."""
    heading = ""
    for line in change_lines(differences):
        if line.heading != heading:
            heading = line.heading
            yield ""
            yield heading
        words = f"{line.what}: {line.to_do} ({line.before} before, {line.now} now)"
        yield from wrapped(words, first="  ", further="      ")
    if not heading:
        yield "Nothing differs."
