"""The Celery application: it only wakes code that handles rows already in the database."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "reedcrew.settings")

app = Celery("reedcrew")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
