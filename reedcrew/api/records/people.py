"""A person as other programs get them: a code, and where the token opens names, that of an adult."""

import datetime

from reedcrew.people.models import Member


def person_record(member: Member, on: datetime.date, *, names: bool) -> dict[str, str | None]:
    """The person's code in their group; the name of an adult only, with the profile loaded: unknown age is no adult."""
    return {"code": member.code, "name": member.name if names and member.profile.adult_on(on) else None}
