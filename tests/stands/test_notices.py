"""Notices of authorities: kept as issued, changed with a record, ended, never deleted."""

import datetime
import uuid

import pytest
from django.core.exceptions import ValidationError

from reedcrew.people.models import AuditEntry
from reedcrew.stands import services, signals
from reedcrew.stands.errors import ChangedMeanwhile, NoticeDayUnfit, NoticeEndedAlready, NoticeIssuedInFuture
from reedcrew.stands.models import SiteNotice
from reedcrew.stands.queries import notices_at, rules_of
from reedcrew.trade.policy import DEFAULT_POLICY
from reedcrew.trade.season import Effect, MonthDay
from tests.factories import NOW, make_account, make_group, make_notice, make_site

pytestmark = pytest.mark.django_db

TODAY = datetime.date(2026, 8, 10)


def record_notice(site, **values):
    facts = {
        "kind": SiteNotice.Kind.SPAWNING,
        "effect": Effect.FORBIDS.value,
        "opens": MonthDay(3, 15),
        "closes": MonthDay(7, 15),
        "issuer": "Fisheries office",
        **values,
    }
    return services.record_notice(site=site, actor=make_account(), now=NOW, **facts)


def change_notice(notice, version=1, **values):
    return services.change_notice(notice=notice, version=version, actor=make_account(), now=NOW, **values)


def end_notice(notice, until=TODAY, because="Withdrawn by letter"):
    return services.end_notice(notice=notice, until=until, because=because, actor=make_account(), now=NOW)


def test_a_notice_is_kept_once_with_who_and_when_and_closes_its_days():
    site = make_site(make_group())
    token = uuid.uuid4()
    notice = record_notice(site, submission=token, scope=SiteNotice.Scope.IN_WATER, reference="No. 7")
    assert record_notice(site, submission=token) == notice
    said = rules_of(site, DEFAULT_POLICY).verdict(datetime.date(2026, 7, 15))
    assert (said.water_closed, said.authorities) == (True, ("Fisheries office (No. 7)",))
    assert notice.recorded_at == NOW
    assert AuditEntry.objects.get().deed == "notice recorded"


@pytest.mark.parametrize(
    ("values", "refusal", "field"),
    [
        ({"opens": MonthDay(2, 29), "year": 2026}, NoticeDayUnfit, "opens"),
        ({"opens": MonthDay(11, 1), "closes": MonthDay(2, 29), "year": 2026}, NoticeDayUnfit, "closes"),
        ({"issued_on": datetime.date(2026, 8, 11)}, NoticeIssuedInFuture, "issued_on"),
    ],
)
def test_a_notice_that_contradicts_itself_is_refused_at_its_field(values, refusal, field):
    with pytest.raises(refusal) as refused:
        record_notice(make_site(make_group()), **values)
    assert refused.value.field == field
    assert not SiteNotice.objects.exists()


@pytest.mark.parametrize("values", [{"issuer": ""}, {"kind": "frogs"}, {"opens": MonthDay(2, 30)}, {"year": 1700}])
def test_a_notice_with_a_value_that_cannot_be_is_refused_whoever_asks(values):
    with pytest.raises(ValidationError):
        record_notice(make_site(make_group()), **values)


def test_a_change_keeps_what_stood_there_before():
    notice = make_notice(make_site(make_group()))
    change_notice(notice, closes=MonthDay(8, 15), effect=Effect.FORBIDS.value)
    assert AuditEntry.objects.get().detail["changes"] == {"closes": ["08-31", "08-15"]}
    with pytest.raises(ChangedMeanwhile):
        change_notice(notice, closes=MonthDay(8, 20))


def test_an_ended_notice_stays_in_the_list_and_holds_on_its_earlier_days():
    site = make_site(make_group())
    notice = make_notice(site)
    ended = end_notice(notice)
    assert end_notice(notice) == ended
    with pytest.raises(NoticeEndedAlready):
        end_notice(notice, until=TODAY - datetime.timedelta(days=1))
    rules = rules_of(site, DEFAULT_POLICY)
    assert not rules.is_permitted(TODAY)
    assert rules.is_permitted(TODAY + datetime.timedelta(days=1))
    assert notices_at(site, TODAY).in_force == (notice,)
    lists = notices_at(site, TODAY + datetime.timedelta(days=1))
    assert (lists.in_force, lists.past) == ((), (notice,))


def test_a_notice_whose_end_is_taken_back_closes_days_again():
    site = make_site(make_group())
    notice = make_notice(site)
    end_notice(notice)
    tomorrow = TODAY + datetime.timedelta(days=1)
    assert rules_of(site, DEFAULT_POLICY).is_permitted(tomorrow)
    for _press in range(2):
        services.resume_notice(notice=notice, actor=make_account(), now=NOW)
    assert not rules_of(site, DEFAULT_POLICY).is_permitted(tomorrow)
    assert AuditEntry.objects.get(deed="notice resumed").detail == {
        "until": TODAY.isoformat(),
        "because": "Withdrawn by letter",
    }


def test_an_end_without_a_reason_is_refused():
    with pytest.raises(ValidationError):
        end_notice(make_notice(make_site(make_group())), because="")


def test_a_notice_of_one_year_is_past_after_its_years():
    site = make_site(make_group())
    over = make_notice(site, opens=MonthDay(11, 1), closes=MonthDay(2, 28), year=2024)
    yearly = make_notice(site)
    assert notices_at(site, TODAY).past == (over,)
    assert notices_at(site, datetime.date(2025, 12, 31)).in_force == (yearly, over)
    assert (over.opens_text, over.closes_text) == ("1 November 2024", "28 February 2025")
    assert yearly.opens_text == "15 March"


def test_each_change_of_the_calendar_tells_before_and_after():
    site = make_site(make_group())
    told = []

    def hear(sender, *, site, before, after, **said):
        told.append((len(before.notices), before.window.closes, len(after.notices), after.window.closes))

    signals.season_changed.connect(hear)
    try:
        notice = record_notice(site)
        end_notice(notice)
        services.change_site(
            site=site,
            version=1,
            actor=make_account(),
            now=NOW,
            window_opens=MonthDay(8, 1),
            window_closes=MonthDay(9, 1),
            window_authority="Wardens",
        )
    finally:
        signals.season_changed.disconnect(hear)
    october, september = MonthDay(10, 15), MonthDay(9, 1)
    assert told == [(0, october, 1, october), (1, october, 1, october), (1, october, 1, september)]
