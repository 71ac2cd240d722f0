"""Settings, read from the environment here and nowhere else.

Without any variable the service runs embedded on one machine: SQLite, a folder as broker, mail shown on a page.
Serving under an https SITE_URL makes it a hosted installation, which refuses to start without its secrets and mail.
"""

import sys
from datetime import timedelta
from pathlib import Path
from urllib.parse import urlsplit

import environ
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from reedcrew.local_secrets import local_field_key, local_secret_key

BASE_DIR = Path(__file__).resolve().parent.parent
env = environ.Env()

# --- What the operator decides -------------------------------------------------------------------------------------
VAR_DIR = Path(env.str("REEDCREW_VAR", default=str(BASE_DIR / "var")))
VAR_DIR.mkdir(mode=0o700, parents=True, exist_ok=True)  # its owner's alone: names, addresses and keys
PORT = env.str("PORT", default="8000")
if not (PORT.isascii() and PORT.isdigit() and int(PORT) < 2**16):
    raise ImproperlyConfigured(f"PORT must be a whole number from 0 to 65535, not {PORT!r}.")
BIND = env.str("BIND", default="127.0.0.1")
SITE_URL = env.str("SITE_URL", default=f"http://127.0.0.1:{PORT}").rstrip("/")
DEBUG = env.bool("DEBUG", default=False)
REDIS_URL = env.str("REDIS_URL", default="")
EMAIL_URL = env.str("EMAIL_URL", default="")
IMAP_URL = env.str("IMAP_URL", default="")  # the mailbox of MAIL_FROM; without one, calendars' answers are not read
MAIL_FROM = env.str("MAIL_FROM", default="days@reedcrew.example")
SUPPORT_EMAIL = env.str("SUPPORT_EMAIL", default=MAIL_FROM)
MAP_TILES_URL = env.str("MAP_TILES_URL", default="")  # with {z}, {x} and {y}; none: maps have a plain ground
MAP_ATTRIBUTION = env.str("MAP_ATTRIBUTION", default="")

_site = urlsplit(SITE_URL)
if _site.scheme not in {"http", "https"} or not _site.hostname:
    raise ImproperlyConfigured(f"SITE_URL must be an http or https address with a host, not {SITE_URL!r}.")
HOSTED = _site.scheme == "https"

_tiles = urlsplit(MAP_TILES_URL)
if MAP_TILES_URL:
    if _tiles.scheme not in {"http", "https"} or not _tiles.hostname or "{" in _tiles.netloc:
        raise ImproperlyConfigured(f"MAP_TILES_URL must be an http or https address, not {MAP_TILES_URL!r}.")
    if not all(place in MAP_TILES_URL for place in ("{z}", "{x}", "{y}")):
        raise ImproperlyConfigured(f"MAP_TILES_URL must hold {{z}}, {{x}} and {{y}}, not {MAP_TILES_URL!r}.")
    if not MAP_ATTRIBUTION:
        raise ImproperlyConfigured("MAP_TILES_URL needs MAP_ATTRIBUTION beside it: whose map it is.")
MAP_TILES_ORIGIN = f"{_tiles.scheme}://{_tiles.netloc}" if MAP_TILES_URL else ""
TESTING = "pytest" in sys.modules

if HOSTED:
    if missing := [
        name for name in ("SECRET_KEY", "FIELD_KEYS", "EMAIL_URL", "MAIL_FROM") if not env.str(name, default="")
    ]:
        raise ImproperlyConfigured(
            f"A hosted installation (https SITE_URL) needs {', '.join(missing)} in the environment."
        )
    SECRET_KEY = env.str("SECRET_KEY")
    FIELD_KEYS = env.list("FIELD_KEYS")
else:
    SECRET_KEY = env.str("SECRET_KEY", default="") or local_secret_key(VAR_DIR)
    FIELD_KEYS = env.list("FIELD_KEYS", default=[]) or [local_field_key(VAR_DIR)]

