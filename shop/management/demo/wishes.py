"""The forty orders of the demo: who wants what, how long ago, and how far it has come."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Wish:
    """One order: design, buyer's place in the list, days since it was taken, how far it got, what it changes.

    ``reach`` is draft, placed, deposit, building (worked until today at ``pace``), held, or cancelled.
    A slower ``pace`` lengthens the queue before each task: 1 is a quiet shop, 3 a full one.
    """

    design: str
    buyer: int
    days_ago: int
    reach: str
    pace: float = 1.0
    changes: tuple[tuple[str, Any], ...] = ()
    promise_days: int | None = None
    remark: str = ""


LEFT = (("hand", "left"),)
GLOSS_BURST = (
    ("finish.kind", "nitrocellulose"), ("finish.sheen", "gloss"), ("finish.colour", "burst"),
    ("finish.shade", "amber"), ("finish.pores", "closed"), ("neck.finish", "satin"),
)  # fmt: skip
SATIN_GREEN = (
    ("body.wood", "light ash"), ("finish.kind", "two-component"), ("finish.sheen", "satin"),
    ("finish.colour", "dyed"), ("finish.shade", "green"), ("neck.finish", "satin"),
)  # fmt: skip
FRETLESS = (("fingerboard.frets_kind", "lined fretless"), ("fingerboard.wood", "ebony"))
STAINLESS = (("fingerboard.wire_metal", "stainless"),)
CHAMBERED = (("body.chambering", "chambered"), ("body.top", "flat"), ("body.top_wood", "walnut"))
TOO_SHORT = (("scale.bass", "32 in"),)
UNFINISHED = (("scale.treble", "34"),)

WISHES = (
    Wish("Turnstone", 0, 0, "draft", remark="called this morning, wants a drawing"),
    Wish("Curlew", 1, 1, "draft", changes=TOO_SHORT, remark="asks for a very short bass string"),
    Wish("Turnstone", 8, 2, "draft", changes=UNFINISHED, remark="treble scale still open"),
    Wish("Avocet", 3, 3, "draft", changes=LEFT),
    Wish("Turnstone", 2, 5, "placed", changes=SATIN_GREEN),
    Wish("Oystercatcher", 4, 6, "placed"),
    Wish("Curlew", 5, 8, "placed", changes=FRETLESS),
    Wish("Dunlin", 2, 9, "placed"),
    Wish("Turnstone", 9, 12, "deposit", changes=STAINLESS),
    Wish("Avocet", 6, 13, "deposit"),
    Wish("Turnstone", 0, 15, "deposit", changes=CHAMBERED),
    Wish("Curlew", 8, 24, "building", 1.4, promise_days=190),
    Wish("Turnstone", 3, 28, "building", 1.2, SATIN_GREEN, promise_days=180),
    Wish("Turnstone", 1, 36, "building", 1.5, LEFT, promise_days=170),
    Wish("Oystercatcher", 7, 41, "building", 1.3, promise_days=200),
    Wish("Avocet", 5, 47, "building", 1.6, promise_days=150),
    Wish("Turnstone", 4, 52, "building", 1.4, GLOSS_BURST, promise_days=160),
    Wish("Curlew", 9, 58, "building", 1.5, FRETLESS, promise_days=150),
    Wish("Turnstone", 6, 63, "held", 1.3, STAINLESS, promise_days=140),
    Wish("Turnstone", 2, 69, "building", 1.7, CHAMBERED, promise_days=130),
    Wish("Avocet", 0, 74, "building", 1.4, LEFT, promise_days=135),
    Wish("Oystercatcher", 8, 80, "building", 1.8, GLOSS_BURST, promise_days=120),
    Wish("Curlew", 3, 86, "building", 1.6, SATIN_GREEN, promise_days=115),
    Wish("Turnstone", 5, 92, "held", 1.5, promise_days=100),
    Wish("Turnstone", 7, 98, "building", 1.8, GLOSS_BURST, promise_days=102),
    Wish("Avocet", 9, 105, "building", 1.7, promise_days=110),
    Wish("Curlew", 0, 112, "building", 1.9, STAINLESS, promise_days=114),
    Wish("Turnstone", 1, 118, "building", 1.8, SATIN_GREEN, promise_days=112),
    Wish("Oystercatcher", 6, 126, "building", 2.0, promise_days=130),
    Wish("Turnstone", 4, 133, "building", 1.9, promise_days=140),
    Wish("Turnstone", 8, 150, "building", 1.6, FRETLESS, promise_days=150),
    Wish("Curlew", 2, 160, "building", 1.5, promise_days=155),
    Wish("Avocet", 3, 175, "building", 1.5, promise_days=170),
    Wish("Turnstone", 9, 190, "building", 1.4, CHAMBERED, promise_days=185),
    Wish("Dunlin", 4, 20, "building", 1.1, promise_days=45),
    Wish("Dunlin", 7, 24, "building", 1.3, promise_days=45),
    Wish("Sanderling", 2, 26, "building", 1.2, promise_days=45),
    Wish("Sanderling", 1, 30, "building", 1.0, LEFT, promise_days=40),
    Wish("Sanderling", 5, 34, "building", 1.0, promise_days=40),
    Wish("Turnstone", 6, 30, "cancelled", remark="moved abroad, wants to come back next year"),
)
