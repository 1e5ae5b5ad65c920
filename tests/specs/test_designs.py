"""Designs go from idea to offered and back to rest, each step with its reason, one winner."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from specs.designs import add_idea, move_pattern
from specs.errors import Refused, WrongState
from specs.models import Pattern, PatternMove, Stage
from specs.starters import starter

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 4, 14, 9, 0, tzinfo=UTC)


@pytest.fixture
def idea(manager) -> Pattern:
    return add_idea(name="Whimbrel", about="", document=starter(5), line="custom", person=manager, now=NOW)


def test_an_idea_is_kept_with_its_choices_and_not_offered(idea, manager):
    assert (idea.stage, idea.strings, idea.document) == (Stage.IDEA, 5, starter(5))
    assert list(PatternMove.objects.values_list("was", "stage", "person")) == [("", "idea", manager.pk)]
    assert not Pattern.objects.offered().exists()


@pytest.mark.parametrize("name", ["", "  ", "Whimbrel", " Whimbrel "])
def test_a_design_needs_a_name_of_its_own(idea, manager, name):
    with pytest.raises(Refused, match="name no other has"):
        add_idea(name=name, about="", document=starter(4), line="custom", person=manager, now=NOW)


def test_what_is_no_instrument_is_no_design(manager):
    with pytest.raises(Refused):
        add_idea(name="Smew", about="", document={"hand": "both"}, line="custom", person=manager, now=NOW)


def test_a_move_is_logged_with_its_reason(idea, manager):
    moved = move_pattern(pattern=idea, was="idea", stage="drawing", reason=" long scale asked for ",
                         person=manager, now=NOW)  # fmt: skip
    assert moved.stage == Stage.DRAWING
    last = idea.moves.last()
    assert (last.was, last.stage, last.reason) == ("idea", "drawing", "long scale asked for")


def test_the_second_of_two_moves_from_one_stage_is_refused(idea, manager):
    move_pattern(pattern=idea, was="idea", stage="drawing", reason="now", person=manager, now=NOW)
    with pytest.raises(WrongState, match="Whimbrel was moved meanwhile: drawing"):
        move_pattern(pattern=idea, was="idea", stage="resting", reason="later", person=manager, now=NOW)
    assert idea.moves.count() == 2


@pytest.mark.parametrize(("stage", "reason"), [("idea", "x"), ("drawing", " "), ("moon", "x")])
def test_a_move_that_says_nothing_changes_nothing(idea, manager, stage, reason):
    with pytest.raises(WrongState, match="nothing was changed"):
        move_pattern(pattern=idea, was="idea", stage=stage, reason=reason, person=manager, now=NOW)
    idea.refresh_from_db()
    assert idea.stage == Stage.IDEA


def test_what_is_no_instrument_any_more_is_not_offered(idea, manager):
    Pattern.objects.filter(pk=idea.pk).update(document={"hand": "both"})
    idea.refresh_from_db()
    with pytest.raises(Refused):
        move_pattern(pattern=idea, was="idea", stage="offered", reason="ready", person=manager, now=NOW)


@pytest.mark.django_db(transaction=True)
def test_patterns_of_before_keep_being_offered_or_rest():
    executor = MigrationExecutor(connection)
    leaves = executor.loader.graph.leaf_nodes()
    executor.migrate([("specs", "0002_weighed_string")])
    try:
        old = executor.loader.project_state([("specs", "0002_weighed_string")]).apps.get_model("specs", "Pattern")
        for name, offered in (("Knot", True), ("Ruff", False)):
            old.objects.create(name=name, strings=4, line="custom", document={}, offered=offered)
    finally:
        MigrationExecutor(connection).migrate(leaves)
    assert dict(Pattern.objects.values_list("name", "stage")) == {"Knot": "offered", "Ruff": "resting"}