# --- The site ------------------------------------------------------------------------------------------------------
ALLOWED_HOSTS = env.list("ALLOWED_HOSTS", default=[_site.hostname, *([] if HOSTED else ["localhost", "127.0.0.1"])])
CSRF_TRUSTED_ORIGINS = [f"{_site.scheme}://{_site.netloc}"]
ROOT_URLCONF = "reedcrew.urls"
WSGI_APPLICATION = "reedcrew.wsgi.application"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

INSTALLED_APPS = [
    "reedcrew.web",
    "reedcrew.people",
    "reedcrew.help",
    "reedcrew.stands",
    "reedcrew.stock",
    "reedcrew.workdays",
    "reedcrew.crews",
    "reedcrew.invites",
    "reedcrew.fieldbook",
    "reedcrew.grants",
    "reedcrew.operation",
    "reedcrew.api",
    "reedcrew.demo",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django.contrib.humanize",
    "django.forms",  # its widget templates, for the form renderer of the web app
    "django_htmx",
    "csp",
    "leaflet",  # bundles Leaflet and its drawing tools as static files; nothing else of it is used
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "allauth.usersessions",
]

MIDDLEWARE = [
    "reedcrew.operation.probes.ProbeMiddleware",  # whoever probes knows neither the site's name nor its https
    "reedcrew.web.middleware.RequestMiddleware",
    "reedcrew.web.middleware.BodyLimitMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "reedcrew.people.caching.CachingMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "reedcrew.people.middleware.AccountReadingMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "reedcrew.people.activity.ActivityMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "reedcrew.web.middleware.RefusalMiddleware",  # last: a view's refusal meets it first
]

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
                "reedcrew.web.context.installation",
            ],
        },
    }
]
FORM_RENDERER = "reedcrew.web.forms.ElementRenderer"

# --- Data ----------------------------------------------------------------------------------------------------------
DATABASES = {"default": env.db("DATABASE_URL", default=f"sqlite:///{VAR_DIR / 'reedcrew.sqlite3'}")}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",  # a writer waits at BEGIN instead of failing half way
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL;",
    }
else:
    DATABASES["default"]["OPTIONS"] = {
        "pool": {"min_size": 1, "max_size": env.int("DATABASE_POOL", default=10), "timeout": 60},
    }
    DATABASES["default"]["CONN_HEALTH_CHECKS"] = True  # a restarted server leaves dead connections in the pool

REDIS_PATIENCE_S = 1  # to connect, and for one answer: so long may a page hang on it
CACHES = {
    "default": (
        {
            "BACKEND": "django.core.cache.backends.redis.RedisCache",
            "LOCATION": REDIS_URL,
            "OPTIONS": {"socket_connect_timeout": REDIS_PATIENCE_S, "socket_timeout": REDIS_PATIENCE_S},
        }
        if REDIS_URL
        else {"BACKEND": "django.core.cache.backends.filebased.FileBasedCache", "LOCATION": VAR_DIR / "cache"}
    )
}

# --- Background work -----------------------------------------------------------------------------------------------
QUEUE_DIR = VAR_DIR / "queue"
CELERY_BROKER_URL = "memory://" if TESTING else REDIS_URL or "folder://localhost"
# A wake-up that Redis does not take at once is left to the sweep: nobody waits for it with a page half done.
CELERY_BROKER_TRANSPORT_OPTIONS = (
    {"folder": str(QUEUE_DIR)}
    if CELERY_BROKER_URL.startswith("folder:")
    else {"max_retries": 0, "socket_connect_timeout": REDIS_PATIENCE_S, "socket_timeout": REDIS_PATIENCE_S}
)
CELERY_WORKER_ENABLE_REMOTE_CONTROL = bool(REDIS_URL)  # a folder carries no broadcasts
# A folder takes acknowledgements every two seconds only: with one message at a time a thread would do one in that time.
CELERY_WORKER_PREFETCH_MULTIPLIER = 1 if REDIS_URL else 50
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_ACKS_LATE = True
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_TIMEZONE = "UTC"
CELERY_BEAT_SCHEDULER = "reedcrew.web.beat:Scheduler"
CELERY_BEAT_SCHEDULE_FILENAME = str(VAR_DIR / "beat-schedule")
CELERY_BEAT_SCHEDULE = {
    "plans that are due": {"task": "crews.sweep", "schedule": timedelta(minutes=1)},
    "mails that are due": {"task": "invites.send_due", "schedule": timedelta(minutes=1)},
    "offers that lapsed": {"task": "workdays.sweep", "schedule": timedelta(minutes=1)},
    "answers in the mailbox": {"task": "invites.read_mailbox", "schedule": timedelta(minutes=1)},
    "reminders and thanks": {"task": "invites.write_mailings", "schedule": timedelta(minutes=5)},
    "files of reports": {"task": "grants.sweep_exports", "schedule": timedelta(minutes=1)},
    "messages to webhooks": {"task": "api.send_due", "schedule": timedelta(minutes=1)},
    "sign of life": {"task": "operation.beat", "schedule": timedelta(minutes=1)},
    "data kept long enough": {"task": "people.keep_within_time", "schedule": timedelta(hours=24)},
    "clear sessions": {"task": "web.clear_sessions", "schedule": timedelta(hours=12)},
}

