"""Reedcrew: hand cutting of invasive common reed, organized."""

from reedcrew.celery import app as celery_app

__all__ = ["celery_app"]
