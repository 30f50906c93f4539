"""What a command ends with: exit codes, and mistakes as sentences on standard error."""

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from typing import ParamSpec, TypeVar

import typer

from prepstore.cli.wanted_roles import wanting

FAULT = 1
"""The input or the data is wrong, or prepstore a fault in prepstore."""

_MOST_SHOWN = 200

Params = ParamSpec("Params")
Result = TypeVar("Result")


def answers(command: Callable[Params, Result]) -> Callable[Params, Result]:
    """Let a command end with a sentence and exit code 1 where something is wrong."""

    @wraps(command)
    def wrapped(*args: Params.args, **options: Params.kwargs) -> Result:
        with wanting(options.get("context")), _sentences():
            return command(*args, **options)

    return wrapped


@contextmanager
def _sentences() -> Iterator[None]:
    try:
        yield
    except (typer.Exit, typer.Abort, typer.BadParameter):
        raise
    except BrokenPipeError as error:
        # Whoever reads our output has seen enough, as `head` does; that is no mistake.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise typer.Exit from error
    except Exception as error:
        sentences = _sentences_of(error)
        if sentences is None:
            raise
        for sentence in sentences:
            typer.echo(sentence, err=True)
        raise typer.Exit(FAULT) from error


@contextmanager
def put_off(failed: list[Exception]) -> Iterator[None]:
    """Keep what a file that cannot be written raises for `end_with`, so that the rest is done."""
    from prepstore.report.errors import ReportError

    try:
        yield
    except BrokenPipeError:
        raise
    except (OSError, ReportError) as error:
        failed.append(error)


def end_with(failed: list[Exception]) -> None:
    """Raise what was put off, if anything was."""
    if failed:
        raise ExceptionGroup("some of it was not done", failed)


def _sentences_of(error: Exception) -> list[str] | None:
    """Return what a technician can do something about; None for a fault of our own."""
    # Imported here, once something is wrong, so that start-up stays lean.
    from prepstore.ledger.errors import StoreError
    from prepstore.problems import ProblemsError, RefusedError
    from prepstore.report.errors import ReportError

    if isinstance(error, ExceptionGroup):
        return [one for each in error.exceptions for one in _sentences_of(each) or [str(each)]]
    if isinstance(error, ProblemsError):
        return _problem_sentences([problem.sentence for problem in error.problems])
    if isinstance(error, RefusedError):
        return [*error.sentences, "Nothing was changed."]
    if isinstance(error, StoreError | ReportError):
        return [str(error)]
    if isinstance(error, OSError):
        return [f"{error.filename or 'A file'} cannot be used: {error.strerror or error}."]
    return None


def _problem_sentences(sentences: list[str]) -> list[str]:
    shown = sentences[:_MOST_SHOWN]
    if len(sentences) > len(shown):
        shown.append(f"… and {len(sentences) - len(shown)} more.")
    count = len(sentences)
    shown.append(f"{count} mistake{'s' if count != 1 else ''}; nothing was changed.")
    return shown


def report_fault(error: Exception) -> None:
    """Say that prepstore itself failed, without a traceback."""
    typer.echo(
        f"This is a fault in prepstore ({type(error).__name__}: {error}). Nothing was changed. "
        "Run it again with PREPSTORE_TRACEBACK=1 in the environment and report what it prints.",
        err=True,
    )
