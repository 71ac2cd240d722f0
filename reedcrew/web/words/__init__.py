"""What the site says, in other languages: collected from code and templates, kept in catalogs, compiled for Django.

Knows nothing of settings, so that a fresh installation can compile before anything else runs.
"""
