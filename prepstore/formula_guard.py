"""Text that a spreadsheet would run as a formula is never written to a CSV as one."""

RUNS_AS_FORMULA = ("=", "+", "-", "@", "'", "\t", "\r")
"""What such a text begins with; the apostrophe is here so that taking one off is unambiguous."""


def guarded(text: str) -> str:
    """Return a text with an apostrophe in front where a spreadsheet would run it.

    >>> guarded("-20 freezer"), guarded("shelf B3")
    ("'-20 freezer", 'shelf B3')
    """
    return f"'{text}" if text.startswith(RUNS_AS_FORMULA) else text


def unguarded(text: str) -> str:
    """Return a text without the apostrophe that `guarded` puts in front.

    >>> unguarded("'-20 freezer"), unguarded("'tis")
    ('-20 freezer', "'tis")
    """
    is_guarded = text.startswith("'") and text[1:].startswith(RUNS_AS_FORMULA)
    return text[1:] if is_guarded else text
