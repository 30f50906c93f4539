"""Questions to the store that are said beforehand, so that a server can answer them in one go."""

from collections.abc import Iterable
from typing import Final

from sqlalchemy import Connection
from sqlalchemy.sql import Executable

ASKING_AHEAD: Final = "prepstore_asking_ahead"
"""The option of a connection under which it keeps how it is asked ahead; a file has none."""


def ask_ahead(connection: Connection, *questions: Iterable[Executable]) -> None:
    """Say which questions come next, each asked afterwards as if nothing had been said.

    On a server every trip there and back takes its time, and all of these are one. A file answers
    each at once, and nothing is done. What is forgotten here costs a trip, and changes no answer.

    Args:
        connection: Of a store.
        questions: The same that are asked afterwards, with the same values.
    """
    asking = connection.get_execution_options().get(ASKING_AHEAD)
    if asking is None:
        return
    with asking():
        for some in questions:
            for question in some:
                connection.execute(question)
