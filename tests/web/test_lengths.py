"""Lengths are asked of the models."""

import pytest

from reedcrew.people.models import Group
from reedcrew.web.lengths import length_of


def test_a_length_is_the_column_s():
    assert length_of(Group, "slug") == Group._meta.get_field("slug").max_length


@pytest.mark.parametrize("field", ["about", "created_at"])
def test_a_column_without_a_length_is_refused(field):
    with pytest.raises(ValueError, match=field):
        length_of(Group, field)
