"""Warnings as sentences: one a code, into which its parts go."""

from collections.abc import Callable, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from prepstore.amounts import Amount, plain, settle
from prepstore.planning.warned import Part, Warned
from prepstore.report.wording import far_day_in_words, money_in_words


def warning_in_words(warned: Warned) -> str:
    """Return the sentence of a warning; its `about` stands before it wherever it is shown."""
    sentence = SENTENCES[warned.code]
    words = {name: _in_words(part) for name, part in warned.parts.items()}
    return sentence(words) if callable(sentence) else sentence.format_map(words)


def _in_words(part: Part) -> str:
    match part:
        case datetime():
            return f"{far_day_in_words(part)}, {part:%H:%M}"
        case date():
            return far_day_in_words(part)
        case Amount():
            return f"{_in_figures(part.number)} {part.kind}"
        case Decimal():
            return money_in_words(part, None)
        case tuple():
            return ", ".join(part)
        case _:
            return "" if part is None else str(part)


def _in_figures(number: Decimal) -> str:
    """Return a number in four figures; whole ones are not rounded."""
    settled = settle(number)
    return plain(round(settled, max(0, 3 - settled.adjusted())))


Words = Mapping[str, str]


def _overdue(words: Words) -> str:
    reference = f" ({words['reference']})" if words["reference"] else ""
    return (
        f"{words['packs']} x {words['pack']}{reference} was due on {words['due']} and is not "
        "counted. Ask the supplier, or record the delivery."
    )


def _peroxide_test_due(words: Words) -> str:
    since = f"opened {words['opened']}" if words["opened"] else f"received {words['received']}"
    tested = f", last tested {words['tested']}" if words["tested"] else ""
    return (
        f"Lot {words['lot']} ({since}{tested}) must be tested for peroxides by "
        f"{words['due']}, before it is used on {words['used']}, or be discarded."
    )


def _behind(words: Words) -> str:
    """Name sessions that are over, and the command that books them."""
    is_one = words["count"] == "1"
    of = "This session is" if is_one else f"{words['count']} sessions are"
    names = "" if is_one else f" (the last: {words['sessions']})"
    return (
        f"{of} over and not booked out{names}, so the stores still have what was used. The sheet "
        f"Week says what it was. To book as planned: prepstore stock use --until {words['until']}"
    )


def _containers_short(words: Words) -> str:
    verb = "is" if words["in_hand"] == "1" else "are"
    return (
        f"{words['wanted']} containers are needed, the open one included, but there {verb} only "
        f"{words['in_hand']}."
    )


def _must_not_meet(words: Words) -> str:
    of = f" From {words['sessions']}." if words["sessions"] else ""
    return f"{_pairs(words)}. {words['remedy']}{of}"


def _pairs(words: Words) -> str:
    pairs = "pair" if words["more"] == "1" else "pairs"
    more = "" if words["more"] == "0" else f"; and {words['more']} more {pairs}"
    return f"By {words['chart']} these must not meet: {words['pairs']}{more}"


