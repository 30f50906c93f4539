"""Files that are whole or not there."""

import os
from pathlib import Path


def write_whole(path: Path, content: bytes) -> None:
    """Write a file beside its place and rename it.

    Args:
        path: Where the file is to be; its folder must be there.
        content: All of it.

    Raises:
        OSError: The folder cannot be written, or the file is held open.
    """
    beside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        beside.write_bytes(content)
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
