"""The picture of an instrument beside its numbers."""

from __future__ import annotations

from functools import lru_cache

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language, gettext

from shop.orders.checking import KEPT
from specs.derived import Derived
from specs.drawings.svg import board_drawing


def drawing_of(derived: Derived | None) -> SafeString:
    """The board, strings and pickups from above; nothing where there is no instrument yet."""
    return _drawn(derived, get_language()) if derived else SafeString()


@lru_cache(maxsize=KEPT)
def _drawn(derived: Derived, language: str) -> SafeString:
    return mark_safe(board_drawing(derived, say=gettext))  # escaped where it is written