SENTENCES: Final[Mapping[str, str | Callable[[Words], str]]] = {
    "store-mistake": "{sentence}",
    "store-left-out": "Left out of this plan: {things}.",
    "booked-out-and-moved": (
        "It was booked out for {booked_for}, so it is done, and the timetable has it on {now} now. "
        "If it is still to run, undo what was booked, or give it a name of its own."
    ),
    "not-booked-out": _behind,
    "not-sold": "{amount} must be bought, but no pack of it is in the table packs.",
    "not-sold-suppliers-retired": (
        "{amount} must be bought, but every supplier of it in the table packs is retired."
    ),
    "not-ordered-retired": (
        "{amount} must be bought, but it is retired from {retired} on, so it is not ordered."
    ),
    "never-fresh": (
        "{amount} is needed on {day} for {sessions}, and it keeps {keeps} days from the day it "
        "arrives: on no working day can it arrive and still be in date. Ask the supplier, or "
        "move the session."
    ),
    "not-of-one-lot": (
        "{session} should take {amount} from one lot, but no lot holds so much. It takes it from "
        "several lots, or from what is ordered."
    ),
    "short-before-the-period": (
        "{amount} is short for sessions before this period ({sessions}). It is not ordered in this "
        "plan."
    ),
    "delivery-overdue": _overdue,
    "apparatus-short": "{peak} are in use at the same time from {at}, but there are only {held}.",
    "apparatus-not-computed": (
        "How many {session} needs is not worked out: fill in the column within of its lines, or "
        "give the session a start and an end."
    ),
    "room-taken-twice": "It overlaps with {other} in {room} on {day}.",
    "waste-containers-short": _containers_short,
    "collection-too-late": (
        "Its collection, called on {called_on}, is expected on {on}, and must come by {by}: {why}. "
        "Ask for an earlier day, or have empty containers by then."
    ),
    "collection-overdue": (
        "Its collection, called on {called_on}, was expected on {on}, and none is recorded. Record "
        "it (prepstore waste collect), or say when it comes (prepstore waste call)."
    ),
    "waste-not-assigned": (
        "No waste stream is given for {amount} of {item} ({practicals}): fill in the column to."
    ),
    "waste-not-included": (
        "Not included in the {measure} (no density, or a counted item): {things}."
    ),
    "container-too-small": (
        "One {container} would hold {amount} ({sessions}). Take a larger one, or let fewer sets "
        "share it."
    ),
    "lot-without-dates": (
        "Lot {lot} has no expiry date and is recorded as unopened; it expires sooner once opened. "
        "It is counted."
    ),
    "peroxide-age-unknown": (
        "Lot {lot} forms peroxides and is used, and neither the day it was opened nor the day it "
        "was received is known. Write the day into the table stock if a record gives it. If not, "
        "its age is not known: leave it closed and ask the competent person."
    ),
    "peroxide-test-due": _peroxide_test_due,
    "used-though-retired": (
        "It is used on {day}, although it is retired from {retired} on. Replace it, or bring it "
        "back "
        "into use."
    ),
    "must-not-meet": _must_not_meet,
    "must-not-stand-together": _must_not_meet,
    "halogenated-in-non-halogenated": (
        "{sessions} send {substances} to it, whatever the share: a halogenated solvent in a "
        "non-halogenated container. Send it to a halogenated stream."
    ),
    "below-minimum-order": "The order comes to {total}, below the minimum order of {minimum}.",
    "most-held-exceeded": (
        "{held} would be there and on order on {day}, more than the {most} that may be; sessions "
        "need it. Order {packs} later, after some of it is used, or use up what is there."
    ),
    "storage-limit-exceeded": (
        "{held} would be there and on order on {day}, more than the {most} that may be; sessions "
        "need it. Order {packs} later, after some of it is used, or use up what is there."
    ),
    "restock-given-up": (
        "{amount} of spare or restock is not ordered, since no more may be there. Order it when "
        "there is room again."
    ),
    "not-in-storage-limit": (
        "This limit leaves out {items}: no density is given. Fill in the column density."
    ),
    "over-budget": (
        "The orders come to {total} with delivery, above the budget of {budget}. It is passed at "
        "{packs} x {pack} from {supplier}, supplier by supplier."
    ),
    "cost-not-proven": (
        "The orders cost {total}. A cheaper choice may exist, but none below {bound}: the time for "
        "looking was over."
    ),
    "no-lead-time": "No lead time is given, so the plan counts its packs as arriving on the day "
    "they are ordered.",
    "too-small-to-weigh": (
        "{amount} of {part} must be weighed on {day}, less than {least}. Make a stronger stock "
        "solution first and dilute it."
    ),
    "too-small-to-measure": (
        "{amount} of {part} must be measured on {day}, less than {least}. Make a weaker stock "
        "solution first and measure more of it."
    ),
    "mostly-left-over": (
        "{volume} is made on {day} but only {wanted} of it is needed. A smaller step or flask "
        "would leave less."
    ),
    "no-largest-batch": (
        "{volume} must be made on {day}, but no largest batch is given. Fill in largest_batch: "
        "the largest vessel that it can be made in."
    ),
    "before-the-day": (
        "On {day} it must be ready at {at} ({task}), before the day begins at {begins}. Start "
        "work earlier that day, move the session, or do it the day before if it keeps."
    ),
    "solution-without-parts": (
        "It must be made up, but the table solution_parts has no parts for it."
    ),
}