# --- Mail ----------------------------------------------------------------------------------------------------------
MAIL_DIR = VAR_DIR / "mail"
if EMAIL_URL:
    _mail = env.email_url("EMAIL_URL")
    vars().update(_mail)
    EMAIL_TIMEOUT = 30
else:
    EMAIL_BACKEND = "reedcrew.web.mailfolder.FolderBackend"
DEFAULT_FROM_EMAIL = MAIL_FROM
# The own mail server's name in Authentication-Results (RFC 8601), and the header in which it says where a mail went.
MAIL_AUTHSERV_IDS = env.list("MAIL_AUTHSERV_IDS", default=[])
# Mails to one domain; large providers slow down whoever sends more.
MAIL_DOMAIN_A_MINUTE = env.int("MAIL_DOMAIN_A_MINUTE", default=60)
MAIL_ENVELOPE_HEADER = env.str("MAIL_ENVELOPE_HEADER", default="Delivered-To")
SERVER_EMAIL = MAIL_FROM
MAIL_PAGE = not EMAIL_URL  # without a mail server, every mail is shown on a page of the site

# --- People --------------------------------------------------------------------------------------------------------
AUTH_USER_MODEL = "people.Account"
AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
LOGIN_REDIRECT_URL = "people:home"
LOGIN_URL = "account_request_login_code"
ACCOUNT_ADAPTER = "reedcrew.people.adapter.AccountAdapter"
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*"]
ACCOUNT_USER_MODEL_USERNAME_FIELD = None
ACCOUNT_FORMS = {
    "request_login_code": "reedcrew.people.forms.sign_in.SignInForm",
    "confirm_login_code": "reedcrew.people.forms.sign_in.CodeForm",
}
ACCOUNT_LOGIN_BY_CODE_ENABLED = True
ACCOUNT_LOGIN_BY_CODE_TIMEOUT = 15 * 60  # s; mail is slower than the three minutes that allauth allows
ACCOUNT_LOGIN_BY_CODE_SUPPORTS_RESEND = True
ACCOUNT_EMAIL_VERIFICATION = "mandatory"
ACCOUNT_EMAIL_VERIFICATION_BY_CODE_ENABLED = True
ACCOUNT_UNIQUE_EMAIL = True
ACCOUNT_LOGOUT_REDIRECT_URL = "/"
ACCOUNT_EMAIL_SUBJECT_PREFIX = ""
ACCOUNT_SESSION_REMEMBER = True
# Limits on codes count by visitor: the one proxy of a hosted installation names them last in X-Forwarded-For.
ALLAUTH_TRUSTED_PROXY_COUNT = 1 if HOSTED else 0
MFA_FORMS = {"add_webauthn": "reedcrew.people.forms.keys.KeyForm"}
MFA_SUPPORTED_TYPES = ["totp", "webauthn", "recovery_codes"]
MFA_PASSKEY_LOGIN_ENABLED = True
MFA_WEBAUTHN_ALLOW_INSECURE_ORIGIN = not HOSTED
# Days after which organizers and coordinators need a passkey or an authenticator app; 0: never, as in the demo.
SECOND_STEP_DAYS = env.int("SECOND_STEP_DAYS", default=14 if HOSTED else 0)
USERSESSIONS_TRACK_ACTIVITY = True

