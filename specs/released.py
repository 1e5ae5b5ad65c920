"""The instrument of a spec: of a released one with the very numbers stored at its release."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import fields, replace
from functools import lru_cache
from typing import Any

from specs.derive import derive
from specs.derived import Derived, WorstError
from specs.document import BuildSpec
from specs.models import Spec
from specs.parsing import parse
from specs.tables import load_tables

KG_M_PER_LB_IN = 0.45359237 / 0.0254


def instrument(released: Spec) -> Derived:
    """The computed instrument, every stored number as it was stored; what was not stored follows from the document.

    The strings weigh what they weighed at release, so a later edit of the catalogue neither moves nor refuses it.
    """
    return _read_back(json.dumps(released.document), json.dumps(released.answer))


@lru_cache(maxsize=128)
def _read_back(document: str, answer: str) -> Derived:
    spec, stored = parse(json.loads(document)), json.loads(answer)
    derived = derive(_weighed(spec, stored["strings"]), load_tables())
    return replace(
        derived,
        spec=spec,
        strings=_each(derived.strings, stored["strings"]),
        frets=_each(derived.frets, stored["frets"]),
        board=_as_stored(derived.board, stored["board"]),
        tension=_as_stored(derived.tension, stored["tension"]),
        pickups=_each(derived.pickups, stored["pickups"]),
    )


def _weighed(spec: BuildSpec, strings: Sequence[Mapping[str, Any]]) -> BuildSpec:
    unit_weights = tuple(string["unit_mass_kg_m"] / KG_M_PER_LB_IN for string in strings)
    return replace(spec, strings=replace(spec.strings, unit_weights_lb_in=unit_weights))


def _each(computed: Sequence[Any], stored: Sequence[Mapping[str, Any]]) -> tuple[Any, ...]:
    return tuple(_as_stored(one, kept) for one, kept in zip(computed, stored, strict=True))


def _as_stored(computed: Any, stored: Mapping[str, Any]) -> Any:
    known = {field.name for field in fields(computed)}
    return replace(computed, **{name: _read(name, value) for name, value in stored.items() if name in known})


def _read(name: str, value: Any) -> Any:
    if name == "worst_error":
        return WorstError(**value)
    return tuple(value) if isinstance(value, list) else value


def current(spec: Spec) -> Derived:
    """The instrument of a revision: as stored once it is released, as computed now while it is open.

    Raises Refused with every problem of an open one.
    """
    return instrument(spec) if spec.is_released else derive(spec.build_spec(), load_tables())
