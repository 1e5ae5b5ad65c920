"""Release, printed sheets, the jobs that make them, and where a scanned code leads."""

from __future__ import annotations

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from routing import jobs
from routing.errors import NotAllowed, WrongState
from routing.models import Build, Job, JobState, Kind
from shop.orders.models import Order
from shop.papers.codes import read_scan
from shop.papers.jobs import file_name
from shop.papers.models import Sheet
from shop.papers.queries import home_of, is_current, scanned_build, sheets_of, task_here
from shop.papers.services import issue_batch, issue_sheet, release_order
from shop.people.access import OFFICE, role_of
from shop.people.models import Role
from shop.people.presses import pressed
from specs.errors import Refused

UNDER_WAY = (JobState.QUEUED, JobState.RUNNING)


def _not_released(request: HttpRequest, number: str, refusal: str) -> HttpResponse:
    order = get_object_or_404(Order.objects.select_related("spec", "build"), number=number)
    return render(request, "papers/not_released.html", {"order": order, "refusal": refusal}, status=409)


@pressed(fresh=_not_released)
def release(request: HttpRequest, number: str) -> HttpResponse:
    """Release an order's revision, or show everything that stands against it."""
    order = get_object_or_404(Order, number=number)
    try:
        issued = release_order(order=order, person=request.user, now=timezone.now())
    except Refused as refused:
        shown = {"order": order, "problems": refused.problems}
        return render(request, "papers/not_released.html", shown, status=422)
    return redirect("papers:sheet", issued.pk)


@pressed()
def issue(request: HttpRequest, serial: str) -> HttpResponse:
    """Issue the build's released revision on the paper asked for."""
    build = get_object_or_404(Build.objects.select_related("spec", "batch__left_spec"), serial=serial)
    asked = {"paper": request.POST.get("paper", ""), "person": request.user, "now": timezone.now()}
    whole = build.kind == Kind.BATCH
    try:
        issued = issue_batch(batch=build.batch, **asked) if whole else issue_sheet(build=build, **asked)
    except Refused as refused:
        raise WrongState(str(refused)) from refused
    return redirect("papers:sheet", issued.pk)


def sheet(request: HttpRequest, sheet_id: int) -> HttpResponse:
    """A sheet and how far its making is; htmx asks for the progress alone."""
    related = ("build__order", "build__batch", "build__spec", "spec", "job")
    shown = get_object_or_404(Sheet.objects.select_related(*related), pk=sheet_id)
    context = {
        "sheet": shown,
        "job": shown.job,
        "under_way": shown.job is not None and shown.job.state in UNDER_WAY,
        "current": is_current(shown),
        "home": home_of(shown.build),
        "others": [other for other in sheets_of(shown.build) if other.pk != shown.pk],
        "other_paper": "Letter" if shown.paper == "A4" else "A4",
    }
    return render(request, "papers/_progress.html" if request.htmx else "papers/sheet.html", context)


def file(request: HttpRequest, sheet_id: int) -> FileResponse:
    """The file of a sheet as it was released."""
    kept = get_object_or_404(Sheet.objects.select_related("build", "spec"), pk=sheet_id)
    if not kept.file:
        raise Http404
    response = FileResponse(kept.file.open("rb"), filename=file_name(kept), content_type="application/pdf")
    response["X-Content-Type-Options"] = "nosniff"
    return response


def job(request: HttpRequest, job_id: int) -> HttpResponse:
    """How far a job is; htmx asks for the progress alone."""
    shown = get_object_or_404(Job.objects.select_related("asked_by"), pk=job_id)
    context = {"job": shown, "under_way": shown.state in UNDER_WAY, "sheet": Sheet.objects.filter(job=shown).first()}
    return render(request, "papers/_progress.html" if request.htmx else "papers/job.html", context)


@pressed()
def cancel_job(request: HttpRequest, job_id: int) -> HttpResponse:
    """Stop a job: the one who asked may, and the office."""
    asked = get_object_or_404(Job, pk=job_id)
    if asked.asked_by_id != request.user.pk and role_of(request) not in OFFICE:
        raise NotAllowed(_("Whoever asked for it, or the office, may cancel it."))
    jobs.cancel(asked.pk)
    return redirect("papers:job", asked.pk)


def scan(request: HttpRequest) -> HttpResponse:
    """Where a scanned code leads: the work in hand, the order's page, or the news that the sheet is out of date."""
    serial, revision = read_scan(request.GET.get("code", ""), request.GET.get("rev", ""))
    build = scanned_build(serial)
    if build is None:
        return render(request, "papers/unknown_code.html", {"code": serial}, status=404)
    if revision and revision != build.spec.revision:
        newest = sheets_of(build).filter(spec=build.spec).first()
        return render(request, "papers/superseded.html", {"build": build, "revision": revision, "newest": newest})
    return _to_the_work(request, build)


def _to_the_work(request: HttpRequest, build: Build) -> HttpResponse:
    task = task_here(build, timezone.now())
    if role_of(request) == Role.BENCH and task is not None:
        return redirect("floor:task", task.pk)
    return redirect(home_of(build))
