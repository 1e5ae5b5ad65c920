"""The instrument of a spec: of a released one with the very numbers stored at its release."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import datetime
from functools import lru_cache
from typing import Any

from specs.derive import derive
from specs.derived import Derived, Finding, WorstError
from specs.document import BuildSpec
from specs.models import Spec
from specs.parsing import parse
from specs.tables import INCH_M, POUND_KG, load_tables

KG_M_PER_LB_IN = POUND_KG / INCH_M


@dataclass(frozen=True)
class Released:
    """What a release keeps: the instrument with its stored numbers, and the findings that stood then."""

    instrument: Derived
    findings: tuple[Finding, ...]


def released(spec: Spec) -> Released:
    """What was stored when the spec was released; its row is read once, for it never changes."""
    return kept(spec.pk, spec.digest, spec.released_at)


def instrument(spec: Spec) -> Derived:
    """The computed instrument, every stored number as it was stored; what was not stored follows from the document.

    The strings weigh what they weighed at release, so a later edit of the catalogue neither moves nor refuses it.
    """
    return released(spec).instrument


@lru_cache(maxsize=256)
def kept(pk: int, digest: str, released_at: datetime) -> Released:
    """The release of that row, digest and moment, read from the database the first time it is asked for."""
    document, stored = Spec.objects.values_list("document", "answer").get(pk=pk, digest=digest)
    return Released(read_back(document, stored), tuple(Finding(**one, source="") for one in stored["findings"]))


def read_back(document: Mapping[str, Any], stored: Mapping[str, Any]) -> Derived:
    """The instrument of a completed document with the numbers of its stored answer in place of newly computed ones."""
    spec = parse(document)
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
