"""Addresses of papers."""

from django.urls import path

from shop.papers import drawing_views, views

app_name = "papers"
urlpatterns = [
    path("release/<str:number>/", views.release, name="release"),
    path("issue/<str:serial>/", views.issue, name="issue"),
    path("scan/", views.scan, name="scan"),
    path("drawing/<str:number>.dxf", drawing_views.dxf, name="dxf"),
    path("drawing/<str:number>-<str:paper>.pdf", drawing_views.template, name="template"),
    path("sheets/<int:sheet_id>/", views.sheet, name="sheet"),
    path("sheets/<int:sheet_id>/file/", views.file, name="file"),
    path("jobs/<int:job_id>/", views.job, name="job"),
    path("jobs/<int:job_id>/cancel/", views.cancel_job, name="cancel-job"),
]
