"""The manager's pages of people: who signs in, as what, and at which stations they work how long a week."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _

from routing.models import Qualification
from shop.people.forms import PersonForm
from shop.people.models import Person
from shop.people.presses import pressed
from shop.people.services import add_person, change_person


@pressed()
def people(request: HttpRequest) -> HttpResponse:
    """Everybody who signs in or did, and the form of somebody new."""
    form = PersonForm(request.POST or None, by=request.user)
    if request.method == "POST" and form.is_valid():
        made = add_person(**form.given())
        messages.success(request, _("{person} can sign in.").format(person=made))
        return redirect("people:people")
    stations = Qualification.objects.select_related("station").order_by("station__position")
    everybody = Person.objects.prefetch_related(Prefetch("qualifications", stations)).order_by("-is_active", "username")
    context = {"form": form, "people": everybody}
    return render(request, "people/people.html", context, status=422 if form.errors else 200)


@pressed()
def person(request: HttpRequest, pk: int) -> HttpResponse:
    """One person: role, initials, stations with their weekly hours, whether they may sign in."""
    known = get_object_or_404(Person, pk=pk)
    form = PersonForm(request.POST or None, by=request.user, instance=known)
    if request.method == "POST" and form.is_valid():
        changed = change_person(person=known, **form.given())
        if changed == request.user:
            update_session_auth_hash(request, changed)
        messages.success(request, _("{person} is kept.").format(person=changed))
        return redirect("people:people")
    return render(request, "people/person.html", {"form": form, "person": known}, status=422 if form.errors else 200)
