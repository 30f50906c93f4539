"""Where each line of a session ends, in its item's own unit, and what agents and papers hold back.

What an agent holds back is taken off what its liquid's lines send to streams, line after line in
the order of the script, and stays with the agent: see `docs/explanation/what-is-in-the-waste.md`.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from prepstore.amounts import ZERO, round_up
from prepstore.cell_types import KNOWN_ENDS
from prepstore.planning.scaled_lines import Retention, ScaledLine


@dataclass(frozen=True, slots=True)
class Ended:
    """An amount without spare (`expected`) and with spare (`allow_for`)."""

    expected: Decimal = ZERO
    allow_for: Decimal = ZERO

    def __bool__(self) -> bool:
        """Return whether either is anything."""
        return bool(self.expected or self.allow_for)

    def __add__(self, other: "Ended") -> "Ended":
        """Return both amounts added."""
        return Ended(self.expected + other.expected, self.allow_for + other.allow_for)

    def __sub__(self, other: "Ended") -> "Ended":
        """Return what is left of both amounts."""
        return Ended(self.expected - other.expected, self.allow_for - other.allow_for)

    def times(self, factor: Decimal | int) -> "Ended":
        """Return both amounts times a number."""
        return Ended(self.expected * factor, self.allow_for * factor)

    def at_most(self, other: "Ended") -> "Ended":
        """Return the lesser of each."""
        return Ended(
            min(self.expected, other.expected),
            min(self.allow_for, other.allow_for),
        )


@dataclass(frozen=True, slots=True)
class HeldBack:
    """What the agent or paper of a line holds back of a liquid (folded), in the liquid's unit."""

    agent: ScaledLine
    liquid: str
    amount: Ended


@dataclass(frozen=True, slots=True)
class Ending:
    """Where a line's amount ends, by folded end, in its item's unit.

    The ends and what is `held_back` of it by agents add up to the line's amount.
    """

    line: ScaledLine
    ends: Mapping[str, Ended]
    held_back: Ended


@dataclass(frozen=True, slots=True)
class Endings:
    """Where the lines of one size of session end, in their order; and what its agents hold back."""

    lines: tuple[Ending, ...]
    held_back: tuple[HeldBack, ...]


def is_stream(end: str) -> bool:
    """Return whether an end (folded) is collected: a stream, or not assigned to one."""
    return end not in KNOWN_ENDS


def endings_of(lines: Sequence[ScaledLine]) -> Endings:
    """Return where the lines of one size of session end, and what its agents hold back."""
    sent = [_sent_to_streams(line) for line in lines]
    left = list(sent)
    held: list[HeldBack] = []
    for agent, of, wanted in _wanted(lines):
        taken = Ended()
        for position, line in enumerate(lines):
            if line.name == of.liquid:
                more = (wanted - taken).at_most(left[position])
                left[position] -= more
                taken += more
        held.append(HeldBack(agent, of.liquid, taken))
    ended = (_ending(*of_line) for of_line in zip(lines, sent, left, strict=True))
    return Endings(tuple(ended), tuple(held))


Fractions = Mapping[str, Mapping[str, Ended]]
"""Which fraction of what is set out of an item (folded) ends where (folded)."""


def ends_by_item(endings: Endings) -> Fractions:
    """Return which fraction of what is set out of an item goes to which end.

    Where no spare is used (expected), and where all of it is (allow for), which is how what is
    really used is shared out. Several lines of one item count by their amounts, spare included.
    What an agent or paper holds back goes to no end: see `held_back_by_item`.
    """
    sent: dict[str, dict[str, Ended]] = {}
    for ending in endings.lines:
        ends = sent.setdefault(ending.line.name, {})
        for end, amount in ending.ends.items():
            ends[end] = ends.get(end, Ended()) + amount
    return _fractions(endings, sent)


def held_back_by_item(endings: Endings) -> Fractions:
    """Return which fraction of what is set out of a liquid agents hold back, by the agents' ends.

    Shared out as by `ends_by_item`; of a liquid whose agents have ends, both add up to 1.
    """
    held_back: dict[str, dict[str, Ended]] = {}
    for held in endings.held_back:
        ends = held_back.setdefault(held.liquid, {})
        for share in held.agent.ends:
            amount = held.amount.times(share.fraction)
            ends[share.end] = ends.get(share.end, Ended()) + amount
    return _fractions(endings, held_back)


def _fractions(endings: Endings, amounts: Fractions) -> Fractions:
    """Return amounts by item and end as fractions of what is set out of the item."""
    total: dict[str, Decimal] = {}
    for ending in endings.lines:
        total[ending.line.name] = total.get(ending.line.name, ZERO) + ending.line.amount
    return {
        name: {
            end: Ended(amount.expected / total[name], amount.allow_for / total[name])
            for end, amount in ends.items()
        }
        for name, ends in amounts.items()
        if total.get(name)
    }


def _wanted(lines: Sequence[ScaledLine]) -> Iterator[tuple[ScaledLine, Retention, Ended]]:
    """Yield each agent's line, what it holds back, and how much it could, in the liquid's unit.

    Counted agents are rounded up as their needs are: all lines of one agent that hold back one
    liquid together, of which each line has its share.
    """
    for line in lines:
        of = line.retention
        if of is None:
            continue
        amount = _amount(line)
        if of.is_counted:
            alike = (_amount(one) for one in lines if one.name == line.name and one.retention == of)
            amount = _share_of_whole(amount, sum(alike, Ended()))
        yield line, of, amount.times(of.each)


def _amount(line: ScaledLine) -> Ended:
    return Ended(line.expected, line.amount)


def _share_of_whole(amount: Ended, total: Ended) -> Ended:
    """Return an amount's share of a total that is rounded up to whole."""
    return Ended(
        _rounded_share(amount.expected, total.expected),
        _rounded_share(amount.allow_for, total.allow_for),
    )


def _rounded_share(amount: Decimal, total: Decimal) -> Decimal:
    return round_up(total) * amount / total if total else ZERO


def _sent_to_streams(line: ScaledLine) -> Ended:
    fractions = (share.fraction for share in line.ends if is_stream(share.end))
    return _amount(line).times(sum(fractions, ZERO))


def _ending(line: ScaledLine, sent: Ended, rest: Ended) -> Ending:
    """Return where a line ends, given what is not held back of what it sends to streams."""
    held = sent - rest
    amount = _amount(line)
    ends = {
        share.end: _after(amount.times(share.fraction), sent, rest)
        if held and is_stream(share.end)
        else amount.times(share.fraction)
        for share in line.ends
    }
    return Ending(line, ends, held)


def _after(amount: Ended, sent: Ended, rest: Ended) -> Ended:
    """Return what is left of an amount where of all that is sent to streams only a rest is."""
    return Ended(
        amount.expected * rest.expected / sent.expected if sent.expected else ZERO,
        amount.allow_for * rest.allow_for / sent.allow_for if sent.allow_for else ZERO,
    )
