"""The first version of the read API, by django-ninja. Imported when the first program asks: see ``api.urls``."""
