"""A name that gives way to another, and what is no longer used: retired, its history kept."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import chain
from types import MappingProxyType
from typing import Any, Final
from unicodedata import normalize

from prepstore.catalogue import Catalogue
from prepstore.cell_types import fold
from prepstore.columns import TABLES, places_of
from prepstore.facts import Item, Practical, Solution, Supplier, is_retired
from prepstore.movements import NameChange, NameWhat
from prepstore.problems import RefusedError, not_known
from prepstore.shelf.shelf import Department, Renamed, Shelf, called_now
from prepstore.stores import Stores
from prepstore.timetable import Timetable

Named = Item | Solution | Supplier | Practical

KINDS: Final[Mapping[str, str]] = {
    "item": "items",
    "solution": "solutions",
    "supplier": "suppliers",
    "practical": "practicals",
}
"""What can be renamed and retired, by the word for it, and its table."""

_ONE_NAMESPACE: Final = ("items", "solutions")


@dataclass(frozen=True, slots=True)
class Bearer:
    """What bears a name: its table, its name as it is spelled, and its fact."""

    table: str
    name: str
    fact: Named


def bearer_of(
    catalogue: Catalogue,
    name: str,
    kind: str | None,
    renamed: Renamed = MappingProxyType({}),
) -> Bearer:
    """Return what bears a name.

    Args:
        catalogue: All that has a name.
        name: In any case.
        kind: One of `KINDS`, where things of several kinds bear the name.
        renamed: What things are called now that bore other names before.

    Raises:
        RefusedError: Nothing does, or things of several kinds do; says which.
    """
    bearers = list(_bearers(catalogue))
    of_kind = [one for one in bearers if kind is None or one.table == KINDS[kind]]
    found = [one for one in of_kind if fold(one.name) == fold(name)]
    if not found:
        words = kind or "item, solution, supplier or practical"
        tables = [KINDS[kind]] if kind else list(KINDS.values())
        instead = called_now(name, renamed, *tables)
        raise not_known(name, words, [one.name for one in of_kind], instead)
    if len(found) > 1:
        kinds = " and ".join(word for word, table in KINDS.items() if _has(found, table))
        raise RefusedError(f"'{name}' is the name of {kinds}. Say which with --kind.")
    return found[0]


def _has(bearers: list[Bearer], table: str) -> bool:
    return any(one.table == table for one in bearers)


def _bearers(catalogue: Catalogue) -> Iterator[Bearer]:
    for item in catalogue.items.values():
        yield Bearer("items", item.item, item)
    for solution in catalogue.solutions.values():
        yield Bearer("solutions", solution.solution, solution)
    for supplier in catalogue.suppliers.values():
        yield Bearer("suppliers", supplier.supplier, supplier)
    for practical in catalogue.practicals.values():
        yield Bearer("practicals", practical.practical, practical)


def renamed(catalogue: Catalogue, bearer: Bearer, new: str) -> NameChange:
    """Return a thing's new name.

    Raises:
        RefusedError: It is blank, no line of text, the same, or that of another thing.
    """
    new = normalize("NFC", new.strip())
    if not new or not new.isprintable():
        raise RefusedError("The new name is blank, or has a sign that is not text. Type another.")
    if new == bearer.name:
        raise RefusedError(f"It is called {new} already.")
    tables = _ONE_NAMESPACE if bearer.table in _ONE_NAMESPACE else (bearer.table,)
    for other in _bearers(catalogue):
        is_itself = other.table == bearer.table and fold(other.name) == fold(bearer.name)
        if other.table in tables and fold(other.name) == fold(new) and not is_itself:
            raise RefusedError(f"There is {other.name} already. Choose another name.")
    return NameChange(what=NameWhat.RENAMED, table=bearer.table, was=bearer.name, now=new)


def retired(department: Department, bearer: Bearer, day: date) -> NameChange:
    """Return the retirement of a thing from a day on.

    Raises:
        RefusedError: It is retired already, or something still needs it; a sentence for each.
    """
    if bearer.fact.retired is not None:
        raise RefusedError(f"{bearer.name} was retired on {bearer.fact.retired} already.")
    reasons = list(_still_needed(department, bearer, day))
    if reasons:
        raise RefusedError(*reasons)
    now = day.isoformat()
    return NameChange(what=NameWhat.RETIRED, table=bearer.table, was=bearer.name, now=now)


def reinstated(bearer: Bearer) -> NameChange:
    """Return a retired thing's return into use.

    Raises:
        RefusedError: It is not retired.
    """
    if bearer.fact.retired is None:
        raise RefusedError(f"{bearer.name} is not retired.")
    was = bearer.fact.retired.isoformat()
    return NameChange(what=NameWhat.REINSTATED, table=bearer.table, was=bearer.name, now=was)


def _still_needed(department: Department, bearer: Bearer, day: date) -> Iterator[str]:
    catalogue = department.catalogue
    match bearer.fact:
        case Practical():
            yield from _timetabled(department.timetable, bearer, day)
        case Supplier():
            yield from _to_come(department.stores, bearer)
        case _:
            yield from _in_scripts(catalogue, bearer, day)
            yield from _in_solutions(catalogue, bearer, day)
            yield from _in_stock(department, bearer)
            yield from _to_come(department.stores, bearer)


def _timetabled(timetable: Timetable, bearer: Bearer, day: date) -> Iterator[str]:
    for session in timetable.sessions:
        if fold(session.practical) == fold(bearer.name) and session.date >= day:
            yield f"Session {session.session} runs {bearer.name} on {session.date}."


def _in_scripts(catalogue: Catalogue, bearer: Bearer, day: date) -> Iterator[str]:
    for practical in catalogue.practicals.values():
        if is_retired(practical, day):
            continue
        for line in catalogue.lines.get(fold(practical.practical), ()):
            if fold(catalogue.used_for(line.item)) == fold(bearer.name):
                yield f"Practical {practical.practical} uses {bearer.name}: change or replace it."
                break


def _in_solutions(catalogue: Catalogue, bearer: Bearer, day: date) -> Iterator[str]:
    for name, parts in catalogue.parts.items():
        solution = catalogue.solutions.get(name)
        if solution is None or is_retired(solution, day):
            continue
        if any(fold(part.item) == fold(bearer.name) for part in parts):
            yield f"{solution.solution} is made from {bearer.name}: retire or change it first."


def _in_stock(shelf: Shelf, bearer: Bearer) -> Iterator[str]:
    for held in shelf.lots_of(bearer.name):
        if held.amount:
            yield f"Lot {held.label} still holds some of it: use it up or discard it."


def _to_come(stores: Stores, bearer: Bearer) -> Iterator[str]:
    for order in stores.on_order:
        pack = stores.goods.packs[fold(order.pack)]
        of_it = pack.supplier if isinstance(bearer.fact, Supplier) else pack.item
        if fold(of_it) == fold(bearer.name):
            are, them = ("is", "it") if order.packs == 1 else ("are", "them")
            yield f"{order.packs} x {pack.pack} {are} on order: receive or cancel {them}."


def change_undone(department: Department, change: NameChange) -> NameChange:
    """Return what takes a change of a name back.

    Raises:
        RefusedError: The thing has another name by now, the old name is taken, or what was
            reinstated is needed again.
    """
    catalogue = department.catalogue
    kind = next(word for word, table in KINDS.items() if table == change.table)
    if change.what is NameWhat.RENAMED:
        return renamed(catalogue, bearer_of(catalogue, change.now, kind), change.was)
    bearer = bearer_of(catalogue, change.was, kind)
    if change.what is NameWhat.RETIRED:
        return reinstated(bearer)
    return retired(department, bearer, date.fromisoformat(change.now))


def named_in(department: Department, change: NameChange) -> Counter[str]:
    """Return in how many cells of each table the thing that a change is of is named.

    Its own row counts; tables that do not name it are left out.
    """
    found: Counter[str] = Counter()
    for table, column in places_of(change.table):
        field = TABLES[table].columns[column].field
        names = (getattr(fact, field) or "" for fact in _facts(department, table))
        found[table] += sum(fold(name) == fold(change.was) for name in names)
    return +found


def _facts(department: Department, table: str) -> Iterable[Any]:
    match table:
        case "solution_parts":
            return chain.from_iterable(department.catalogue.parts.values())
        case "hazard_limits":
            return chain.from_iterable(department.catalogue.hazard_limits.values())
        case "practical_lines":
            return chain.from_iterable(department.catalogue.lines.values())
        case "timetable":
            return department.timetable.sessions
        case "stock":
            return [held.lot for held in department.lots.values()]
        case _:
            by_name: Mapping[str, Any] = getattr(department.catalogue, table)
            return by_name.values()
