"""A workshop with one order released to the bench, made by the services themselves."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone

from routing.models import Build, Task, TaskState
from routing.readiness import Network, settle
from routing.services import make_build
from specs.derive import derive
from specs.facts import OrderFacts
from specs.models import Spec
from specs.rules import check
from specs.services import release_spec
from specs.starters import starter
from specs.tables import load_tables

FACTS = OrderFacts()


def released(person, serial: str = "C26-0142", hand: str = "right") -> Build:
    """A released build of the ordinary five-string, its office rows lived."""
    now = timezone.now()
    spec = Spec.objects.create(entered=starter(5, hand=hand), made_by=person)
    build = make_build(serial=serial, spec=spec, facts=FACTS, lived={}, promise=None, person=person, now=now)
    derived = derive(spec.build_spec(), load_tables())
    release_spec(spec=spec, derived=derived, findings=check(derived, FACTS), now=now)
    Build.objects.filter(pk=build.pk).update(released_at=now, spec=spec)
    return Build.objects.get(pk=build.pk)


def stand_at(build: Build, operation: str, done_by=None) -> Task:
    """Bring the build to that operation: everything above it done long ago, it is ready."""
    task = build.tasks.get(operation=operation)
    long_ago = timezone.now() - timedelta(days=90)
    before = build.tasks.filter(position__lt=task.position)
    before.update(state=TaskState.DONE, done_at=long_ago, started_at=long_ago, person=done_by)
    network = Network(build.tasks.all())
    for one in network.tasks:
        if settle(one, network, build.made_at):
            one.save()
    return build.tasks.get(pk=task.pk)
