"""The invented workshop of the demo: its people, customers and patterns. Nothing here is real."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

PASSWORD = "low-tide-bass"

OWNER = "Saltmarsh Instrument Works, on the sound of Varrow"


@dataclass(frozen=True)
class Hand:
    """Somebody of the workshop: sign-in, name, role, and the hours a week each station gets of them."""

    sign_in: str
    first: str
    last: str
    role: str
    initials: str
    stations: dict[str, float]


HANDS = (
    Hand("maren", "Maren", "Tidewell", "manager", "MT", {"Inspection": 4, "Purchasing": 4, "Receiving": 2}),
    Hand("ilva", "Ilva", "Reedmace", "sales", "IR", {"Sales desk": 24, "Purchasing": 6}),
    Hand(
        "osk", "Osk", "Brackwater", "sales", "OB",
        {"Sales desk": 10, "Photography": 8, "Packing": 10, "Receiving": 4},
    ),
    Hand(
        "bryn", "Bryn", "Sandbar", "bench", "BS",
        {"Drawing and CNC programming": 8, "CNC or pin router": 10, "Timber store": 4, "Inspection": 8},
    ),
    Hand("tam", "Tam", "Eelgrass", "bench", "TE", {"Fret bench": 22, "Setup bench": 8, "Inspection": 2}),
    Hand("juno", "Juno", "Skerrydeep", "bench", "JS", {"Neck bench": 18, "Glue bench": 6, "Mill": 6}),
    Hand(
        "pell", "Pell", "Harrowmere", "bench", "PH",
        {"Mill": 4, "Body bench": 10, "Assembly bench": 10, "Wiring bench": 6, "Glue bench": 2},
    ),
    Hand(
        "wick", "Wick", "Dunlow", "bench", "WD",
        {"Finish preparation": 8, "Spray shop": 2, "Spray booth": 5, "Cure rack": 1, "Buff room": 4},
    ),
)  # fmt: skip


@dataclass(frozen=True)
class Buyer:
    """A customer or a dealer of the demo."""

    name: str
    country: str
    is_dealer: bool = False
    contact: str = ""
    email: str = ""


BUYERS = (
    Buyer("Lune Fairweather", "PT", email="lune@example.org"),
    Buyer("Corin Saltby", "PT", email="corin@example.org"),
    Buyer("Ebb and Flow Bass Counter", "DE", True, "Hesper Quill", "counter@example.com"),
    Buyer("Anse Marlowby", "FR", email="anse@example.org"),
    Buyer("Northern Strand Strings", "NO", True, "Ferrow Lind", "strand@example.com"),
    Buyer("Vesper Oakhaven", "IE", email="vesper@example.org"),
    Buyer("Merle Shingleton", "US", email="merle@example.org"),
    Buyer("Quay Street Low End", "JP", True, "Tindra Moss", "quay@example.com"),
    Buyer("Petra Longspit", "PT", email="petra@example.org"),
    Buyer("Rowan Creekmouth", "NL", email="rowan@example.org"),
)


@dataclass(frozen=True)
class Design:
    """A pattern: where it starts from and what it changes, by dotted path."""

    name: str
    strings: int
    line: str
    about: str
    construction: str = "bolt-on"
    changes: tuple[tuple[str, Any], ...] = ()


DESIGNS = (
    Design("Turnstone", 5, "custom", "five strings, 37-34 in, alder and oil: the one most people start from"),
    Design(
        "Curlew", 4, "custom", "four strings, 36-34 in, long and light",
        changes=(("body.wood", "paulownia"), ("body.shape", "round tail"), ("body.weight_ceiling_kg", 4.0)),
    ),
    Design(
        "Avocet", 6, "custom", "six strings, 37-33 in, flat maple top",
        changes=(
            ("body.top", "flat"), ("body.top_wood", "flame maple"), ("finish.kind", "two-component"),
            ("finish.sheen", "satin"), ("finish.colour", "dyed"), ("finish.shade", "blue"), ("neck.finish", "satin"),
        ),
    ),
    Design(
        "Oystercatcher", 5, "custom", "five strings, neck-through, carved top, gloss", "neck-through",
        changes=(
            ("body.top", "carved"), ("body.top_wood", "quilt maple"), ("finish.kind", "two-component"),
            ("finish.sheen", "gloss"), ("finish.pores", "closed"), ("neck.finish", "gloss"),
        ),
    ),
    Design(
        "Dunlin", 4, "series", "four strings from the partner's batch, finished and set up at home",
        changes=(("finish.kind", "partner polyester"), ("finish.sheen", "satin"), ("finish.colour", "solid"),
                 ("finish.shade", "green"), ("finish.pores", "closed"), ("neck.finish", "satin")),
    ),
    Design(
        "Sanderling", 5, "series", "five strings from the partner's batch, finished and set up at home",
        changes=(("finish.kind", "partner polyester"), ("finish.sheen", "satin"), ("finish.colour", "solid"),
                 ("finish.shade", "white"), ("finish.pores", "closed"), ("neck.finish", "satin")),
    ),
)  # fmt: skip

CLOSED_DAYS = ((1, 1, "New Year"), (8, 24, "Lantern tide"), (12, 25, "Midwinter"), (12, 26, "Midwinter, second day"))
