"""Addresses of the backlog."""

from django.urls import path

from shop.backlog import views

app_name = "backlog"
urlpatterns = [path("", views.page, name="page")]
