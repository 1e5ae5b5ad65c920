"""Addresses of the bench: stations, one station, one task and its buttons."""

from django.urls import path

from shop.floor import views

app_name = "floor"
urlpatterns = [
    path("", views.stations, name="stations"),
    path("<slug:slug>/", views.station, name="station"),
    path("task/<int:pk>/", views.task, name="task"),
    path("task/<int:pk>/start/", views.start, name="start"),
    path("task/<int:pk>/pause/", views.pause, name="pause"),
    path("task/<int:pk>/done/", views.done, name="done"),
    path("task/<int:pk>/hold/", views.hold, name="hold"),
    path("task/<int:pk>/lift/", views.lift, name="lift"),
    path("task/<int:pk>/reopen/", views.reopen, name="reopen"),
    path("task/<int:pk>/undo/", views.undo, name="undo"),
]
