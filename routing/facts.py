"""Facts of an order read from JSON: line, export, permit."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from specs.errors import Problem, Refused
from specs.facts import OrderFacts

LINES = ("custom", "series")
FLAGS = ("export", "permit")


def read_facts(document: Mapping[str, Any]) -> OrderFacts:
    """The facts of a FACTS document; what it leaves out is the default. Raises Refused with every problem."""
    problems = [*_unknown(document), *_bad_line(document), *_bad_flags(document)]
    if problems:
        raise Refused(problems)
    return OrderFacts(**document)


def _unknown(document: Mapping[str, Any]) -> list[Problem]:
    known = ("line", *FLAGS)
    return [
        Problem(key, "unknown-key", f"unknown key; facts are {', '.join(known)}")
        for key in document
        if key not in known
    ]


def _bad_line(document: Mapping[str, Any]) -> list[Problem]:
    if document.get("line", "custom") in LINES:
        return []
    return [Problem("line", "not-a-choice", f"must be one of {', '.join(LINES)}")]


def _bad_flags(document: Mapping[str, Any]) -> list[Problem]:
    return [
        Problem(key, "not-a-flag", "must be true or false")
        for key in FLAGS
        if not isinstance(document.get(key, False), bool)
    ]
