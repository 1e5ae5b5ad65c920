"""Every address of the program, one subject a line."""

from django.urls import include, path

urlpatterns = [
    path("", include("shop.people.urls")),
    path("orders/", include("shop.orders.urls")),
    path("papers/", include("shop.papers.urls")),
    path("batches/", include("shop.batches.urls")),
    path("bench/", include("shop.floor.urls")),
    path("backlog/", include("shop.backlog.urls")),
    path("api/", include("shop.api.urls")),
]
