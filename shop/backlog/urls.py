"""Addresses of the backlog."""

from django.urls import path

from shop.backlog import estimate_views, views

app_name = "backlog"
urlpatterns = [
    path("", views.page, name="page"),
    path("estimates/", estimate_views.page, name="estimates"),
    path("estimates/work-out/", estimate_views.work_out, name="estimates-work-out"),
    path("estimates/<int:pk>/accept/", estimate_views.accept, name="estimate-accept"),
    path("estimates/<int:pk>/decline/", estimate_views.decline, name="estimate-decline"),
]
