"""Holding a group's row while something is judged across the whole group."""

from reedcrew.people.models import Group


def lock_group(group: Group) -> Group:
    """Hold the group's row until the transaction ends, and return it as it is now: one deed at a time is judged."""
    return Group.objects.select_for_update(no_key=True).get(pk=group.pk)
