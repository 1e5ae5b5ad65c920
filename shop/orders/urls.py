"""Addresses of orders."""

from django.urls import path

from shop.orders import compare_views, form_views, numbers_views, sound_views, string_views, views

app_name = "orders"
urlpatterns = [
    path("", views.list_page, name="list"),
    path("new/", views.new, name="new"),
    path("compare/", compare_views.compare, name="compare"),
    path("weighed/", string_views.weighed, name="weighed"),
    path("customers/", views.customers, name="customers"),
    path("customers/<int:pk>/", views.customer, name="customer"),
    path("<str:number>/", views.page, name="page"),
    path("<str:number>/form/", form_views.form, name="form"),
    path("<str:number>/check/", form_views.check, name="check"),
    path("<str:number>/sound/", sound_views.sound, name="sound"),
    path("<str:number>/numbers/", numbers_views.numbers_page, name="numbers"),
    path("<str:number>/strings/", string_views.strings, name="strings"),
    path("<str:number>/place/", views.place, name="place"),
    path("<str:number>/promise/", views.promise, name="promise"),
    path("<str:number>/promise/take-back/", views.withdraw_promise, name="withdraw-promise"),
    path("<str:number>/deposit/", views.deposit, name="deposit"),
    path("<str:number>/initial/", views.initial, name="initial"),
    path("<str:number>/revise/", views.revise, name="revise"),
    path("<str:number>/cancel/", views.cancel, name="cancel"),
    path("<str:number>/reserve/", views.reserve_one, name="reserve"),
]
