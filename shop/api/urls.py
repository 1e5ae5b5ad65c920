"""Addresses of the API; the last one answers for every address that is not there."""

from django.urls import path, re_path

from shop.api import acts, numbers, promises, reads, views

app_name = "api"
urlpatterns = [
    path("schema/", views.schema, name="schema"),
    path("token/", views.Tokens.as_view(), name="token"),
    path("spec-schema/", views.SpecSchema.as_view(), name="spec-schema"),
    path("derive/", views.Derive.as_view(), name="derive"),
    path("figure/<slug:name>/", views.Figure.as_view(), name="figure"),
    path("orders/", reads.Orders.as_view(), name="orders"),
    path("orders/<slug:number>/", reads.OneOrder.as_view(), name="order"),
    path("promise/", promises.Promise.as_view(), name="promise"),
    path("orders/<slug:number>/promise/", promises.order_promise, name="order-promise"),
    path("orders/<slug:number>/numbers/", numbers.OrderNumbers.as_view(), name="order-numbers"),
    path("batches/", reads.Batches.as_view(), name="batches"),
    path("batches/<slug:number>/", reads.OneBatch.as_view(), name="batch"),
    path("builds/", reads.Builds.as_view(), name="builds"),
    path("builds/<slug:serial>/", reads.OneBuild.as_view(), name="build"),
    path("tasks/", reads.Tasks.as_view(), name="tasks"),
    path("tasks/<int:task_id>/", reads.OneTask.as_view(), name="task"),
    path("tasks/<int:task_id>/start/", acts.start, name="task-start"),
    path("tasks/<int:task_id>/pause/", acts.pause, name="task-pause"),
    path("tasks/<int:task_id>/done/", acts.finish, name="task-done"),
    path("tasks/<int:task_id>/hold/", acts.hold, name="task-hold"),
    path("tasks/<int:task_id>/lift/", acts.lift, name="task-lift"),
    path("tasks/<int:task_id>/reopen/", acts.reopen, name="task-reopen"),
    path("tasks/<int:task_id>/undo/", acts.undo, name="task-undo"),
    path("designs/", reads.Designs.as_view(), name="designs"),
    path("stations/", reads.Stations.as_view(), name="stations"),
    path("stations/<slug:slug>/", reads.OneStation.as_view(), name="station"),
    re_path(r"^[\s\S]*$", views.Unknown.as_view(), name="unknown"),
]
