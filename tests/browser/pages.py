"""Every page of the site: its address, and who reads it. A page that stands in none of the lists fails a test."""

from collections.abc import Iterator

from django.urls import URLPattern, URLResolver, get_resolver, reverse

from reedcrew.people.models import Member
from tests.browser.whole_group import WholeGroup

# Addresses that show no page of their own, by why.
TAKE_POSTS = {
    *("people:language", "people:units"),
    *("people:drop_wish", "workdays:withdraw_other", "workdays:withdraw", "crews:plan_now", "invites:send_again"),
    *("workdays:see_mark", "workdays:take_back", "invites:take_back", "stands:put_back_zone", "stands:resume_notice"),
    *("workdays:give_place", "workdays:take_place", "workdays:come_after_all", "invites:seen", "invites:clear_address"),
    *("invites:keep_group_calendar", "invites:choose", "invites:make_address", "invites:revoke_address"),
    *("fieldbook:sign_in", "fieldbook:sign_out", "fieldbook:sync", "fieldbook:photo", "grants:claim"),
    *("grants:approve", "grants:report_sent", "grants:remove_reporting_date", "grants:take_over", "grants:put_aside"),
    *("grants:order_export", "grants:retry_export"),
    *("crews:gear_book", "crews:gear_out", "crews:gear_back"),
    *(f"api:{name}" for name in ("revoke_token", "new_secret", "trial", "send_again")),
    *(f"api:{name}" for name in ("pause_webhook", "resume_webhook", "remove_webhook", "restore_webhook")),
    *("crews:accept", "crews:pin", "crews:unpin", "fieldbook:mark_absent", "fieldbook:mark_present"),
}
GIVE_FILES = {
    *("fieldbook:day_photo", "fieldbook:day_photo_small", "fieldbook:day_json", "fieldbook:contacts_json"),
    *(f"api:v1:{name}" for name in ("openapi", "token", "stands", "stand", "days", "day", "plan", "plans", "hours")),
    *("api:v1:line_of_hours", "api:v1:nothing"),
    "invites:feed",
    "invites:day_file",
    "invites:group_feed",
    "web:mail_download",
    "people:data_file",
    "grants:hours_csv",
    *("grants:stems_csv", "grants:evidence"),
    *("grants:season_chart", "grants:darwin_core", "grants:stands_geojson"),
    *("grants:report_chart", "grants:export_file", "grants:certificate"),
    "stands:check_photo",
    "stands:history_chart",
    "stands:check_photo_small",
    "stands:map_data",
    "stands:export_map",
    *("fieldbook:worker", "fieldbook:shell", "fieldbook:manifest"),
}
LEAD_ELSEWHERE = {
    "fieldbook:read_code",  # to the person's page of the day that is on
    *("people:login", "people:signup", "people:password"),
    *("account_login", "account_signup"),  # closed by the two above
    *("account_change_password", "account_set_password", "account_reset_password", "account_reset_password_done"),
    *("account_reset_password_from_key", "account_reset_password_from_key_done"),
    "account_email_verification_sent",  # only between the steps of confirming a second address
}
# Of people who have set up a second factor or a passkey, with a device that a test has not.
NEED_A_DEVICE = {
    *("mfa_authenticate", "mfa_reauthenticate", "mfa_deactivate_totp", "mfa_view_recovery_codes"),
    *("mfa_generate_recovery_codes", "mfa_download_recovery_codes", "mfa_reauthenticate_webauthn"),
    *("mfa_remove_webauthn", "mfa_edit_webauthn", "mfa_login_webauthn"),
}
SHOW_NO_PAGE = TAKE_POSTS | GIVE_FILES | LEAD_ELSEWHERE | NEED_A_DEVICE

READERS = ("visitor", "newcomer", "volunteer", "keeper", "organizer", "lead", "coordinator", "secured")


def names_of_all_addresses(resolver: URLResolver | None = None, space: str = "") -> Iterator[str]:
    """The names of every address that the site answers at."""
    for pattern in (resolver or get_resolver()).url_patterns:
        if isinstance(pattern, URLPattern):
            yield f"{space}{pattern.name}"
        else:
            yield from names_of_all_addresses(pattern, f"{space}{pattern.namespace}:" if pattern.namespace else space)


def reader_of(whole: WholeGroup, reader: str) -> Member | None:
    """Whose account reads the pages; None for somebody who is not signed in or in no group."""
    who = {
        "volunteer": whole.volunteer,
        "lead": whole.lead,
        "coordinator": whole.coordinator,
        "secured": whole.volunteer,
    }
    return who.get(reader, whole.organizer if reader in {"keeper", "organizer"} else None)


