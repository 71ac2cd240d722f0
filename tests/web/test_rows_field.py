"""Ticked rows: a key that the list has not is asked back, whatever it is."""

import pytest
from django.core.exceptions import ValidationError

from reedcrew.people.models import Group
from reedcrew.web.forms import RowsField
from tests.factories import make_group

pytestmark = pytest.mark.django_db


def test_the_rows_of_the_keys_are_given():
    group = make_group()
    assert list(RowsField(queryset=Group.objects.all()).clean([str(group.pk)])) == [group]


@pytest.mark.parametrize("key", ["0", "-1", "x", "\u00b2", str(2**63), "9" * 5000])
def test_a_key_that_no_row_has_is_asked_back(key):
    make_group()
    with pytest.raises(ValidationError):
        RowsField(queryset=Group.objects.all()).clean([key])


def test_nothing_ticked_is_an_empty_list_where_that_is_allowed():
    assert list(RowsField(queryset=Group.objects.all(), required=False).clean([])) == []
