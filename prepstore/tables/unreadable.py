"""What a reader raises when a cell's text cannot be read; the row adds where it stands."""


class UnreadableError(ValueError):
    """A text cannot be read: `code` and `what` say how, `remedy` what is expected."""

    def __init__(self, code: str, what: str, remedy: str) -> None:
        self.code = code
        self.what = what
        self.remedy = remedy
        super().__init__(f"{what} {remedy}")
