"""The sentences that the scripts of the phone page say, by name. What the server refuses too is said in its words."""

from django.utils.translation import gettext_lazy as _

from reedcrew.fieldbook import errors

REFUSALS = (
    errors.NotOnRoster,
    errors.GuardianNotOnSite,
    errors.GuardianNotInWater,
    errors.ChildrenOnSite,
    errors.OutBeforeIn,
)

SENTENCES = {
    # Where a day and its entries are
    "site_line": _("%(site)s, %(start)s to %(end)s"),
    "day_line": _("%(site)s, %(day)s"),
    "nothing_here": _("Nothing written down on this phone yet."),
    "all_wait": _("%(waits)s saved on this phone, not yet sent; none has reached the server yet."),
    "some_wait": _("%(waits)s saved on this phone, not yet sent; %(reached)s reached the server, last at %(time)s."),
    "all_sent": _("Nothing waits on this phone; %(reached)s reached the server, last at %(time)s."),
    "offline": _("No connection: all is kept here and sent by itself later."),
    "signed_out": _("You are signed out, so nothing can be sent. What is saved stays on this phone."),
    "other_account": _("What waits here was written down by %(name)s, who must sign in to send it."),
    "not_taken": _("The server did not take it; it is tried again. %(why)s"),
    "over_and_waiting": _("The day is over and should leave this phone, but entries wait: get a connection soon."),
    "sign_in": _("Sign in"),
    "sign_in_first": _("Sign in with a network first; then the day works without one."),
    "day_not_here": _("This day is not on this phone: open it once with a network."),
    "wants_person": _("Somebody must look at entries: %(count)s"),
    "saved_here": _("Saved on this phone: %(what)s"),
    "not_kept": _("This phone could NOT save it. Free some room, or write it on paper now."),
    "cannot_forget": _("Entries wait on this phone (%(waits)s): send them first."),
    "not_sent_yet": _("not sent yet"),
    "sent": _("sent"),
    # Times and amounts
    "minutes": _("%(minutes)s min"),
    "hours_minutes": _("%(hours)s h %(minutes)s min"),
    "stems": _("%(stems)s stems"),
    "piles": _("Piles: %(count)s"),
    "bags": _("Bags: %(count)s"),
    "seed_heads": _("with seed heads"),
    "unit": _("unit %(unit)s"),
    "unit_zone": _("unit %(unit)s, %(zone)s"),
    "no_unit": _("no unit"),
    "no_zone": _("no zone"),
    # People
    "not_here_yet": _("not here yet"),
    "here_since": _("on site since %(time)s"),
    "here_for_water": _("on site since %(time)s, for water"),
    "in_water_since": _("in water since %(time)s"),
    "left_at": _("left at %(time)s"),
    "did_not_come": _("did not come"),
    "minor": _("under 18, guardian not on the roster"),
    "minor_with": _("under 18, with %(guardian)s"),
    "signed_in_by_mistake": _("Signed in by mistake"),
    "did_sign_in": _("%(name)s is signed in."),
    "did_sign_out": _("%(name)s is signed out."),
    "did_walk_up": _("%(name)s is signed in on land."),
    "did_absent": _("%(name)s did not come."),
    "did_strike": _("The entry is struck out."),
    "still_in_water": _("%(name)s is counted in water: say first that they are out."),
    "give_name": _("Give the name of who came."),
    "give_age": _("Say whether they are 18 or older."),
    "give_consent": _("Ask for their agreement first. Without it nobody is entered."),
    "give_guardian_consent": _("The guardian must agree first that the child takes part."),
    # Briefing
    "did_briefing_heard": _("They heard the briefing."),
    "briefing_not_through": _("Go through every point first. Left: %(points)s."),
    "heard_already": _("Heard it: %(names)s"),
    "choose_people": _("Tick at least one person."),
    # Water
    "walk_up_on_land": _("%(name)s is not on the roster and stays on land."),
    "not_signed_in": _("%(name)s is not signed in."),
    "signed_in_on_land": _("%(name)s is signed in on land."),
    "briefing_not_heard": _("%(name)s has not heard the briefing."),
    "alone_in_water": _("Nobody goes in alone: at least two go in together, or %(name)s joins a unit already in."),
    "guardian_not_beside": _("%(name)s is under 18 and goes into water only in a unit with their guardian."),
    "left_alone": _("Now without a partner in water: %(names)s. Call them out too, or send somebody in."),
    "names_go_in": _("In: %(names)s"),
    "unit_is_out": _("Unit %(unit)s is out"),
    "did_water_in": _("In water: %(names)s"),
    "did_water_out": _("Out of water: %(names)s"),
    "count_in": _("Next headcount in %(time)s"),
    "count_now": _("Count now!"),
    "alarm_late": _("Count the people in water now: %(count)s should be there"),
    "alarm_asked": _("Headcount: %(count)s should be in water"),
    "all_there": _("I see %(count)s: all are there"),
    "count_differs": _(
        "%(seen)s seen, %(expected)s expected. Find out now who is missing: call the names, get everybody out, call "
        "the emergency number when in doubt. Then mend the list and count again."
    ),
    "did_head_check": _("The headcount is written down."),
    "did_all_out": _("%(seen)s counted as they came out."),
    "all_out_fewer": _(
        "%(seen)s counted, %(expected)s expected. Call the names and search for who is missing; call the emergency "
        "number when in doubt. All stay in water here until they are seen."
    ),
    "all_out_more": _("%(seen)s counted, %(expected)s expected: somebody went in unseen. Call the names."),
    "give_count": _("Give the number that you counted."),
    # Stems, loads, photos
    "write_down": _("Write down"),
    "write_down_stems": _("Write down %(stems)s stems"),
    "count_first": _("Count with the buttons first, then write down."),
    "did_tally": _("%(stems)s stems"),
    "did_bundles": _("%(bundles)s bundles"),
    "give_bundles": _("Give the number of bundles, 1 or more."),
    "give_sample": _("Give the stems of at least two bundles as whole numbers, such as: 212, 198, 240."),
    "struck_out": _("struck out"),
    "struck_on_phone": _("Struck out on the phone"),
    "did_load": _("The load is written down."),
    "give_place": _("Say where it lies."),
    "photo_before": _("Before the work"),
    "photo_after": _("After the work"),
    "photo_refused": _("not taken by the server"),
    "did_photo": _("The photo."),
    "choose_photo": _("Take or choose a photo first."),
    "no_picture": _("This phone cannot read that file as a picture: take another one."),
    # Incidents
    "entrance": _("Emergency entrance: %(entrance)s"),
    "position": _("Position to read out: %(latitude)s, %(longitude)s"),
    "incident_injury": _("Injury"),
    "incident_near_miss": _("Near miss"),
    "incident_gear_failure": _("Gear failure"),
    "did_incident": _("The incident is written down."),
    "give_incident_kind": _("Say what kind of incident it was."),
    "give_what_happened": _("Write what happened."),
    # Closing
    "missing_water": _("In water still"),
    "missing_people": _("Signed in still"),
    "missing_stems": _("Counted and not written down"),
    "missing_sent": _("Not sent yet: %(waits)s"),
    "to_water": _("To the water"),
    "to_people": _("To the people"),
    "to_stems": _("To the stems"),
    "to_entries": _("To the entries"),
    # Entries of this phone
    "kind_sign_in": _("Sign-in"),
    "kind_sign_out": _("Sign-out"),
    "kind_walk_up": _("Walk-up"),
    "kind_absent": _("Did not come"),
    "kind_briefing_heard": _("Briefing heard"),
    "kind_water_in": _("Into the water"),
    "kind_water_out": _("Out of the water"),
    "kind_all_out": _("All out"),
    "kind_head_check": _("Headcount"),
    "kind_tally": _("Stems"),
    "kind_load": _("Load"),
    "kind_incident": _("Incident"),
    "kind_note": _("Note"),
    "kind_strike": _("Struck out"),
    "outcome_waiting": _("saved here, not sent yet"),
    "outcome_taken": _("reached the server"),
    "outcome_again": _("reached the server"),
    "outcome_conflict": _("differs from another entry: somebody must look"),
    "outcome_refused": _("not taken: somebody must look"),
}


def words() -> dict[str, str]:
    """Every sentence in the reader's language, with its values as Python's format names them."""
    refusals = {refusal.code: refusal.sentence for refusal in REFUSALS}
    return {name: str(sentence) for name, sentence in {**SENTENCES, **refusals}.items()}
