"""Why a request of a phone is refused, and what the remarks on its entries say."""

from django.utils.translation import gettext_lazy as _

from reedcrew.fieldbook.errors import FieldbookError


class BadRequest(FieldbookError):
    code = "bad_request"
    status = 400
    sentence = _("This is no request of a fieldbook: “%(field)s” should be %(needed)s. The entries stay on the phone.")


class SignedOut(FieldbookError):
    code = "signed_out"
    status = 401
    sentence = _("You are signed out. The entries stay on the phone: sign in, then they are sent.")


class NotYours(FieldbookError):
    code = "not_yours"
    status = 403
    sentence = _("Your role may not write in this fieldbook. The entries stay on the phone; ask an organizer.")


class CsrfFailed(FieldbookError):
    code = "csrf"
    status = 403
    sentence = _("The page is from before you signed in. The entries stay on the phone: open the fieldbook again.")


class NoSuchDay(FieldbookError):
    code = "no_such_day"
    status = 404
    sentence = _("There is no such day, or it is not yours. The entries stay on the phone.")


class Oversized(FieldbookError):
    code = "too_large"
    status = 413
    sentence = _("This is more than %(limit)s MB at once. Send fewer entries at a time.")


class TooManyEntries(FieldbookError):
    code = "too_many"
    status = 413
    sentence = _("Send at most %(limit)s entries at a time.")


class BadEntry(FieldbookError):
    """One entry that is badly made. ``field`` and ``needed`` are told by whoever raises it."""

    code = "bad_entry"
    sentence = _("“%(field)s” should be %(needed)s. The entry is kept as it was sent.")


class TooMuchData(BadEntry):
    code = "entry_too_long"
    sentence = _("This entry has more than %(limit)s signs: its beginning is kept.")


class MemberUnknown(BadEntry):
    code = "member_unknown"
    sentence = _("Nobody of the group has the key in “%(field)s”. The entry is kept as it was sent.")


class ZoneUnknown(BadEntry):
    code = "zone_unknown"
    sentence = _("“%(field)s” should be one of the day's zones. The entry is kept as it was sent.")


# What a person should look at, by the code of the remark.
SENTENCES = {
    "time_unlikely": _("The phone said %(said)s, which cannot be: it is written down for %(at)s."),
    "other_version": _("One entry was sent with two different contents: what was written first stands."),
    "strike_of_nothing": _("This strikes out an entry that has not arrived."),
    "signed_in_twice": _("%(name)s was signed in at %(earlier)s and again at %(later)s: the earlier time stands."),
    "signed_out_twice": _("%(name)s was signed out at %(earlier)s and again at %(later)s: the later time stands."),
    "stay_unknown": _("This sign-out is for a sign-in that has not arrived."),
    "stay_struck": _("%(name)s was signed out at %(at)s, but the sign-in was struck out."),
    "out_before_in": _(
        "%(name)s was signed out at %(at)s, before the sign-in at %(signed_in)s: they count as on site. Sign them out "
        "with the right time."
    ),
    "still_in_water": _(
        "%(name)s was signed out at %(at)s while counted in water: they count as on site and in water until somebody "
        "has seen them out."
    ),
    "never_in_water": _("%(name)s came out of the water, but nobody wrote down that they went in."),
    "counts_differ": _("%(seen)s seen, but %(in_water)s counted in water: %(names)s. Nobody is taken off the list."),
    "not_signed_in": _("%(name)s went into the water without being signed in."),
    "too_deep_under_18": _("%(name)s is under 18 and went into a zone that is too deep for anybody under 18."),
    "guardian_not_in_water": _("%(name)s is under 18 and went into the water without their guardian in it."),
    "alone_in_water": _("%(name)s went into the water alone."),
    "briefing_not_heard": _("%(name)s went into the water without having heard the briefing."),
    "no_place": _("%(name)s was signed in without a place on this day."),
    "guardian_not_on_site": _("%(name)s is under 18 and was signed in without their guardian on site."),
    "children_on_site": _("%(name)s left while %(children)s stayed: a guardian leaves with or after the children."),
    "was_on_site": _("%(name)s was said not to have come, but was signed in: they did come."),
}
