"""The hazard classes and categories of the Regulation, as its Annex VI spells them."""

from functools import cache

from prepstore.safety.data_files import rows_of


@cache
def hazard_classes() -> tuple[str, ...]:
    """Return every class with its category, as `Skin Corr. 1B`, in the order of Annex VI.

    Source:
        Regulation (EC) No 1272/2008, Annex VI, Table 1.1, and Delegated Regulation (EU) 2023/707:
        see `hazard_classes.csv`.
    """
    return tuple(row["class"] for row in rows_of("hazard_classes.csv"))
