"""Addresses of the backlog."""

from django.urls import path

from shop.backlog import (
    capacity_views,
    design_views,
    estimate_views,
    forecast_views,
    plan_views,
    stock_views,
    trial_views,
    views,
)

app_name = "backlog"
urlpatterns = [
    path("", views.page, name="page"),
    path("floor/", views.floor, name="floor"),
    path("floor/limit/", views.limit, name="limit"),
    path("forecast/", forecast_views.page, name="forecast"),
    path("forecast/again/", forecast_views.again, name="forecast-again"),
    path("lead-times/", views.lead_times, name="lead-times"),
    path("trials/", trial_views.page, name="trials"),
    path("trials/ask/<slug:kind>/", trial_views.ask, name="trial-ask"),
    path("trials/<int:pk>/", trial_views.trial, name="trial"),
    path("trials/<int:pk>/keep/", trial_views.keep, name="trial-keep"),
    path("trials/<int:pk>/drop/", trial_views.drop, name="trial-drop"),
    path("trials/<int:pk>/rush/", trial_views.rush, name="trial-rush"),
    path("trials/rush/<int:pk>/lift/", trial_views.lift, name="rush-lift"),
    path("capacity/", capacity_views.page, name="capacity"),
    path("capacity/mine/", capacity_views.mine, name="my-hours"),
    path("capacity/add/<slug:kind>/", capacity_views.add, name="capacity-add"),
    path("capacity/take-out/<slug:kind>/<int:pk>/", capacity_views.drop, name="capacity-drop"),
    path("capacity/people/<int:pk>/", capacity_views.hours, name="capacity-hours"),
    path("designs/", design_views.page, name="designs"),
    path("designs/add/", design_views.add, name="design-add"),
    path("designs/<int:pk>/move/", design_views.move, name="design-move"),
    path("designs/<int:pk>/prototype/", design_views.prototype, name="design-prototype"),
    path("prototypes/<slug:serial>/stop/", design_views.stop, name="prototype-stop"),
    path("head-starts/", stock_views.page, name="head-starts"),
    path("head-starts/begin/", stock_views.begin, name="head-starts-begin"),
    path("head-starts/<slug:number>/take/", stock_views.take, name="head-start-take"),
    path("plan/", plan_views.page, name="plan"),
    path("plan/again/", plan_views.again, name="plan-again"),
    path("plan/improve/", plan_views.improve, name="plan-improve"),
    path("plan/settings/", plan_views.settings, name="plan-settings"),
    path("plan/<int:pk>/", plan_views.compared, name="plan-compared"),
    path("plan/<int:pk>/publish/", plan_views.publish, name="plan-publish"),
    path("estimates/", estimate_views.page, name="estimates"),
    path("estimates/work-out/", estimate_views.work_out, name="estimates-work-out"),
    path("estimates/<int:pk>/accept/", estimate_views.accept, name="estimate-accept"),
    path("estimates/<int:pk>/decline/", estimate_views.decline, name="estimate-decline"),
]
