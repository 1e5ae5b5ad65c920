"""Orders to route: the ordinary five-string instrument with some choices changed."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from typing import Any

import pytest

from specs.document import BuildSpec
from specs.parsing import parse
from specs.starters import starter

Order = Callable[[Mapping[str, Any]], BuildSpec]


@pytest.fixture(scope="session")
def order() -> Order:
    """Makes a spec from choices such as ``{"neck.construction": "neck-through"}``."""
    plain = parse(starter(5))

    def chosen(choices: Mapping[str, Any]) -> BuildSpec:
        sections: dict[str, dict[str, Any]] = {}
        for path, value in choices.items():
            section, name = path.split(".")
            sections.setdefault(section, {})[name] = value
        changed = {name: dataclasses.replace(getattr(plain, name), **values) for name, values in sections.items()}
        return dataclasses.replace(plain, **changed)

    return chosen
