"""The options that say who records something, when and why, and the words that name an amount."""

import datetime
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import wraps
from inspect import Parameter, signature
from typing import TYPE_CHECKING, Annotated, Any, Final
from unicodedata import normalize

import typer

from prepstore.cli.period_options import read_day

if TYPE_CHECKING:
    from decimal import Decimal

    from prepstore.amounts import WrittenAmount
    from prepstore.shelf.shelf import Shelf

_LONGEST = 500


def one_line(text: str) -> str:
    """Return a text that is typed to be kept, on one line and with single spaces.

    Raises:
        typer.BadParameter: It is blank, long, or has signs that no table can keep.
    """
    words = normalize("NFC", " ".join(text.split()))
    if not words:
        raise typer.BadParameter("It is blank. Say something, or leave it out.")
    if not words.isprintable() or len(words) > _LONGEST:
        raise typer.BadParameter(f"Give a line of plain text, of {_LONGEST} signs at most.")
    return words


def price_typed(text: str) -> "Decimal":
    """Return a price that is given as an option, read as in the tables.

    Raises:
        typer.BadParameter: It is no number of 0 or more.
    """
    from prepstore.cell_types import Money
    from prepstore.tables.cells import READERS
    from prepstore.tables.unreadable import UnreadableError

    try:
        price: Decimal = READERS[Money](text.strip())
    except UnreadableError as error:
        raise typer.BadParameter(f"'{text}' {error.what} {error.remedy}") from error
    return price


By = Annotated[
    str | None,
    typer.Option(
        "--by", parser=one_line, metavar="NAME", help="Who did it (default: the login name)."
    ),
]
On = Annotated[
    datetime.date | None,
    typer.Option("--on", parser=read_day, metavar="DATE", help="The day (default: today)."),
]
DryRun = Annotated[
    bool, typer.Option("--dry-run", help="Show what would be recorded; record nothing.")
]
Reason = Annotated[
    str | None, typer.Option("--reason", parser=one_line, metavar="TEXT", help="Why.")
]
AtPlace = Annotated[
    str | None,
    typer.Option("--place", parser=one_line, metavar="PLACE", help="Where it is put."),
]
BatchNumber = Annotated[
    str | None,
    typer.Option(
        "--batch-number",
        parser=one_line,
        metavar="NUMBER",
        help="The supplier's batch number on the label.",
    ),
]
Containers = Annotated[
    int | None,
    typer.Option("--containers", min=1, max=999_999, help="How many identical containers."),
]
LotLabel = Annotated[str, typer.Argument(metavar="LOT", help="A lot's label.")]
NewLabel = Annotated[
    str | None,
    typer.Option(
        "--lot",
        parser=one_line,
        metavar="LABEL",
        help="Label of the lot (default: the day and a number).",
    ),
]
Used = Annotated[
    list[str] | None,
    typer.Option(
        "--used", metavar="ITEM=AMOUNT", help="What really was used of an item; may be repeated."
    ),
]


def line_option(flag: str, metavar: str, help_text: str) -> Any:  # noqa: ANN401 - as typer.Option
    """Return an option whose value is a text that is kept, on one line."""
    return typer.Option(flag, parser=one_line, metavar=metavar, help=help_text)


@dataclass(frozen=True, slots=True)
class Hand:
    """Who records something, of which day and why.

    `is_trial` where nothing is to be recorded, `is_agreed` where nobody is to be asked first.
    """

    by: str | None
    on: datetime.date | None
    is_trial: bool = False
    is_agreed: bool = False
    reason: str | None = None


def by_hand(command: Callable[..., None]) -> Callable[..., None]:
    """Let a command have a `hand`: typer sees the options `--reason --by --on --dry-run` for it.

    Typer reads the options of a command off its signature, so that is where they are put.
    """

    @wraps(command)
    def with_hand(*args: Any, **options: Any) -> None:  # noqa: ANN401 - whatever the command takes
        by, on, reason = (options.pop(name) for name in ("by", "on", "reason"))
        hand = Hand(by, on, is_trial=options.pop("dry_run"), reason=reason)
        command(*args, **options, hand=hand)

    own = signature(command)
    kept = [one for one in own.parameters.values() if one.name != "hand"]
    shown = own.replace(parameters=[*kept, *_HAND_OPTIONS])
    with_hand.__annotations__ = {one.name: one.annotation for one in shown.parameters.values()}
    with_hand.__signature__ = shown  # type: ignore[attr-defined] # which inspect reads
    return with_hand


_HAND_OPTIONS: Final = tuple(
    Parameter(name, Parameter.KEYWORD_ONLY, default=default, annotation=annotation)
    for name, annotation, default in (
        ("reason", Reason, None),
        ("by", By, None),
        ("on", On, None),
        ("dry_run", DryRun, False),
    )
)


def written_amount(text: str) -> "WrittenAmount":
    """Return an amount as it was typed.

    Raises:
        RefusedError: It is no amount.
    """
    from prepstore.problems import RefusedError
    from prepstore.tables.units import read_amount
    from prepstore.tables.unreadable import UnreadableError

    try:
        return read_amount(text.strip())
    except UnreadableError as error:
        raise RefusedError(f"'{text}' {error.what} {error.remedy}") from error


def amounts_by_item(shelf: "Shelf", pairs: Iterable[str]) -> "dict[str, Decimal]":
    """Return what options such as `--used "acetone=250 mL"` say, by folded name.

    Raises:
        RefusedError: One is not of that form, names what is not known, or names it twice.
    """
    from prepstore.cell_types import fold
    from prepstore.problems import RefusedError
    from prepstore.shelf.asked import quantity

    found: dict[str, Decimal] = {}
    for pair in pairs:
        name, equals, amount = pair.rpartition("=")
        if not equals:
            raise RefusedError(f"'{pair}' does not say how much. Write it like 'acetone=250 mL'.")
        material = shelf.material(name.strip())
        if fold(material.name) in found:
            raise RefusedError(f"{material.name} is named twice. Give one amount of it.")
        asked = quantity(material, written_amount(amount), may_be_nothing=True)
        found[fold(material.name)] = asked.number
    return found
