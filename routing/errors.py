"""Why a wish about work is refused: it comes too late, or from the wrong hands."""

from __future__ import annotations

from specs.errors import WrongState

__all__ = ["NotAllowed", "WrongState"]


class NotAllowed(Exception):
    """This person may not do it; the message says who may."""
