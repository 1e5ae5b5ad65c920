"""Releasing a spec: what is stored, and that neither the program nor the database changes it afterwards."""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime

import pytest
import rfc8785
from django.db import DatabaseError, transaction

from specs.answer import answer
from specs.canonical import complete
from specs.derive import derive
from specs.errors import WrongState
from specs.facts import OrderFacts
from specs.guards import install
from specs.models import Spec
from specs.parsing import parse
from specs.rules import check
from specs.services import release_spec
from specs.starters import starter
from specs.tables import load_tables

NOW = datetime(2026, 4, 14, 9, 0, tzinfo=UTC)


@pytest.fixture
def spec(sales) -> Spec:
    return Spec.objects.create(entered=starter(5), made_by=sales)


def released(spec: Spec) -> Spec:
    derived = derive(parse(spec.entered), load_tables())
    return release_spec(spec=spec, derived=derived, findings=check(derived, OrderFacts()), now=NOW)


def test_a_release_stores_document_digest_answer_and_tables(spec):
    frozen = released(spec)
    derived = derive(parse(starter(5)), load_tables())
    assert frozen.document == complete(derived.spec)
    assert frozen.digest == hashlib.sha256(rfc8785.dumps(frozen.document)).hexdigest()  # RFC 8785, FIPS 180-4
    assert frozen.answer == answer(derived, check(derived, OrderFacts()))
    assert frozen.table_versions == dict(load_tables().versions)
    assert (frozen.released_at, frozen.digest_holds()) == (NOW, True)


def test_a_second_release_finds_it_released(spec):
    stale = Spec.objects.get(pk=spec.pk)
    released(spec)
    with pytest.raises(WrongState):
        released(stale)


def test_a_draft_kept_since_it_was_read_is_not_released(spec):
    Spec.objects.filter(pk=spec.pk).update(entered_version=2)
    with pytest.raises(WrongState):
        released(spec)
    assert not Spec.objects.get(pk=spec.pk).is_released


def test_the_database_refuses_to_change_or_delete_a_released_spec(spec):
    frozen = released(spec)
    rows = Spec.objects.filter(pk=frozen.pk)
    for change in (lambda: rows.update(digest="0" * 64), lambda: rows.update(released_at=None), rows.delete):
        with pytest.raises(DatabaseError, match="a released spec never changes"), transaction.atomic():
            change()
    assert Spec.objects.get(pk=frozen.pk).digest == frozen.digest


def test_a_draft_may_change_and_go(spec):
    rows = Spec.objects.filter(pk=spec.pk)
    assert (rows.update(revision="B"), rows.delete()[0]) == (1, 1)


def test_the_triggers_may_be_installed_again(spec):
    install()
    frozen = released(spec)
    with pytest.raises(DatabaseError, match="a released spec never changes"), transaction.atomic():
        Spec.objects.filter(pk=frozen.pk).update(revision="Z")


def test_a_release_without_its_parts_is_refused_by_the_database(spec):
    with pytest.raises(DatabaseError), transaction.atomic():
        Spec.objects.filter(pk=spec.pk).update(released_at=NOW)
