"""The places of the floor, the usual limit of what may stand there, and the limits the shop set itself."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.db import models
from django.utils.translation import gettext_lazy as _

from routing.catalogue import DATA, operation

BATCHES = "batches"


@dataclass(frozen=True)
class Place:
    """A place of the floor: its usual limit, the sign that it is broken, the operations that stand there, source.

    ``counts`` says what stands there: instruments, or the batches they came in.
    """

    slug: str
    name: str
    limit: int
    sign: str
    operations: tuple[str, ...]
    counts: str
    source: str


def read_places(rows: Sequence[dict[str, Any]]) -> tuple[Place, ...]:
    """The places in the order of the floor. Raises ``KeyError`` for an operation the catalogue does not know."""
    for row in rows:
        for name in row["operations"]:
            operation(name)
    return tuple(Place(**row | {"operations": tuple(row["operations"])}) for row in rows)


PLACES = read_places(json.loads((DATA / "limits.json").read_text("utf-8")))
NOT_CUT, CURE_RACK = (next(place for place in PLACES if place.slug == slug) for slug in ("not-cut", "cure-rack"))


class FloorLimit(models.Model):
    """The limit the shop set itself for a place, where it is not the usual one."""

    place = models.SlugField(unique=True)
    most = models.PositiveSmallIntegerField(_("limit"))
