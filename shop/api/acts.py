"""What the API does to a task: started, paused, done, held, lifted, reopened and undone, each press counted once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import OpenApiResponse, extend_schema
from rest_framework.decorators import api_view
from rest_framework.request import Request
from rest_framework.response import Response

from routing import services
from routing.errors import WrongState
from routing.planning.jobs import replan_after
from shop.api.asked import Asked, Done, Nothing, Reason, body_of
from shop.api.described import PRESS, WHY, refusals
from shop.api.errors import REQUEST, refused
from shop.api.presses import pressed
from shop.api.reads import TASKS
from shop.api.rows import TaskProblems, TaskRow
from shop.floor.services import done
from specs.errors import Problem

View = Callable[..., HttpResponseBase]


def act(name: str, summary: str, service: Callable[..., Any], asks: type[Asked]) -> View:
    """The view that lets a service act on a task: its body is what the service wants to know beside who and when."""

    @extend_schema(
        operation_id=f"{name}_task",
        summary=summary,
        parameters=[PRESS],
        request=asks,
        responses={
            200: TaskRow,
            409: OpenApiResponse(TaskProblems, WHY[409]),
            **refusals(400, 401, 403, 404, 415),
        },
    )
    @api_view(["POST"])
    @or_as_it_is_now
    @pressed
    def view(request: Request, task_id: int) -> Response:
        get_object_or_404(TASKS, pk=task_id)
        service(task_id=task_id, person=request.user, now=timezone.now(), **body_of(request, asks))
        replan_after()
        return Response(_row(task_id))

    return view


def or_as_it_is_now(view: View) -> View:
    """Let a view that comes too late answer with the task as it is now."""

    def told(request: Request, task_id: int) -> HttpResponseBase:
        try:
            return view(request, task_id)
        except WrongState as late:
            return refused(409, [Problem(REQUEST, "wrong-state", str(late))], task=_row(task_id))

    return told


def _row(task_id: int) -> dict[str, Any]:
    return TaskRow(TASKS.get(pk=task_id)).data


start = act("start", "Take a ready task on the bench", services.start_task, Nothing)
pause = act("pause", "Put a task back from the bench", services.pause_task, Nothing)
finish = act("finish", "A task is done; finishing the release task releases the order", done, Done)
hold = act("hold", "Stop a task, with the reason", services.hold_task, Reason)
lift = act("lift", "Lift the hold of a task", services.lift_hold, Nothing)
reopen = act("reopen", "Open a done task again, with the reason", services.reopen_task, Reason)
undo = act("undo", "Take back the last event of a task within a minute", services.undo_last, Nothing)
