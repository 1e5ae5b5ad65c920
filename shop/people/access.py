"""Who may open what: one table of every named URL, its methods and the roles they are open to.

A URL that is not in the table is closed to everybody; a method that is not in its row does not exist.
"""

from __future__ import annotations

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse, HttpResponseNotAllowed
from django.shortcuts import render, resolve_url
from django_htmx.http import HttpResponseClientRedirect

from shop.people.models import Role

STRANGER = "stranger"
ANYBODY = frozenset({STRANGER, *Role.values})
STAFF = frozenset(Role.values)
OFFICE = frozenset({Role.SALES.value, Role.MANAGER.value})
MANAGER = frozenset({Role.MANAGER.value})

Row = dict[str, frozenset[str]]


def _reads(roles: frozenset[str]) -> Row:
    return {"GET": roles, "HEAD": roles}


def _writes(roles: frozenset[str]) -> Row:
    return {"POST": roles}


def _form(roles: frozenset[str]) -> Row:
    return _reads(roles) | _writes(roles)


TABLE: dict[str, Row] = {
    "people:sign-in": _form(ANYBODY),
    "people:sign-out": _writes(ANYBODY),
    "people:home": _reads(STAFF),
    "people:preferences": _form(STAFF),
    "people:people": _form(MANAGER),
    "people:person": _form(MANAGER),
    "people:floor-page": _reads(STAFF),
    "orders:list": _reads(STAFF),
    "orders:compare": _reads(STAFF),
    "orders:new": _form(OFFICE),
    "orders:form": _form(OFFICE),
    "orders:check": _writes(OFFICE),
    "orders:page": _reads(STAFF),
    "orders:sound": _reads(STAFF),
    "orders:numbers": _reads(STAFF),
    "orders:strings": _reads(STAFF) | _writes(OFFICE),
    "orders:weighed": _form(OFFICE),
    "orders:place": _writes(OFFICE),
    "orders:promise": _writes(OFFICE),
    "orders:withdraw-promise": _writes(OFFICE),
    "orders:deposit": _writes(OFFICE),
    "orders:initial": _writes(OFFICE),
    "orders:revise": _writes(OFFICE),
    "orders:cancel": _writes(OFFICE),
    "orders:reserve": _writes(OFFICE),
    "orders:customers": _form(OFFICE),
    "orders:customer": _form(OFFICE),
    "papers:release": _writes(OFFICE),
    "papers:job": _reads(STAFF),
    "papers:cancel-job": _writes(STAFF),
    "papers:issue": _writes(STAFF),
    "papers:sheet": _reads(STAFF),
    "papers:file": _reads(STAFF),
    "papers:scan": _reads(STAFF),
    "papers:dxf": _reads(STAFF),
    "papers:template": _reads(STAFF),
    "batches:list": _reads(STAFF),
    "batches:new": _form(OFFICE),
    "batches:page": _reads(STAFF),
    "batches:arrival": _writes(OFFICE),
    "batches:count": _writes(STAFF),
    "batches:rest": _writes(STAFF),
    "batches:decide": _writes(MANAGER),
    "floor:stations": _reads(STAFF),
    "floor:station": _reads(STAFF),
    "floor:task": _reads(STAFF),
    "floor:start": _writes(STAFF),
    "floor:pause": _writes(STAFF),
    "floor:done": _writes(STAFF),
    "floor:hold": _writes(STAFF),
    "floor:lift": _writes(STAFF),
    "floor:reopen": _writes(STAFF),
    "floor:undo": _writes(STAFF),
    "backlog:page": _reads(MANAGER),
    "backlog:trials": _reads(MANAGER),
    "backlog:trial": _reads(MANAGER),
    "backlog:trial-ask": _writes(MANAGER),
    "backlog:trial-keep": _writes(MANAGER),
    "backlog:trial-drop": _writes(MANAGER),
    "backlog:trial-rush": _writes(MANAGER),
    "backlog:rush-lift": _writes(MANAGER),
    "backlog:chart": _reads(MANAGER),
    "backlog:load": _reads(MANAGER),
    "backlog:floor": _reads(MANAGER),
    "backlog:limit": _writes(MANAGER),
    "backlog:forecast": _reads(MANAGER),
    "backlog:forecast-again": _writes(MANAGER),
    "backlog:lead-times": _reads(MANAGER),
    "backlog:capacity": _reads(MANAGER),
    "backlog:my-hours": _reads(STAFF),
    "backlog:capacity-add": _writes(MANAGER),
    "backlog:capacity-drop": _writes(MANAGER),
    "backlog:capacity-hours": _form(MANAGER),
    "backlog:designs": _reads(MANAGER),
    "backlog:design-add": _writes(MANAGER),
    "backlog:design-move": _writes(MANAGER),
    "backlog:design-prototype": _writes(MANAGER),
    "backlog:prototype-stop": _writes(MANAGER),
    "backlog:head-starts": _reads(MANAGER),
    "backlog:head-starts-begin": _writes(MANAGER),
    "backlog:head-start-take": _writes(MANAGER),
    "backlog:plan": _reads(MANAGER),
    "backlog:plan-again": _writes(MANAGER),
    "backlog:plan-improve": _writes(MANAGER),
    "backlog:plan-settings": _writes(MANAGER),
    "backlog:plan-compared": _reads(MANAGER),
    "backlog:plan-publish": _writes(MANAGER),
    "backlog:estimates": _reads(MANAGER),
    "backlog:estimates-work-out": _writes(MANAGER),
    "backlog:estimate-accept": _writes(MANAGER),
    "backlog:estimate-decline": _writes(MANAGER),
    "api:schema": _reads(STAFF),
    "api:token": _writes(ANYBODY),
    "api:spec-schema": _reads(STAFF),
    "api:derive": _writes(STAFF),
    "api:figure": _writes(STAFF),
    "api:orders": _reads(STAFF),
    "api:order": _reads(STAFF),
    "api:order-numbers": _reads(STAFF),
    "api:promise": _writes(STAFF),
    "api:order-promise": _writes(OFFICE),
    "api:batches": _reads(STAFF),
    "api:batch": _reads(STAFF),
    "api:builds": _reads(STAFF),
    "api:build": _reads(STAFF),
    "api:tasks": _reads(STAFF),
    "api:task": _reads(STAFF),
    "api:task-start": _writes(STAFF),
    "api:task-pause": _writes(STAFF),
    "api:task-done": _writes(STAFF),
    "api:task-hold": _writes(STAFF),
    "api:task-lift": _writes(STAFF),
    "api:task-reopen": _writes(STAFF),
    "api:task-undo": _writes(STAFF),
    "api:designs": _reads(STAFF),
    "api:stations": _reads(STAFF),
    "api:station": _reads(STAFF),
    "api:unknown": _form(STAFF) | dict.fromkeys(("PUT", "PATCH", "DELETE"), STAFF),
}


def role_of(request: HttpRequest) -> str:
    """The role that asks: the person's, a manager's for a superuser, or a stranger's."""
    person = request.user
    if not person.is_authenticated:
        return STRANGER
    return Role.MANAGER.value if person.is_superuser else person.role


def may(view_name: str, method: str, role: str) -> bool:
    """Whether that role may use that method of that URL."""
    return role in TABLE.get(view_name, {}).get(method, frozenset())


def turn_away(request: HttpRequest) -> HttpResponse | None:
    """The refusal a request gets, or None when it may pass. API views ask the same table after their own sign-in."""
    name, row = request.resolver_match.view_name, TABLE.get(request.resolver_match.view_name, {})
    if name.startswith("api:") or may(name, request.method, role_of(request)):
        return None
    if row and request.method not in row:
        return HttpResponseNotAllowed(sorted(row))
    return _to_sign_in(request) if role_of(request) == STRANGER else render(request, "people/closed.html", status=403)


def _to_sign_in(request: HttpRequest) -> HttpResponse:
    if request.htmx:
        return HttpResponseClientRedirect(resolve_url("people:sign-in"))
    return redirect_to_login(request.get_full_path())
