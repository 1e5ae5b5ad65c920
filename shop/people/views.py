"""Signing in and out, the first page of each role, and a person's own preferences."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.views import LoginView, LogoutView
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from shop.people.access import role_of
from shop.people.forms import PreferencesForm
from shop.people.models import Role
from shop.people.presses import pressed

FIRST_PAGE = {
    Role.SALES.value: "orders:list",
    Role.BENCH.value: "floor:stations",
    Role.MANAGER.value: "backlog:page",
}

sign_in = LoginView.as_view(template_name="people/sign_in.html", redirect_authenticated_user=True)
sign_out = LogoutView.as_view()


def home(request: HttpRequest) -> HttpResponse:
    """The first page of the role that asks."""
    return redirect(FIRST_PAGE[role_of(request)])


@pressed()
def preferences(request: HttpRequest) -> HttpResponse:
    """The units a person reads, and the form that keeps them."""
    form = PreferencesForm(request.POST or None, instance=request.user)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("Kept. Lengths are now shown so: %s.") % form.instance.get_units_display())
        return redirect("people:preferences")
    return render(request, "people/preferences.html", {"form": form}, status=400 if form.errors else 200)


def floor_page(request: HttpRequest) -> HttpResponse:
    """The sheet without data, the yardstick of the speed measurements; served only where the settings say so."""
    if not settings.FLOOR_PAGE:
        raise Http404
    return render(request, "people/floor_page.html")
