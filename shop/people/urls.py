"""Addresses of people."""

from django.urls import path

from shop.people import staff_views, views

app_name = "people"
urlpatterns = [
    path("", views.home, name="home"),
    path("sign-in/", views.sign_in, name="sign-in"),
    path("sign-out/", views.sign_out, name="sign-out"),
    path("preferences/", views.preferences, name="preferences"),
    path("people/", staff_views.people, name="people"),
    path("people/<int:pk>/", staff_views.person, name="person"),
    path("floor-page/", views.floor_page, name="floor-page"),
]
