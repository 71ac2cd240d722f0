"""Addresses of the fieldbook of a day."""

from django.urls import path

from reedcrew.fieldbook.views import (
    bags,
    briefing,
    closing,
    codes,
    emergency,
    incidents,
    kiosk,
    people,
    phone,
    sync,
    walk_ups,
    water,
    work,
)

app_name = "fieldbook"
DAY = "g/<slug:slug>/days/<int:pk>/field/"
urlpatterns = [
    path("fieldbook/shell/", phone.shell, name="shell"),
    path("fieldbook/worker.js", phone.worker, name="worker"),
    path("g/<slug:slug>/days/field/", phone.phone_days, name="phone_days"),
    path("g/<slug:slug>/days/fieldbook.webmanifest", phone.manifest, name="manifest"),
    path(DAY, phone.phone, name="phone"),
    path(f"{DAY}day.json", sync.day_json, name="day_json"),
    path(f"{DAY}contacts.json", sync.contacts_json, name="contacts_json"),
    path(f"{DAY}sync/", sync.sync, name="sync"),
    path(f"{DAY}photo/", sync.photo, name="photo"),
    path("g/<slug:slug>/bags/", bags.bags, name="bags"),
    path("g/<slug:slug>/bags/<uuid:entry>/", bags.bags_moved_on, name="bags_moved_on"),
    path("g/<slug:slug>/incidents/", incidents.group_incidents, name="group_incidents"),
    path("g/<slug:slug>/my-code/", codes.my_code, name="my_code"),
    path("g/<slug:slug>/sign-in/<slug:code>/", codes.read_code, name="read_code"),
    path(f"{DAY}people/", people.people, name="people"),
    path(f"{DAY}people/<int:member>/", people.person, name="person"),
    path(f"{DAY}in/<int:member>/", people.sign_in, name="sign_in"),
    path(f"{DAY}out/<uuid:attendance>/", people.sign_out, name="sign_out"),
    path(f"{DAY}absent/<int:sign_up>/", people.mark_absent, name="mark_absent"),
    path(f"{DAY}absent/<int:sign_up>/undo/", people.mark_present, name="mark_present"),
    path(f"{DAY}walk-up/", walk_ups.walk_up, name="walk_up"),
    path(f"{DAY}briefing/", briefing.briefing, name="briefing"),
    path(f"{DAY}water/", water.water, name="water"),
    path(f"{DAY}stems/", work.stems, name="stems"),
    path(f"{DAY}loads/", work.loads, name="loads"),
    path(f"{DAY}strike/attendance/<uuid:entry>/", work.strike, {"kind": "attendance"}, name="strike_attendance"),
    path(f"{DAY}strike/tally/<uuid:entry>/", work.strike, {"kind": "tally"}, name="strike_tally"),
    path(f"{DAY}strike/load/<uuid:entry>/", work.strike, {"kind": "load"}, name="strike_load"),
    path(f"{DAY}kiosk/", kiosk.links, name="kiosk_links"),
    path(f"{DAY}at/<str:token>/", kiosk.kiosk, name="kiosk"),
    path(f"{DAY}at/<str:token>/new/", kiosk.newcomer, name="kiosk_newcomer"),
    path(f"{DAY}incidents/", incidents.incidents, name="incidents"),
    path(f"{DAY}emergency/", emergency.emergency, name="emergency"),
    path(f"{DAY}close/", closing.close, name="close"),
]
