"""The one settings module: SQLite and a folder queue unless the environment names PostgreSQL and Redis."""

from __future__ import annotations

from pathlib import Path

import dj_database_url
from celery.schedules import crontab
from django.core.management.utils import get_random_secret_key

from shop.environment import read, switched_on

BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = (BASE_DIR / read("HEELBLOCK_DATA")).resolve()
for folder in ("queue", "static"):
    (DATA_DIR / folder).mkdir(parents=True, exist_ok=True)


def _secret_key() -> str:
    if read("HEELBLOCK_SECRET_KEY"):
        return read("HEELBLOCK_SECRET_KEY")
    kept = DATA_DIR / "secret-key"
    if not kept.exists():
        kept.touch(mode=0o600)
        kept.write_text(get_random_secret_key(), encoding="utf-8")
    return kept.read_text(encoding="utf-8")


SECRET_KEY = _secret_key()
DEBUG = switched_on("HEELBLOCK_DEBUG")
SECURE = switched_on("HEELBLOCK_SECURE")
ALLOWED_HOSTS = read("HEELBLOCK_HOSTS").split(",")
ORIGIN = read("HEELBLOCK_ORIGIN").rstrip("/")
CSRF_TRUSTED_ORIGINS = [ORIGIN]
OWNER = read("HEELBLOCK_OWNER")
PAPER = read("HEELBLOCK_PAPER")
FLOOR_PAGE = switched_on("HEELBLOCK_FLOOR_PAGE")

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django.contrib.humanize",
    "django_htmx",
    "rest_framework",
    "rest_framework.authtoken",
    "drf_spectacular",
    "specs",
    "routing",
    "shop",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "shop.middleware.ContentSecurityPolicy",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "shop.middleware.Access",
]

ROOT_URLCONF = "shop.urls"
WSGI_APPLICATION = "shop.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "shop.context.sheet",
            ],
            "builtins": ["shop.templatetags.shown"],
        },
    }
]

SQLITE = {
    "ENGINE": "django.db.backends.sqlite3",
    "NAME": DATA_DIR / "workshop.sqlite3",
    "OPTIONS": {
        "transaction_mode": "IMMEDIATE",
        "timeout": 30,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL;",
    },
    "TEST": {"NAME": DATA_DIR / "test.sqlite3"},
}
DATABASES = {
    "default": dj_database_url.parse(read("DATABASE_URL"), conn_max_age=60, conn_health_checks=True)
    if read("DATABASE_URL")
    else SQLITE
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

REDIS_URL = read("REDIS_URL")
CACHES = {
    "default": {"BACKEND": "django.core.cache.backends.redis.RedisCache", "LOCATION": REDIS_URL}
    if REDIS_URL
    else {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}
}
QUEUE_DIR = DATA_DIR / "queue"
CELERY_BROKER_URL = REDIS_URL or "filesystem://"
CELERY_BROKER_TRANSPORT_OPTIONS = (
    {} if REDIS_URL else dict.fromkeys(("data_folder_in", "data_folder_out", "control_folder"), str(QUEUE_DIR))
)
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_ACKS_LATE = True
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_IMPORTS = ("shop.queue",)
CELERY_BEAT_SCHEDULE = {
    "sweep stale jobs": {"task": "sweep", "schedule": 60.0},
    "improve the plan at its hour": {"task": "improve the plan at night", "schedule": 600.0},
    "propose estimates nightly": {"task": "propose estimates", "schedule": crontab(hour=2, minute=20)},
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"stderr": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["stderr"], "level": "WARNING"},
}

AUTH_USER_MODEL = "shop.Person"
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "people:sign-in"
LOGIN_REDIRECT_URL = "people:home"
LOGOUT_REDIRECT_URL = "people:sign-in"

LANGUAGE_CODE = read("HEELBLOCK_LANGUAGE")
LANGUAGES = [("en", "English")]
LOCALE_PATHS = [BASE_DIR / "shop" / "locale"]
TIME_ZONE = read("HEELBLOCK_TIME_ZONE")
USE_TZ = True

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
STATICFILES_DIRS = [BASE_DIR / "shop" / "static"]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}
MEDIA_ROOT = DATA_DIR / "papers"

SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE
SESSION_COOKIE_AGE = 14 * 24 * 3600
SECURE_HSTS_SECONDS = 31536000 if SECURE else 0
SECURE_SSL_REDIRECT = SECURE
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if SECURE else None
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "rest_framework.authentication.TokenAuthentication",
        "rest_framework.authentication.SessionAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": ["shop.api.permissions.Listed"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["shop.api.parsers.StrictJSON"],
    "DEFAULT_PAGINATION_CLASS": "shop.api.paging.Pages",
    "PAGE_SIZE": 50,
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "EXCEPTION_HANDLER": "shop.api.errors.told",
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Heelblock",
    "DESCRIPTION": "Specs, orders, builds and tasks of the workshop.",
    "VERSION": "1",
    "OAS_VERSION": "3.1.1",
    "ENUM_NAME_OVERRIDES": {
        "OrderState": "shop.orders.models.OrderState",
        "TaskState": "routing.models.TaskState",
        "BuildKind": "routing.models.Kind",
        "EventKind": "routing.models.EventKind",
    },
    "SERVE_INCLUDE_SCHEMA": False,
}
