"""What labels are for; by itself, since every command's help needs it and nothing else of them."""

from enum import StrEnum


class LabelKind(StrEnum):
    """What a label is for; the words of `--of`."""

    SOLUTION = "solutions"
    BOTTLE = "bottles"
    LOT = "lots"
    WASTE = "waste"
