"""Drawings as template tags: the board from above, and the same with its dimensions."""

from __future__ import annotations

from django import template
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from specs.derived import Derived
from specs.drawings import svg

register = template.Library()


@register.simple_tag
def board(derived: Derived, width: float = 1160, pickups: bool = True, paper: bool = False) -> SafeString:
    """The board, strings and bridge points of a computed instrument."""
    title = gettext("Board, strings and bridge points from above")
    drawn = svg.board_drawing(derived, width=width, pickups=pickups, paper=paper, title=title, say=gettext)
    return mark_safe(drawn)


@register.simple_tag
def dimensioned(derived: Derived, width: float = 1160, paper: bool = False) -> SafeString:
    """The board with its dimensions; on a screen it stands in a zone of class ``wide``."""
    title = gettext("Board with its dimensions, in mm and degrees")
    return mark_safe(svg.dimensioned_drawing(derived, width=width, paper=paper, title=title, say=gettext))
