"""Addresses of partner-built batches."""

from django.urls import path

from shop.batches import views

app_name = "batches"
urlpatterns = [
    path("", views.list_page, name="list"),
    path("new/", views.new, name="new"),
    path("<str:number>/", views.page, name="page"),
    path("<str:number>/arrival/", views.arrival, name="arrival"),
    path("<str:number>/count/", views.count, name="count"),
    path("<str:number>/rest/", views.rest, name="rest"),
    path("<str:number>/decide/", views.decide, name="decide"),
]
