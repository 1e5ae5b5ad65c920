"""A prototype is ordinary work without a customer: what it asks for, what it spares, and how it ends."""

from __future__ import annotations

import pytest

from routing.building import FOR_CUSTOMER
from routing.catalogue import OPERATIONS, operation
from routing.errors import WrongState
from routing.expand import expand
from routing.models import Build, Kind, TaskState
from routing.prototypes import DRAFTED, HOME, make_prototype, stop_prototype
from routing.services import respec_build
from specs.errors import Refused
from specs.models import Pattern, Stage
from specs.starters import starter
from tests.routing.made import NOW, person

pytestmark = pytest.mark.django_db


@pytest.fixture
def boss(db):
    return person("avocet", "manager")


@pytest.fixture
def design(db) -> Pattern:
    return Pattern.objects.create(
        name="Whimbrel", strings=5, line="series", document=starter(5), stage=Stage.DRAWING
    )  # fmt: skip


def operations(build: Build) -> list[str]:
    return list(build.tasks.order_by("position").values_list("operation", flat=True))


def test_a_prototype_has_the_tasks_of_an_instrument_but_for_its_customers(design, boss):
    made = make_prototype(pattern=design, person=boss, now=NOW)
    whole = [task.operation for task in expand(made.spec.build_spec(), HOME)]
    assert operations(made) == [name for name in whole if name not in FOR_CUSTOMER]
    assert (made.kind, made.serial, made.promise) == (Kind.PROTOTYPE, "P26-0001", None)


def test_its_draft_is_done_and_its_drawing_comes_first(design, boss):
    made = make_prototype(pattern=design, person=boss, now=NOW)
    done = made.tasks.filter(state=TaskState.DONE)
    assert [task.operation for task in done] == [DRAFTED]
    assert list(made.tasks.ready(NOW).values_list("operation", flat=True)) == ["Scale and layout drawing"]


def test_it_ends_with_its_picture_and_nobody_pays(design, boss):
    made = make_prototype(pattern=design, person=boss, now=NOW)
    assert operations(made)[-1] == "Photography and serial record"
    desk = {row.name for row in OPERATIONS if row.station == "Sales desk"} - FOR_CUSTOMER
    assert set(made.tasks.filter(station__name="Sales desk").values_list("operation", flat=True)) <= desk


def test_the_customers_rows_are_those_of_the_office_and_the_carrier():
    """What a trade reader would strike from the table for an instrument nobody ordered: common practice, no source."""
    assert {operation(name).station for name in FOR_CUSTOMER} == {"Sales desk", "Packing"}


def test_it_keeps_sparing_them_when_its_spec_is_expanded_again(design, boss):
    made = make_prototype(pattern=design, person=boss, now=NOW)
    before = operations(made)
    respec_build(build=made, spec=made.spec, facts=HOME, person=boss, now=NOW)
    assert operations(made) == before


def test_it_has_a_spec_of_its_own(design, boss):
    made = make_prototype(pattern=design, person=boss, now=NOW)
    Pattern.objects.filter(pk=design.pk).update(document=starter(4))
    made.refresh_from_db()
    assert made.spec.build_spec().strings.count == 5


def test_a_resting_design_and_no_instrument_are_refused(design, boss):
    Pattern.objects.filter(pk=design.pk).update(stage=Stage.RESTING)
    with pytest.raises(WrongState, match="Whimbrel rests"):
        make_prototype(pattern=design, person=boss, now=NOW)
    Pattern.objects.filter(pk=design.pk).update(stage=Stage.IDEA, document={"hand": "both"})
    with pytest.raises(Refused):
        make_prototype(pattern=design, person=boss, now=NOW)
    assert not Build.objects.exists()


def test_it_is_stopped_once(design, boss):
    made = make_prototype(pattern=design, person=boss, now=NOW)
    assert stop_prototype(build=made, now=NOW).cancelled_at == NOW
    with pytest.raises(WrongState, match="no prototype under way"):
        stop_prototype(build=made, now=NOW)
