"""A mistake in the data, as a value that names its place."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from difflib import SequenceMatcher, get_close_matches

from prepstore.cell_types import fold
from prepstore.written import STORE, WrittenRow

_LONGEST_QUOTED = 80
_LONGEST_NAME = 40
_FEW = 15
_LONGEST_WORDS = 600
_LEAST_ALIKE = 3


def cut(text: str, longest: int = _LONGEST_QUOTED) -> str:
    """Return a text that is short enough for a sentence, … where the rest was.

    >>> cut("deionised water", 9)
    'deionised…'
    """
    return text if len(text) <= longest else f"{text[:longest]}…"


class ProblemsError(Exception):
    """The data has mistakes; nothing was changed. Carries all of them."""

    def __init__(self, problems: Iterable["Problem"]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(problem.sentence for problem in self.problems))


class RefusedError(Exception):
    """What was asked cannot be done; nothing was changed. Carries a sentence for each reason."""

    def __init__(self, *sentences: str) -> None:
        self.sentences = sentences
        super().__init__(" ".join(sentences))


@dataclass(frozen=True, slots=True)
class Place:
    """Where a mistake stands; what is not known is left blank or 0.

    `names` are the cells by which a person knows the row.
    """

    source: str
    table: str = ""
    row: int = 0
    column: str = ""
    cell: str = ""
    names: str = field(default="", compare=False)

    @classmethod
    def of(cls, row: WrittenRow, column: str = "") -> "Place":
        """Return the place of a row, or of one of its cells."""
        names = ", ".join(cut(name, _LONGEST_NAME) for name in row.names(but=column))
        return cls(row.source, row.table, row.number, column, names=names)

    def __str__(self) -> str:
        """Return the place in words: file, table, row, column.

        A file or sheet that bears the name of its table is named once: as the table where a row is
        meant.
        """
        _, _, sheet = self.source.casefold().rpartition(", sheet ")
        is_of_table = bool(self.table) and sheet in (self.table, f"{self.table}.csv")
        words = [f"table {self.table}"] if self.table and (self.row or not is_of_table) else []
        words += [f"row {self.row}"] if self.row else []
        words += [f"column {self.column}"] if self.column else []
        file = "" if is_of_table and self.row else self.source
        return ": ".join(part for part in (file, ", ".join(words)) if part)


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong, where, and what is expected.

    `code` names the kind of mistake; each has a heading in docs/reference/problems.md.
    """

    code: str
    place: Place
    what: str
    remedy: str

    @property
    def sentence(self) -> str:
        """Return the whole as one line for a technician, without signs a terminal would obey."""
        what, remedy = cut(self.what, _LONGEST_WORDS), cut(self.remedy, _LONGEST_WORDS)
        names = f"({self.place.names}) " if self.place.names else ""
        line = " ".join(f"{self.place}: {names}{what} {remedy}".split())
        return "".join(sign if sign.isprintable() else "�" for sign in line)


def at(row: WrittenRow, column: str, code: str, what: str, remedy: str) -> Problem:
    """Return a problem in one cell; `what` follows the quoted value of the cell, if any."""
    value = row.text.get(column)
    quoted = f"'{cut(value)}' {what}" if value else what
    return Problem(code, Place.of(row, column), quoted, remedy)


def closest(word: str, known: Iterable[str]) -> str:
    """Return the known word that is nearest, whatever its case; blank where none is near."""
    # Comparing takes the square of a word's length.
    if len(word) > _LONGEST_QUOTED:
        return ""
    by_fold = {fold(name): name for name in known}
    close = get_close_matches(fold(word), by_fold, n=1, cutoff=0.6)
    return by_fold[close[0]] if close and _is_a_slip(fold(word), close[0]) else ""


def _is_a_slip(word: str, meant: str) -> bool:
    """Return whether few letters differ, or half of the shorter is how both begin.

    Else `ether` would be taken for `pH meter`.
    """
    half = max(_LEAST_ALIKE, (min(len(word), len(meant)) + 1) // 2)
    if word[:half] == meant[:half]:
        return True
    different = (
        max(until - start, meant_until - meant_start)
        for what, start, until, meant_start, meant_until in SequenceMatcher(
            None, word, meant
        ).get_opcodes()
        if what != "equal"
    )
    return sum(different) <= max(1, len(word) // 2)


def nearest(word: str, known: Iterable[str]) -> str:
    """Return 'Did you mean …?' for the nearest known word, or the known words.

    >>> nearest("amout", ["amount", "unit"])
    'Did you mean amount?'
    """
    words = sorted(known)
    close = closest(word, words)
    if close:
        return f"Did you mean {close}?"
    few = 0 < len(words) <= _FEW
    return f"Expected one of: {', '.join(words)}." if few else ""


def not_known(name: str, of: str, known: Iterable[str], instead: str = "") -> RefusedError:
    """Return the refusal of a name that nothing of a sort bears; it says which is nearest.

    Args:
        name: As it was typed.
        of: The sort, as `session` or `item or solution`.
        known: The names of that sort.
        instead: What to say in place of the nearest name, as what the thing is called now.
    """
    what = f"'{cut(name)}' is not a known {of}."
    return RefusedError(f"{what} {instead or nearest(name, known)}".rstrip())


__all__ = [
    "STORE",
    "Place",
    "Problem",
    "ProblemsError",
    "RefusedError",
    "at",
    "closest",
    "cut",
    "nearest",
    "not_known",
]
