"""What may happen to an order, in which state, and who comes too late."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from routing.errors import WrongState
from routing.models import TaskState
from shop.orders.models import OrderState
from shop.orders.queries import check_order, facts_of, one_order
from shop.orders.services import (
    About,
    cancel_order,
    clear_deposit,
    initial_caution,
    keep_draft,
    next_letter,
    place_order,
    revise_spec,
    start_order,
)
from specs.errors import Refused
from specs.models import Pattern, Stage
from specs.services import release_spec

NOW = datetime(2026, 4, 14, 9, 0, tzinfo=UTC)
FIXED = "white-wood-is-fixed"
LIVED = [
    "Enquiry and consultation",
    "Specification draft and compatibility check",
    "Quotation",
    "Deposit received and place in the build line given",
]


def history(order) -> list[str]:
    return list(order.events.values_list("what", flat=True))


def freeze(order):
    checked = check_order(order, now=NOW)
    release_spec(spec=order.spec, derived=checked.derived, findings=checked.findings, now=NOW)
    return one_order(order.number)


def with_value(order, section, key, value):
    return {**order.spec.entered, section: {**order.spec.entered[section], key: value}}


def test_an_order_starts_from_a_pattern_as_people_type_it(pattern, sales):
    order = start_order(pattern=pattern, person=sales, now=NOW)
    assert (order.number, order.state, order.spec.entered["scale"]["bass"]) == ("C26-0001", OrderState.DRAFT, "37 in")
    assert history(order) == ["started as Turnstone"]


@pytest.mark.parametrize("stage", [stage for stage in Stage.values if stage != Stage.OFFERED])
def test_no_order_starts_from_a_design_that_is_not_offered(pattern, sales, stage):
    Pattern.objects.filter(pk=pattern.pk).update(stage=stage)
    with pytest.raises(WrongState, match="Turnstone is not offered"):
        start_order(pattern=pattern, person=sales, now=NOW)


def test_an_order_starts_as_an_earlier_one_and_leaves_it_alone(draft, sales):
    changed = keep_draft(
        order=draft, entered=with_value(draft, "scale", "bass", "36 in"), version=2, person=sales, now=NOW
    )
    again = start_order(like=changed, person=sales, now=NOW)
    assert (again.like, again.customer, again.spec.entered) == (changed, None, changed.spec.entered)
    assert again.spec_id != changed.spec_id


def test_a_stale_window_changes_nothing(draft, sales):
    first = keep_draft(
        order=draft, entered=with_value(draft, "nut", "spread", "40 mm"), version=2, person=sales, now=NOW
    )
    with pytest.raises(WrongState, match="another window"):
        keep_draft(order=draft, entered=with_value(draft, "nut", "spread", "41 mm"), version=2, person=sales, now=NOW)
    assert one_order(draft.number).spec.entered == first.spec.entered


def test_a_draft_keeps_what_is_wrong(draft, sales):
    kept = keep_draft(order=draft, entered={"scale": "soon"}, version=2, person=sales, now=NOW)
    assert kept.spec.entered == {"scale": "soon"}


def test_only_a_whole_order_is_placed(pattern, sales):
    order = start_order(pattern=pattern, person=sales, now=NOW)
    keep_draft(order=order, entered=with_value(order, "scale", "bass", "37"), version=1, person=sales, now=NOW)
    with pytest.raises(Refused) as refused:
        place_order(order=order, person=sales, now=NOW)
    assert [problem.field for problem in refused.value.problems] == ["customer", "scale.bass"]
    assert one_order(order.number).state == OrderState.DRAFT


def test_an_error_of_the_rules_stops_an_order(draft, sales):
    keep_draft(order=draft, entered=with_value(draft, "finish", "colour", "solid"), version=2, person=sales, now=NOW)
    with pytest.raises(Refused) as refused:
        place_order(order=draft, person=sales, now=NOW)
    assert [problem.field for problem in refused.value.problems] == ["finish.colour"]


def test_an_order_is_placed_once(placed, sales):
    assert (placed.state, placed.placed_at) == (OrderState.PLACED, NOW)
    with pytest.raises(WrongState, match="placed"):
        place_order(order=placed, person=sales, now=NOW)


def test_a_placed_order_stays_buildable(placed, sales):
    with pytest.raises(Refused):
        keep_draft(order=placed, entered=with_value(placed, "scale", "bass", "37"), version=2, person=sales, now=NOW)
    assert one_order(placed.number).spec.entered == placed.spec.entered


def test_the_deposit_makes_the_build_with_what_was_lived(building, sales):
    done = building.build.tasks.filter(state=TaskState.DONE)
    assert [(task.operation, task.done_at) for task in done] == [(name, NOW) for name in LIVED]
    assert (building.state, building.build.serial) == (OrderState.BUILDING, building.number)
    with pytest.raises(WrongState):
        clear_deposit(order=building, person=sales, now=NOW)


def test_the_promise_given_with_the_deposit_is_the_builds(placed, sales):
    order = clear_deposit(order=placed, person=sales, now=NOW, promise=date(2026, 9, 1))
    assert (order.promise, order.build.promise) == (date(2026, 9, 1), date(2026, 9, 1))


def test_a_changed_draft_changes_its_builds_tasks(building, sales):
    assert not building.build.tasks.filter(operation__icontains="chamber").exists()
    chambered = with_value(building, "body", "chambering", "chambered")
    keep_draft(order=building, entered=chambered, version=2, person=sales, now=NOW)
    assert building.build.tasks.filter(operation__icontains="chamber").exists()


def test_a_caution_is_initialled_once_until_its_figure_changes(draft, sales):
    steep = with_value(draft, "scale", "perpendicular_fret", 9)
    draft = keep_draft(order=draft, entered=steep, version=2, person=sales, now=NOW)
    found = check_order(draft, now=NOW).cautions[0]
    given = {"rule": found.rule, "field": found.field, "initials": "SA", "reason": "told", "person": sales, "now": NOW}
    initial_caution(order=draft, **given)
    assert found not in check_order(one_order(draft.number), now=NOW).cautions
    with pytest.raises(WrongState):
        initial_caution(order=draft, **given)
    steeper = with_value(draft, "scale", "perpendicular_fret", 9.5)
    draft = keep_draft(order=draft, entered=steeper, version=3, person=sales, now=NOW)
    assert (found.rule, found.field) in [(one.rule, one.field) for one in check_order(draft, now=NOW).cautions]
    initial_caution(order=draft, **given)
    assert draft.spec.initialled.filter(rule=found.rule, field=found.field).count() == 1


def test_only_a_released_revision_is_revised(building, sales):
    with pytest.raises(WrongState):
        revise_spec(order=building, person=sales, now=NOW)
    revised = revise_spec(order=freeze(building), person=sales, now=NOW)
    assert (revised.spec.revision, revised.spec.previous) == ("B", building.spec)
    assert revised.spec.entered == building.spec.entered
    with pytest.raises(WrongState):
        revise_spec(order=revised, person=sales, now=NOW)


def test_a_released_revision_takes_no_more_typing(building, sales):
    frozen = freeze(building)
    with pytest.raises(WrongState, match="released"):
        keep_draft(order=frozen, entered={}, version=frozen.spec.entered_version, person=sales, now=NOW)


@pytest.mark.parametrize(("revision", "following"), [("A", "B"), ("Y", "Z"), ("Z", "AA"), ("AZ", "BA"), ("ZZ", "AAA")])
def test_revisions_follow_the_alphabet(revision, following):
    assert next_letter(revision) == following


def test_a_cancelled_order_leaves_the_queues(building, sales):
    order = cancel_order(order=building, reason="moved abroad", person=sales, now=NOW)
    assert (order.state, order.build.cancelled_at) == (OrderState.CANCELLED, NOW)
    assert history(order)[-1] == "cancelled: moved abroad"
    with pytest.raises(WrongState):
        cancel_order(order=order, reason="again", person=sales, now=NOW)


def test_a_cancellation_needs_a_reason(draft, sales):
    with pytest.raises(WrongState, match="why"):
        cancel_order(order=draft, reason=" ", person=sales, now=NOW)


@pytest.mark.parametrize(("country", "export"), [("PT", False), ("pt", False), ("DE", True)])
def test_shipping_to_another_country_is_export(draft, customer, country, export):
    customer.country = country
    customer.save()
    assert facts_of(one_order(draft.number)).export is export


def test_what_is_said_beside_the_spec_is_kept(draft, customer, sales):
    about = About(customer.pk, date(2026, 8, 1), True, False, "loud")
    kept = keep_draft(order=draft, entered=draft.spec.entered, version=2, about=about, person=sales, now=NOW)
    assert (kept.wanted_by, kept.permit, kept.carrier, kept.remark) == (date(2026, 8, 1), True, False, "loud")


def test_after_white_wood_a_revision_changes_only_what_is_still_open(building, sales):
    order = revise_spec(order=freeze(building), person=sales, now=NOW)
    longer = with_value(order, "scale", "bass", "36 in")
    assert not [stop for stop in check_order(order, now=NOW, entered=longer).stops if stop.code == FIXED]
    order.build.tasks.filter(operation__startswith="White-wood").update(state=TaskState.DONE)
    stops = check_order(order, now=NOW, entered=longer).stops
    assert [stop.field for stop in stops if stop.code == FIXED] == ["scale.bass"]
    knobs = with_value(order, "hardware", "knobs", "wood")
    assert check_order(order, now=NOW, entered=knobs).stops == ()
