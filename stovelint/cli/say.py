"""Printing, and what may go wrong with it. Imports nothing that takes time."""

from __future__ import annotations

import sys

from stovelint.errors import OutputError


def say(text: str) -> None:
    """Print at once.

    Raises:
        OutputError: it cannot be written.
        BrokenPipeError: nobody reads it any more.
    """
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        raise OutputError(
            f"the output cannot be written ({error.strerror}); make room, or send it elsewhere"
        ) from None
