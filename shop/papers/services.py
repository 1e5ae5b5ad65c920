"""Release freezes what is built and issues its traveller; another paper can follow from the same release."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext as _

import shop.papers.jobs  # noqa: F401  registers the work asked for here
from routing.catalogue import OPERATIONS
from routing.errors import WrongState
from routing.estimating import facts_of_build
from routing.jobs import ask
from routing.models import Batch, Build, JobState, Kind, Task, TaskState
from routing.said import task_said
from routing.services import done_task, respec_build
from shop.orders.models import Order, OrderEvent, OrderState
from shop.orders.queries import Checked, check_entered, check_order, facts_of
from shop.orders.reserving import not_as_built
from shop.orders.services import next_letter
from shop.papers.models import Sheet
from shop.people.models import Person
from specs.canonical import complete
from specs.errors import Problem, Refused
from specs.models import Spec
from specs.services import release_spec

RELEASES = next(operation.name for operation in OPERATIONS if operation.releases)
PAPERS = ("A4", "Letter")


@transaction.atomic
def release_order(*, order: Order, person: Person, now: datetime) -> Sheet:
    """Freeze the order's revision, let its build follow it, and issue the traveller: one winner, all or nothing.

    Raises ``Refused`` with everything that still stands against it, ``WrongState`` where it is released already.
    """
    order = _locked(order)
    if order.spec.is_released:
        raise WrongState(_("Revision {revision} is released already.").format(revision=order.spec.revision))
    checked = check_order(order, now=now)
    if problems := [*_against(order, checked, now)]:
        raise Refused(problems)
    _give_letter(order)
    spec = release_spec(spec=order.spec, derived=checked.derived, findings=checked.findings, now=now)
    order.spec = spec
    build = _followed(order, person, now)
    OrderEvent.objects.create(
        order=order, what=_("revision {revision} released").format(revision=spec.revision), person=person, at=now
    )
    return issue_sheet(build=build, paper=settings.PAPER, person=person, now=now)


def _give_letter(order: Order) -> None:
    """An instrument of a batch was released with it: what differs from that is its next letter, never the same one."""
    built = order.build.spec
    if not built.is_released or built.pk == order.spec_id or order.spec.previous_id == built.pk:
        return
    same = complete(order.spec.build_spec()) == built.document
    letter = built.revision if same else next_letter(built.revision)
    if (len(order.spec.revision), order.spec.revision) < (len(letter), letter):
        Spec.objects.filter(pk=order.spec_id).update(revision=letter)


def _locked(order: Order) -> Order:
    """The order as it is now, kept from everybody else until the transaction ends."""
    Order.objects.select_for_update().get(pk=order.pk)
    return Order.objects.select_related("customer", "spec__pattern", "build", "like__spec").get(pk=order.pk)


def blocks(order: Order, now: datetime, checked: Checked | None = None) -> tuple[Problem, ...]:
    """Everything that still stands against a release, each with its remedy; ``checked`` where the answer is at hand."""
    return tuple(_against(order, checked or check_order(order, now=now), now))


def _against(order: Order, checked: Checked, now: datetime) -> Iterator[Problem]:
    yield from checked.stops
    for caution in checked.cautions:
        message = _("{message} Initial this caution with a reason, or change the order.")
        yield Problem(caution.field, caution.rule, message.format(message=caution.message))
    if order.customer is None:
        yield Problem("customer", "missing", _("Choose who the instrument is for."))
    if order.state != OrderState.BUILDING:
        message = _("The order is {state}: a build is released after its deposit has cleared.")
        yield Problem("deposit", "state", message.format(state=order.get_state_display()))
    elif order.build is None:
        message = _("No instrument of a batch is reserved yet: order a batch, or look for one again when it arrives.")
        yield Problem("instrument", "missing", message)
    else:
        yield from _against_the_batch(order, checked)
        yield from _against_the_work(order.build, now)


def _against_the_batch(order: Order, checked: Checked) -> Iterator[Problem]:
    """What the partner built otherwise and nobody changes at home any more."""
    if order.build.batch_id is None or checked.problems:
        return
    for one in not_as_built(order, order.build):
        message = _("{label}: {serial} was built with {old}, the order says {new}. Change the order, or cancel it.")
        yield Problem(
            one.path, "as-built", message.format(label=one.label, serial=order.build, old=one.old, new=one.new)
        )


def _against_the_work(build: Build, now: datetime) -> Iterator[Problem]:
    if build.cancelled_at:
        yield Problem("build", "cancelled", _("{serial} was cancelled.").format(serial=build.serial))
    if build.released_at:
        return
    task = release_task(build)
    if task is None:
        message = _("This build has no task {operation}: a series build is released with its batch.")
        yield Problem("build", "no-release", message.format(operation=_(RELEASES)))
    elif task.state not in (TaskState.READY, TaskState.ON_BENCH) or task.ready_at > now:
        before = build.tasks.filter(position__in=task.after).order_by("position")
        yield Problem("tasks", "not-ready", task_said(task, now, before))


def release_task(build: Build) -> Task | None:
    """The task whose end is the release; None in a build that has none."""
    return build.tasks.select_related("build", "station", "person").filter(operation=RELEASES).first()


@transaction.atomic
def release_prototype(*, build: Build, person: Person, now: datetime) -> Sheet:
    """Freeze what a prototype is built to and issue its traveller; there is no order, so nobody initials its cautions.

    Raises ``Refused`` with every error of its spec, ``WrongState`` where it is released already or not ready for it.
    """
    build = Build.objects.select_for_update(of=("self",)).select_related("spec").get(pk=build.pk)
    checked = check_entered(build.spec.entered, facts_of_build(build), now=now)
    if checked.stops:
        raise Refused(checked.stops)
    release_spec(spec=build.spec, derived=checked.derived, findings=checked.findings, now=now)
    done_task(task_id=release_task(build).pk, person=person, now=now)
    build.refresh_from_db()
    return issue_sheet(build=build, paper=settings.PAPER, person=person, now=now)


def _followed(order: Order, person: Person, now: datetime) -> Build:
    """The build on the released revision; what the bench has done stays done, what falls away undone is dropped.

    A build released before is opened for this one step, so that its tasks can follow the new revision.
    """
    was = order.build.released_at
    Build.objects.filter(pk=order.build_id).update(released_at=None)
    build = respec_build(build=order.build, spec=order.spec, facts=facts_of(order), person=person, now=now)
    if was is None:
        done_task(task_id=release_task(build).pk, person=person, now=now)
    Build.objects.filter(pk=build.pk).update(released_at=was or now)
    build.refresh_from_db()
    return build


@transaction.atomic
def issue_sheet(*, build: Build, paper: str, person: Person, now: datetime, spec: Spec | None = None) -> Sheet:
    """The traveller of the build's released revision, of a batch also its mirror image, on that paper; the one
    already issued, where there is one.

    Where its rendering failed or was cancelled it is asked for again; a kept file is never made twice.
    Raises ``WrongState`` while nothing is released, ``Refused`` for another paper.
    """
    if paper not in PAPERS:
        raise Refused.one("paper", "not-a-choice", _("Choose A4 or US Letter."))
    if not build.spec.is_released:
        raise WrongState(_("{serial} is not released yet; there is nothing to print.").format(serial=build.serial))
    sheet, _new = (
        Sheet.objects.select_for_update(of=("self",))
        .select_related("job")
        .get_or_create(build=build, spec=spec or build.spec, kind="traveller", paper=paper, defaults={"issued_at": now})
    )
    if not sheet.file and (sheet.job is None or sheet.job.state in (JobState.FAILED, JobState.CANCELLED)):
        sheet.job = ask("traveller", person=person, sheet_id=sheet.pk)
        sheet.save(update_fields=["job"])
    return sheet


@transaction.atomic
def issue_batch(*, batch: Batch, paper: str, person: Person, now: datetime) -> Sheet:
    """The partner's sheets of a batch on that paper, one for each hand. Raises as ``issue_sheet``."""
    work = batch.builds.select_related("spec").get(kind=Kind.BATCH)
    if batch.left_spec is not None:
        issue_sheet(build=work, paper=paper, person=person, now=now, spec=batch.left_spec)
    return issue_sheet(build=work, paper=paper, person=person, now=now)