def pages_of(whole: WholeGroup) -> dict[str, list[str]]:
    """The addresses, by who reads them. ``keeper`` is the organizer again, at what changes seldom."""
    slug, day = whole.group.slug, whole.today

    def at(name: str, *args: object) -> str:
        return reverse(name, args=[slug, *args])

    def of_day(*names: str, day: int = day.pk) -> list[str]:
        return [at(name, day) for name in names]

    person, site, stand = whole.volunteer.pk, whole.site.pk, whole.stand.pk
    zone, line, ledger = whole.zone.pk, whole.line.pk, whole.ledger
    check = whole.stand.checks.get()
    refused = whole.group.outgoing_mails.filter(state="refused").latest("pk").pk
    photo = check.photos.get().code
    survey, struck = whole.stand.surveys.get(struck_at=None).pk, whole.stand.surveys.exclude(struck_at=None).get().pk
    drawn = f"zone={zone}&count=5&apart_m=5&seed=7"
    planned = "precision=20&confidence=0.95&allocation=by+area&quadrat_m2=1"
    return {
        "visitor": [
            *("/", "/no-such-page/", reverse("account_request_login_code"), reverse("account_inactive")),
            *(each.get_public_url() for each in (day, whole.closed, whole.cancelled, whole.unplanned)),
            *(reverse("web:mail"), reverse("web:mail_message", args=[whole.mail])),
            *whole.mail_links,
            reverse("api:guide"),
            *(reverse("help:index"), reverse("help:words"), reverse("help:topic", args=["weather"])),
            *(at("fieldbook:kiosk", day.pk, whole.kiosk), at("fieldbook:kiosk_newcomer", day.pk, whole.kiosk)),
        ],
        "newcomer": [
            *("/", reverse("people:profile"), reverse("people:found")),
            reverse("workdays:sign_up", args=[day.share_code]),
        ],
        "volunteer": [
            *("/", reverse("people:profile"), reverse("account_logout"), reverse("invites:mail_and_calendar")),
            *(reverse("workdays:my_days"), whole.closed.get_public_url()),
            reverse("help:topic", args=["rules"]),
            at("invites:group_calendar"),
            *(at("people:group"), at("people:rules"), at("people:add_child"), at("workdays:days")),
            at("workdays:season"),
            *(at(f"people:{name}", person) for name in ("member", "edit_profile", "emergency", "wishes", "leave")),
            at("people:edit_profile", whole.child.pk),
            *(at("workdays:day", day.pk), day.get_public_url(), at("stands:stands"), at("stands:stand", stand)),
            *(at("stands:record_check", stand), at("stands:checks", stand), at("stands:characters")),
            *(at("stands:check", stand, check.pk), at("stands:history", stand)),
            *(at("stands:surveys", stand), at("stands:survey", stand, survey)),
            *(f"{at('stands:plan_survey', stand)}?{planned}", f"{at('stands:quadrat_places', stand)}?{drawn}"),
            reverse("workdays:sign_up", args=[whole.unplanned.share_code]),
            at("fieldbook:my_code"),
            *(at("grants:season"), at("grants:open_data"), at("grants:my_hours", person)),
            at("people:members"),  # refused: what somebody sees who may not
        ],
        "keeper": [
            *(at("people:edit_group"), at("people:change_rules"), at("people:members"), at("people:add_member")),
            *(at("people:add_several"), at("stock:first_count")),
            *(at("people:standing", person), at("people:private", person), at("people:member", person)),
            *(at("stands:stands"), at("stands:record_site"), at("stands:site", site), at("stands:change_site", site)),
            *(at("stands:map"), at("stands:import_map"), at("stands:draw_stand", stand), at("stands:draw_site", site)),
            *(at("stands:record_stand", site), at("stands:record_water_level", site)),
            *(
                at(f"stands:{name}", site)
                for name in ("levels", "record_levels", "record_gauge", "calendar", "notices")
            ),
            *(at("stands:record_notice", site), at("stands:change_gauge", site, whole.gauge.pk)),
            *(at(f"stands:{name}", site, whole.notice.pk) for name in ("change_notice", "end_notice")),
            *(at(f"stands:{name}", stand) for name in ("stand", "change_stand", "record_check", "record_zone")),
            *(at("stands:check", stand, check.pk), at("stands:add_check_photos", stand, check.pk)),
            *(at("stands:remove_check_photo", stand, photo), at("stands:decide_identification", stand)),
            *(at("stands:change_zone", stand, zone), at("stands:remove_zone", stand, zone)),
            *(at("stands:surveys", stand), at("stands:survey", stand, struck), at("stands:plan_survey", stand)),
            *(at("stands:record_survey", stand), f"{at('stands:record_survey', stand)}?{drawn}"),
            *(f"{at('stands:record_survey', stand)}?from={struck}", at("stands:strike_survey", stand, survey)),
            *(at("stands:strike_survey", stand, struck), at("stands:quadrat_places", stand)),
            f"{at('stands:history', stand)}?in_water=4&on_land=2&hours=0",
            *(at("stock:stock"), at("stock:add_line"), at("stock:line", line), at("stock:record_movement", line)),
            *(at(f"stock:{name}") for name in ("labels", "care", "loans", "borrow", "lend")),
            *(at("stock:give_labels", line), at("stock:return_loan", whole.loan.pk, line)),
            *(at(f"stock:{name}", whole.gear_set.code) for name in ("set", "move_set", "keep_set")),
        ],
        "organizer": [
            *(at("people:group"), at("workdays:days"), at("workdays:post_day"), at("invites:outbox")),
            *(f"{at('workdays:post_several')}?stand={stand}", f"{at('workdays:posted')}?day={day.pk}"),
            *(at("invites:inbox"), at("invites:group_calendar")),
            *(f"{at('invites:outbox')}?state=refused", at("invites:mail", refused)),
            f"{at('workdays:post_day')}?stand={stand}",
            *of_day("workdays:day", "workdays:roster", "workdays:edit_day", "workdays:cancel_day", "crews:plan"),
            *of_day("invites:write", "workdays:post_again"),
            at("fieldbook:group_incidents"),
            *(at("api:programs"), at("api:new_webhook"), at("api:webhook", whole.webhook.pk)),
            f"{at('crews:plan', day.pk)}?proposal=1",
            f"{at('crews:plan', day.pk)}?people=2&water_cm=20",
            f"{at('crews:plan', day.pk)}?people=many",
            *of_day("workdays:day", "crews:plan", day=whole.cancelled.pk),
            *of_day("workdays:day", "workdays:roster", "crews:plan", day=whole.unplanned.pk),
        ],
        "lead": [
            *of_day("fieldbook:people", "fieldbook:stems", "fieldbook:loads", "fieldbook:close", "fieldbook:emergency"),
            *of_day("fieldbook:people", "fieldbook:stems", "fieldbook:close", day=whole.closed.pk),
            *of_day("fieldbook:briefing", "fieldbook:water", "fieldbook:photos", "fieldbook:incidents"),
            *of_day("fieldbook:phones", "fieldbook:paper", "fieldbook:walk_up", "fieldbook:kiosk_links"),
            *of_day("fieldbook:close", "fieldbook:water", "fieldbook:phones", day=whole.unplanned.pk),
            at("fieldbook:person", day.pk, whole.volunteer.pk),
            *(at("fieldbook:bags"), at("fieldbook:bags_moved_on", whole.load.pk)),
            *of_day("crews:gear", "crews:gear_list", "crews:weather", "crews:change_weather", "crews:paper"),
            *of_day("crews:gear_list", "crews:weather", "crews:paper", day=whole.unplanned.pk),
            *of_day("crews:gear", day=whole.closed.pk),
            at("crews:gear_person", day.pk, whole.volunteer.pk),
            at("crews:gear_set", day.pk, whole.gear_set.code),
            *(at("fieldbook:strike", day.pk, *entry) for entry in (("attendance", whole.stay.pk), whole.stint)),
            *(at("fieldbook:phone", day.pk), at("fieldbook:phone", whole.closed.pk), at("fieldbook:phone_days")),
        ],
        "coordinator": [
            *(at("grants:hours"), f"{at('grants:hours')}?first=2020-02-01&last=2020-01-01"),
            *(at("grants:correct", whole.entry.pk), at("grants:grants"), at("grants:new_grant")),
            *(at("grants:grant", whole.grant.pk), at("grants:edit_grant", whole.grant.pk)),
            *(at("grants:claims", whole.grant.pk), at("grants:add_reporting_date", whole.grant.pk)),
            *(at("grants:new_family"), at("grants:edit_family", ledger.family.pk)),
            *(at("grants:approvals"), at("grants:rates"), at("grants:record_rate")),
            at("grants:withdraw_rate", ledger.rate.pk),
            *(at("grants:entry", ledger.travel.pk), at("grants:release", ledger.travel.pk)),
            *of_day("grants:day_hours", "grants:reopen", "grants:add_hours", day=whole.entry.day_id),
            *(at("grants:earlier"), at("grants:undo_earlier", ledger.taken_over.pk)),
            *(at("grants:earlier_file", each.pk) for each in (ledger.wrong_file, ledger.taken_over, ledger.undone)),
            *(at("grants:season"), f"{at('grants:season')}?year=1999", at("grants:change_open_data")),
            *(at("grants:report", whole.grant.pk), f"{at('grants:report', whole.grant.pk)}?first=x"),
            *(at("grants:export", each.pk) for each in (ledger.file_to_come, ledger.failed_file)),
            f"{at('grants:my_hours', whole.entry.member_id)}?first=2020-02-01&last=2020-01-01",
            reverse("operation:installation"),
            at("api:new_token"),
        ],
        "secured": [
            reverse(name)
            for name in (
                *("people:data", "people:erase", "people:second_step"),
                *("people:security", "account_email", "account_reauthenticate", "usersessions_list"),
                *("mfa_index", "mfa_activate_totp", "mfa_list_webauthn", "mfa_add_webauthn"),
            )
        ],
    }