# --- Words and times -----------------------------------------------------------------------------------------------
LANGUAGE_CODE = "en"
LANGUAGES = [("en", "English"), ("fr", "Français"), ("es", "Español")]  # each by its own name, for whoever reads it
LOCALE_PATHS = [BASE_DIR / "reedcrew" / "web" / "locale"]
FORMAT_MODULE_PATH = ["reedcrew.web.formats"]
LANGUAGE_COOKIE_AGE = 365 * 24 * 3600  # s
LANGUAGE_COOKIE_HTTPONLY, LANGUAGE_COOKIE_SAMESITE = True, "Lax"
TIME_ZONE = "UTC"
USE_TZ = True

# --- Forms ---------------------------------------------------------------------------------------------------------
# The sheet of a survey sends seven inputs for each row of each zone; its 500 quadrats alone are 3,500.
DATA_UPLOAD_MAX_NUMBER_FIELDS = 20_000

# --- Photos --------------------------------------------------------------------------------------------------------
MEDIA_ROOT = Path(env.str("REEDCREW_MEDIA", default=str(VAR_DIR / "media")))  # no address leads here: views serve it
FILE_UPLOAD_PERMISSIONS, FILE_UPLOAD_DIRECTORY_PERMISSIONS = 0o600, 0o700

# --- Backup --------------------------------------------------------------------------------------------------------
BACKUP_KEY = env.list("BACKUP_KEY", default=[])  # public keys; those that open are kept elsewhere
BACKUP_DIR = Path(env.str("BACKUP_DIR", default=str(VAR_DIR / "backups")))
BACKUP_KEEP_DAYS = env.int("BACKUP_KEEP_DAYS", default=30)

# --- Static files --------------------------------------------------------------------------------------------------
STATIC_URL = "/static/"
STATIC_ROOT = Path(env.str("STATIC_ROOT", default=str(VAR_DIR / "static")))
STORAGES = {
    "default": {"BACKEND": "reedcrew.web.storage.WholeFiles"},
    "staticfiles": {
        "BACKEND": (
            "django.contrib.staticfiles.storage.StaticFilesStorage"
            if DEBUG or TESTING
            else "whitenoise.storage.CompressedManifestStaticFilesStorage"
        )
    },
}
WHITENOISE_USE_FINDERS = DEBUG or TESTING

# --- Protection ----------------------------------------------------------------------------------------------------
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "object-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:", *([MAP_TILES_ORIGIN] if MAP_TILES_ORIGIN else [])],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_HTTPONLY = True
CSRF_COOKIE_HTTPONLY = True
if HOSTED:  # browsers take such a name only from this host, over https, for the whole site (RFC 6265bis, 4.1.3.2)
    SESSION_COOKIE_NAME, CSRF_COOKIE_NAME = "__Host-session", "__Host-csrf"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = LANGUAGE_COOKIE_SECURE = HOSTED
SECURE_SSL_REDIRECT = HOSTED
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if HOSTED else None
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if HOSTED else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = HOSTED

LOG_FORMAT = env.str("LOG_FORMAT", default="plain")
if LOG_FORMAT not in {"plain", "json"}:
    raise ImproperlyConfigured(f"LOG_FORMAT must be plain or json, not {LOG_FORMAT!r}.")
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"()": "reedcrew.web.logs.PlainLines"}, "json": {"()": "reedcrew.web.logs.JsonLines"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": LOG_FORMAT}},
    "root": {"handlers": ["console"], "level": env.str("LOG_LEVEL", default="INFO")},
}
METRICS_TOKEN = env.str("METRICS_TOKEN", default="")  # none: only this machine itself may read the metrics
