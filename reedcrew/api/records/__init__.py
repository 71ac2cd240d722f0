"""Rows of a group as other programs get them: plain values by the names that v1.schemas describes.

Nothing here knows how they are asked for: the same record of a day is an answer of the API and the text of a webhook.
"""
