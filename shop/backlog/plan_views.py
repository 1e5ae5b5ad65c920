"""The manager's page of the plan: what is published, versions and what moved between them, a new one, its settings."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from routing.errors import WrongState
from routing.models import Plan, PlanSettings
from routing.planning.comparing import compare
from routing.planning.jobs import ask_improve, ask_replan
from routing.planning.published import plan_settings
from routing.planning.publishing import publish_plan
from routing.planning.settings import keep_settings
from routing.plans import PlanKind
from shop.backlog.plans import PlanPage
from shop.people.presses import pressed


class SettingsForm(forms.Form):
    """Service level, threshold, hour and length of the search; shares are typed as percent."""

    level = forms.IntegerField(
        label=gettext_lazy("Promises to be kept, %"), min_value=50, max_value=99,
        help_text=gettext_lazy("the higher, the later the days given"),
    )  # fmt: skip
    better_by = forms.FloatField(
        label=gettext_lazy("A new plan is published when it is better by, %"), min_value=0, max_value=50,
        help_text=gettext_lazy("a small gain is not worth the unrest on the floor"),
    )  # fmt: skip
    night_at = forms.TimeField(
        label=gettext_lazy("The nightly search begins at"),
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
    )
    seconds = forms.IntegerField(label=gettext_lazy("Seconds of search"), min_value=1, max_value=600)

    @classmethod
    def of(cls, kept: PlanSettings) -> SettingsForm:
        """The form as the settings stand."""
        shares = {"level": round(100 * kept.level), "better_by": round(100 * kept.better_by, 1)}
        return cls(initial=shares | {"night_at": kept.night_at, "seconds": kept.seconds})

    def shares(self) -> dict[str, Any]:
        """What was typed, percent as shares."""
        given = dict(self.cleaned_data)
        return given | {name: given[name] / 100 for name in ("level", "better_by")}


def page(request: HttpRequest, refusal: str = "", form: SettingsForm | None = None, pk: int = 0) -> HttpResponse:
    """What is published, what is being made, the versions; what moved between two of them."""
    shown = PlanPage(timezone.now())
    if request.htmx:
        return render(request, "backlog/_making.html", {"shown": shown})
    form_shown = form or SettingsForm.of(plan_settings())
    context = {"shown": shown, "form": form_shown, "refusal": refusal}
    return render(request, "backlog/plan.html", context, status=422 if form is not None else 200)


def compared(request: HttpRequest, pk: int) -> HttpResponse:
    """A version against the one it was based on, or the one named."""
    plan = get_object_or_404(Plan.objects.select_related("based_on").defer("rows", "based_on__rows"), pk=pk)
    against = request.GET.get("with", "")
    other = get_object_or_404(Plan.objects.defer("rows"), pk=against) if against.isdecimal() else plan.based_on
    moved = compare(other, plan) if other else []
    context = {"plan": plan, "other": other, "moved": moved, "versions": Plan.objects.defer("rows").exclude(pk=pk)}
    return render(request, "backlog/plan_compared.html", context)


@pressed(fresh=page)
def again(request: HttpRequest) -> HttpResponse:
    """A quick plan now."""
    ask_replan(request.user)
    return redirect("backlog:plan")


@pressed(fresh=page)
def improve(request: HttpRequest) -> HttpResponse:
    """The improved plan now."""
    ask_improve(request.user)
    return redirect("backlog:plan")


@pressed(fresh=page)
def publish(request: HttpRequest, pk: int) -> HttpResponse:
    """A version that was kept but not published becomes the one that counts, by the manager's word."""
    plan = get_object_or_404(Plan.objects.exclude(kind=PlanKind.TRIAL), pk=pk)
    if Plan.objects.exclude(kind=PlanKind.TRIAL).order_by("-pk").values_list("pk", flat=True).first() != pk:
        raise WrongState(_("Only the newest version can be published; ask for a new plan."))
    publish_plan(plan=plan, now=timezone.now(), reason=_("published by {person}").format(person=request.user))
    messages.success(request, _("Version {n} is published.").format(n=pk))
    return redirect("backlog:plan")


@pressed()
def settings(request: HttpRequest) -> HttpResponse:
    """The manager's settings of promises and plans."""
    form = SettingsForm(request.POST)
    if not form.is_valid():
        return page(request, form=form)
    keep_settings(now=timezone.now(), **form.shares())
    messages.success(request, _("Kept; the next date is given by it."))
    return redirect("backlog:plan")
