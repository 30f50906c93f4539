"""Gas, acids and bases in open containers, in words for paper; nothing says that all is safe."""

from collections.abc import Iterable, Iterator

from prepstore.amounts import ZERO, is_more_than_nothing
from prepstore.chemistry.carbon_dioxide import MOLAR_VOLUME_L_PER_MOL
from prepstore.planning.acidity_of_containers import AcidityOfContainer
from prepstore.report.meeting_words import (
    CLOSE_NOTHING,
    gas_volume_in_words,
    is_worth_telling,
    sum_in_words,
)
from prepstore.report.wording import amount_in_words


def acidity_of_container_in_words(one: AcidityOfContainer) -> str:
    """Return the gas that a container may give off, what it has too much of, and what is unknown.

    The gas is left out where there is none to come, or no more than a breath.
    """
    texts = [f"{_container(one)}now {sum_in_words(one.now)}"]
    if one.then != one.now:
        texts.append(f"with what is sent to it {sum_in_words(one.then)}")
    if tells_of_gas(one):
        texts.append(f"{_gas(one)}: {CLOSE_NOTHING}")
    if (what := _not_known(one)) is not None:
        texts.append(f"{what}, so there may be more acid, base or gas")
    return "; ".join(texts)


def gas_with_container_in_words(one: AcidityOfContainer) -> str:
    """Return the most gas in a container, for those who pour; there is some to tell of."""
    known = "" if _not_known(one) is None else " (as far as it is known)"
    return f"with what is in its open container{known} {_gas(one)}"


def tells_of_gas(one: AcidityOfContainer) -> bool:
    """Return whether what is sent to a container may make it give off more than a breath of gas."""
    return one.can_give_more and one.most is not None and is_worth_telling(one.most)


def gas_of_session(
    containers: Iterable[AcidityOfContainer], session: str
) -> Iterator[tuple[str, str]]:
    """Yield each stream to whose container a session sends acid or base, and the gas there."""
    for one in containers:
        if session in one.sessions and tells_of_gas(one):
            yield one.stream, gas_with_container_in_words(one)


def _container(one: AcidityOfContainer) -> str:
    return f"{one.container}, " if one.container else ""


def _gas(one: AcidityOfContainer) -> str:
    before = one.gas_before.allow_for * MOLAR_VOLUME_L_PER_MOL
    formed = f", of which up to {gas_volume_in_words(before)} may have formed before"
    return f"up to {_most(one)} of carbon dioxide{formed if before else ''}"


def _most(one: AcidityOfContainer) -> str:
    return gas_volume_in_words(one.most.litres if one.most else ZERO)


def _not_known(one: AcidityOfContainer) -> str | None:
    """Return what of a container is not known; None where all is."""
    told = []
    if is_more_than_nothing(one.unknown):
        told.append(f"of {amount_in_words(one.unknown, one.kind)} in it nobody knows what it is")
    if one.not_counted:
        told.append(f"not counted: {' / '.join(one.not_counted)}")
    return "; ".join(told) or None
