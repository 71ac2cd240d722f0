"""The length of a text, which its model alone decides."""

from django.db.models import Model


def length_of(model: type[Model], field: str) -> int:
    """Most signs that the column holds. Raises ValueError for a column that is not a text of limited length."""
    length: int | None = getattr(model._meta.get_field(field), "max_length", None)
    if length is None:
        raise ValueError(f"{model.__name__}.{field} has no length")
    return length
