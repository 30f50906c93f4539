"""What a command is at, on a terminal, once it has taken longer than a second."""

import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TextIO

_PATIENCE_SECONDS = 1.0
_BETWEEN_SECONDS = 0.5


@contextmanager
def at_work(what: str, out: TextIO | None = None) -> Iterator[None]:
    """Say on standard error what is being done and for how long, if it takes its time.

    Nothing is said where standard error is not a terminal, so that files and pipes stay plain.
    """
    screen = out or sys.stderr
    if not screen.isatty():
        yield
        return
    done = threading.Event()
    teller = threading.Thread(target=_tell, args=(what, screen, done), daemon=True)
    teller.start()
    try:
        yield
    finally:
        done.set()
        teller.join()


def say(line: str) -> None:
    """Say something on standard error while a command works, at a terminal on a line of its own."""
    start = "\r" if sys.stderr.isatty() else ""
    sys.stderr.write(f"{start}{line}\n")
    sys.stderr.flush()


def _tell(what: str, screen: TextIO, done: threading.Event) -> None:
    begun = time.monotonic()
    said = ""
    if done.wait(_PATIENCE_SECONDS):
        return
    while not done.is_set():
        said = f"{what} … {time.monotonic() - begun:.0f} s"
        screen.write(f"\r{said}")
        screen.flush()
        done.wait(_BETWEEN_SECONDS)
    screen.write("\r" + " " * len(said) + "\r")
    screen.flush()
