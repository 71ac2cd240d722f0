"""The words of the paper that are the same on every day: headings, columns, how each sheet is used."""

from django.utils.translation import gettext


def words() -> dict[str, str]:
    """In the reader's language."""
    return {
        "site_sheet": gettext("Site sheet"),
        "emergency_entrance": gettext("Ambulance entrance. Call the local emergency number first."),
        "zones": gettext("Zones today"),
        "zone": gettext("Zone"),
        "depth": gettext("Depth"),
        "current": gettext("Current"),
        "how": gettext("How to cut, how deep"),
        "read_aloud": gettext("Read aloud before the start"),
        "roster": gettext("Roster"),
        "number": gettext("no."),
        "name": gettext("Name"),
        "notes": gettext("Notes"),
        "call": gettext("In an emergency call"),
        "phone": gettext("Phone"),
        "units_and_roles": gettext("Units and roles"),
        "unit": gettext("Unit"),
        "people": gettext("People"),
        "remarks": gettext("Mind"),
        "on_shore": gettext("On shore"),
        "role": gettext("Role"),
        "gear_issue": gettext("Gear issue"),
        "gear_issue_how": gettext("Tick what is handed out. Sign when you get it and when you give it back."),
        "gear": gettext("Lent by the group"),
        "got_it": gettext("Got it: signature"),
        "gave_back": gettext("Gave it back: signature"),
        "head_count": gettext("Head count in water"),
        "head_count_how": gettext(
            "The spotter counts at each time and writes how many of each unit are in sight. One missing: call the "
            "emergency number, everybody out of the water, search as the crew lead says."
        ),
        "in_water": gettext("In water"),
        "counted_by": gettext("Counted by"),
        "nobody_in_water": gettext("No unit is planned into water."),
        "tally": gettext("Tally of stems"),
        "tally_how": gettext(
            "Count stems, or count bundles and the stems of a few of them below. Write one number in each box."
        ),
        "tally_marks": gettext("Strokes"),
        "bundles": gettext("Bundles"),
        "stems": gettext("Stems"),
        "sample": gettext("Stems in sample bundles"),
        "sample_how": gettext("Take bundles at random, count their stems, and write each count here."),
        "sign_in": gettext("Sign-in"),
        "sign_in_how": gettext("Write the time when you come and when you leave. Nobody leaves without signing out."),
        "time_in": gettext("In"),
        "time_out": gettext("Out"),
        "signature": gettext("Signature"),
        "walk_ups": gettext("People who come without a place"),
        "walk_ups_how": gettext("On shore only, until the crew lead has asked what the water asks for."),
        "call_and_phone": gettext("In an emergency call (name, phone)"),
        "cleaning": gettext("Cleaning before the next site"),
        "strength": gettext("Bleach on the label"),
        "bleach": gettext("Bleach"),
        "water": gettext("Water"),
        "mind": gettext("Mind"),
    }
