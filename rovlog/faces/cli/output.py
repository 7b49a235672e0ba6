"""Writing a command's words to standard output; imports nothing until something goes wrong."""

from __future__ import annotations

from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from rovlog.faces.cli.context import OutputError


def write_out(out: TextIO, text: str) -> None:
    """Write the text and flush it. Raises OutputError where nothing takes it (a full disk behind it).

    A reader that went away (BrokenPipeError) is left to the caller: that is no failure.
    """
    try:
        out.write(text)
        out.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        raise output_error(error) from error


def output_error(error: OSError) -> OutputError:
    """What is said where standard output takes nothing."""
    import os

    from rovlog.faces.cli.context import OutputError

    return OutputError(
        f"the output cannot be written: {os.strerror(error.errno or 0)}",
        "make room, or write it elsewhere; what the command recorded is kept",
    )
