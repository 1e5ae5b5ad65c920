"""What a bench reads of places: nut, pickups, slot depths, the way of the strings; lengths in its units."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from django.utils.translation import gettext as _

from specs.derived import Derived
from specs.errors import Refused
from specs.geometry.headstock import StringPath, post_places, string_paths
from specs.geometry.neck import TO_COME_OFF_MM, nut_size, slot_depths

Say = Callable[[float], str]
STRAIGHT_DEG = 0.05
"""A turn that prints as 0.0 is called straight."""


def nut_width(instrument: Derived, say: Say) -> str:
    """The board's width at the nut: square, and along the slant the blank must be cut for."""
    nut = nut_size(instrument)
    square, slanted = say(nut.square_width_mm), say(nut.slanted_length_mm)
    return square if square == slanted else _("{square} · {slanted}").format(square=square, slanted=slanted)


def pickup_place(instrument: Derived, say: Say, angle: Callable[[float], str]) -> str:
    """Every pickup's middle from the bridge line on the centre line, and its angle in words."""
    told = [f"{place.name}: {say(place.centre_mm)}, {angle(place.angle_deg)}" for place in instrument.pickups]
    return "; ".join(told) or "–"


def slot_depth(instrument: Derived, say: Say) -> str:
    """How deep to slot, both ways of working: after the radius, and before it with what is still to come off."""
    if instrument.spec.fingerboard.frets_kind == "unlined fretless":
        return _("no slots")
    depths = slot_depths(instrument)
    before = sorted(slot.before_radius.depth_mm for slot in depths)
    said = _("cut after the radius {after}; before it {least} … {most}, {off} to come off")
    return said.format(
        after=say(depths[0].after_radius.depth_mm), least=_bare(say, before[0]), most=say(before[-1]),
        off=say(TO_COME_OFF_MM),
    )  # fmt: skip


def string_path(instrument: Derived, say: Say) -> str:
    """The string that turns most at the nut, and the least air to a post that is not its own."""
    try:
        paths = string_paths(instrument, post_places(instrument)) if _has_posts(instrument) else ()
    except Refused as refused:
        return "; ".join(problem.message for problem in refused.problems)
    return paths_said(paths, say) if paths else _("no posts: tuners at the bridge")


def _has_posts(instrument: Derived) -> bool:
    return bool(post_places(instrument))


def paths_said(paths: Sequence[StringPath], say: Say) -> str:
    """The greatest turn and the least air of strings on their way."""
    turned = max(paths, key=lambda path: path.sideways_deg)
    close = min(paths, key=lambda path: path.clearance_mm)
    air = _("string {number} passes post {post} by {air}").format(
        number=close.number, post=close.nearest, air=say(close.clearance_mm)
    )
    if turned.sideways_deg < STRAIGHT_DEG:
        return _("all straight past the nut; {air}").format(air=air)
    turn = _("string {number} turns most, {degrees}°").format(
        number=turned.number, degrees=f"{turned.sideways_deg:.1f}"
    )
    return f"{turn}; {air}"


def _bare(say: Say, mm: float) -> str:
    return say(mm).rpartition(" ")[0]
