"""The Celery application: it only wakes code that handles rows already in the database."""

import os

from celery import Celery
from kombu.transport import TRANSPORT_ALIASES

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "reedcrew.settings")
TRANSPORT_ALIASES["folder"] = "reedcrew.web.folderqueue:Transport"

app = Celery("reedcrew")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
