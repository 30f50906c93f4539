"""Imports that leave out what a library would take along but can do without."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def without(library: str) -> Iterator[None]:
    """Let what is imported meanwhile not find a library, unless that is there already.

    Args:
        library: What is optional to what is imported, and is not wanted here.
    """
    if library in sys.modules:
        yield
        return
    # Python's own way: a name that stands for None is not imported.
    sys.modules[library] = None  # type: ignore[assignment]
    try:
        yield
    finally:
        del sys.modules[library]
