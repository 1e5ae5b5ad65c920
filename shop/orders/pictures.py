"""The picture of an instrument beside its numbers."""

from __future__ import annotations

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from specs.derived import Derived
from specs.drawings.svg import board_drawing


def drawing_of(derived: Derived | None) -> SafeString:
    """The board, strings and pickups from above; nothing where there is no instrument yet."""
    return mark_safe(board_drawing(derived, say=gettext)) if derived else SafeString()  # escaped where it is written
