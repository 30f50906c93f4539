"""What stands on a label, in words: paragraphs in their order."""

from collections.abc import Iterable, Iterator
from enum import IntEnum
from itertools import groupby
from typing import Final

from prepstore.report.labels.contents import Hazards, LabelContent
from prepstore.report.labels.label_kind import LabelKind
from prepstore.report.paper.flow import Look, Paragraph
from prepstore.safety.classes.finding import Undecided
from prepstore.safety.hazard_statements import in_words
from prepstore.safety.label_sizes import hazard_may_be_left_out, precautions_may_be_left_out
from prepstore.safety.precautionary_statements import precaution_in_words, precautions_for


class LeftOut(IntEnum):
    """What a label of a small package, or of waste, does without, more and more of it."""

    NOTHING = 0
    PRECAUTIONS = 1
    HAZARDS_TOO = 2


_NO_BREAK: Final = "\u00a0"

SMALL_PACKAGE: Final = "words left out, up to 125 mL: Annex I, 1.5.2"


def paragraphs_of(
    content: LabelContent, left_out: LeftOut, *, is_tight: bool = False
) -> tuple[Paragraph, ...]:
    """Return the paragraphs of a label, in their order.

    Args:
        content: What stands on it.
        left_out: What a small package does without. Precautionary statements go where a hazard
            allows it for its own; a hazard statement then keeps its code.
        is_tight: Whether room is short: plain paragraphs run on as one, and precautionary
            statements stand without their codes, which no rule asks for.
    """
    paragraphs = (
        *_names(content),
        *_facts(content),
        *_hazards(content, left_out),
        *_precautions(content, left_out, has_codes=not is_tight),
        *_limits(content.hazards),
    )
    return tuple(_run_on(paragraphs)) if is_tight else paragraphs


def _run_on(paragraphs: Iterable[Paragraph]) -> Iterator[Paragraph]:
    """Yield paragraphs, plain ones that follow each other as one."""
    for look, alike in groupby(paragraphs, key=lambda paragraph: paragraph.look):
        if look is Look.PLAIN:
            yield Paragraph(" ".join(paragraph.text for paragraph in alike))
        else:
            yield from alike


def levels_for(content: LabelContent) -> tuple[LeftOut, ...]:
    """Return what may be left out of a label, the least first."""
    capacity, codes = content.capacity_ml, content.hazards.h_codes
    levels = [LeftOut.NOTHING]
    if any(_precautions_may_go(code, content) for code in codes):
        levels.append(LeftOut.PRECAUTIONS)
    if any(hazard_may_be_left_out(code, capacity) for code in codes):
        levels.append(LeftOut.HAZARDS_TOO)
    return tuple(levels)


def _names(content: LabelContent) -> Iterator[Paragraph]:
    concentration = content.concentration
    is_said = concentration is None or concentration.casefold() in content.name.casefold()
    yield Paragraph(content.name if is_said else f"{content.name}, {concentration}", Look.LARGE)


def _facts(content: LabelContent) -> Iterator[Paragraph]:
    facts = [
        content.number if content.number != content.name else None,
        _together(content.volume),
        *(
            f"{word} {value}"
            for word, value in (
                ("session", content.session),
                ("sets", content.sets),
                ("List of Waste", _together(content.list_code)),
                ("made", content.made_on),
                ("received", content.received_on),
                ("opened", content.opened_on),
                ("keep until", content.keep_until),
            )
            if value is not None
        ),
    ]
    # The dot stays at the end of a line.
    yield Paragraph(f"{_NO_BREAK}· ".join(fact for fact in facts if fact))
    if content.components:
        yield Paragraph(f"Main components: {'; '.join(content.components)}")
    if content.is_initialled:
        yield Paragraph("Made by", Look.TO_WRITE)
    if content.kind is LabelKind.WASTE and content.opened_on is None:
        yield Paragraph("Opened on", Look.TO_WRITE)


def _together(text: str | None) -> str | None:
    """Return a text that no line breaks, since its blanks are no-break spaces."""
    return None if text is None else text.replace(" ", _NO_BREAK)


def _hazards(content: LabelContent, left_out: LeftOut) -> Iterator[Paragraph]:
    hazards = content.hazards
    if hazards.signal_word:
        yield Paragraph(hazards.signal_word, Look.LARGE)
    if hazards.contains:
        yield Paragraph(f"Contains: {'; '.join(hazards.contains)}")
    if hazards.h_codes:
        yield Paragraph(" ".join(_statements(content, left_out)))
    if hazards.euh:
        yield Paragraph(" ".join(f"{code} {_supplement(code, hazards)}." for code in hazards.euh))


def _precautions(
    content: LabelContent, left_out: LeftOut, *, has_codes: bool
) -> Iterator[Paragraph]:
    codes = precautions_for(_asking(content, left_out))
    if codes:
        words = (f"{precaution_in_words(code)}." for code in codes)
        yield Paragraph(
            " ".join(
                f"{code} {text}" if has_codes else text
                for code, text in zip(codes, words, strict=True)
            )
        )


def _statements(content: LabelContent, left_out: LeftOut) -> Iterator[str]:
    """Yield hazard statements; those whose words are left out last, as codes with the reason."""
    codes = content.hazards.h_codes
    short = [
        code
        for code in codes
        if left_out is LeftOut.HAZARDS_TOO and hazard_may_be_left_out(code, content.capacity_ml)
    ]
    yield from (f"{code} {in_words(code)}." for code in codes if code not in short)
    if short:
        yield f"{', '.join(short)} ({SMALL_PACKAGE})."


def _asking(content: LabelContent, left_out: LeftOut) -> list[str]:
    """Return the hazard statements whose precautionary statements the label carries."""
    return [
        code
        for code in content.hazards.h_codes
        if left_out is LeftOut.NOTHING or not _precautions_may_go(code, content)
    ]


def _precautions_may_go(code: str, content: LabelContent) -> bool:
    """Return whether a label may do without what a hazard statement asks for.

    The Regulation does not bind waste (Article 1(3)).
    """
    is_waste = content.kind is LabelKind.WASTE
    return is_waste or precautions_may_be_left_out(code, content.capacity_ml)


def _supplement(code: str, hazards: Hazards) -> str:
    if code == "EUH208" and hazards.sensitisers:
        return f"Contains {'; '.join(hazards.sensitisers)}. May produce an allergic reaction"
    return in_words(code)


def _limits(hazards: Hazards) -> Iterator[Paragraph]:
    if hazards.undecided:
        yield Paragraph(f"Not decided: {'; '.join(_open(one) for one in hazards.undecided)}.")
    yield Paragraph(hazards.basis)


def _open(one: Undecided) -> str:
    return one.what if not one.item else f"{one.what} ({one.item})"
