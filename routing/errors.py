"""Why a wish about work is refused: it comes too late, or from the wrong hands."""

from __future__ import annotations


class WrongState(Exception):
    """The thing is no longer in the state the wish was made for; the message says what it is now."""


class NotAllowed(Exception):
    """This person may not do it; the message says who may."""
