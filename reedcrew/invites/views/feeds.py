"""The calendars that programs poll, and the page on which a person keeps theirs."""

from typing import cast

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotModified
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import parse_etags
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET, require_http_methods, require_POST, require_safe

from reedcrew.invites import choices, feeds
from reedcrew.invites.models import FeedAddress, GroupFeed, MailChoice
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.models import Account
from reedcrew.people.roles import Deed
from reedcrew.workdays.models import WorkDay

MAX_AGE_S = 900


@require_safe
def personal(request: HttpRequest, token: str) -> HttpResponse:
    """A person's calendar, for whoever holds its address; no account, no cookie."""
    return _calendar(request, feeds.personal_feed(token, timezone.now()), "private")


@require_safe
def of_group(request: HttpRequest, code: str) -> HttpResponse:
    """A group's public calendar."""
    return _calendar(request, feeds.group_feed(code, timezone.now()), "public")


def _calendar(request: HttpRequest, feed: feeds.Feed | None, scope: str) -> HttpResponse:
    if feed is None:
        raise Http404
    known = parse_etags(request.headers.get("If-None-Match", ""))
    if feed.etag in known or known == ["*"]:
        response: HttpResponse = HttpResponseNotModified()
    else:
        response = HttpResponse(feed.as_bytes(), content_type="text/calendar; charset=utf-8")
    response["ETag"] = feed.etag
    response["Cache-Control"] = f"{scope}, max-age={MAX_AGE_S}"
    response["Referrer-Policy"] = "no-referrer"
    response["X-Robots-Tag"] = "noindex"
    return response


@never_cache
@require_GET
@login_required
def of_day(request: HttpRequest, code: str) -> HttpResponse:
    """One day as a file, for a reader who is signed up for it."""
    day = get_object_or_404(WorkDay.objects.with_stand(), share_code=code)
    file = feeds.day_bytes(day, cast(Account, request.user), timezone.now())
    if file is None:
        raise Http404
    disposition = f'attachment; filename="{day.date.isoformat()}.ics"'
    return HttpResponse(file, content_type="text/calendar; charset=utf-8", headers={"Content-Disposition": disposition})


@never_cache
@require_GET
@login_required
def mail_and_calendar(request: HttpRequest) -> HttpResponse:
    """Which mails the reader wants, and the reader's own calendar address."""
    account = cast(Account, request.user)
    context = {
        "choices": [(kind, wanted) for kind, wanted in choices.wanted_by(account).items()],
        "has_feed": FeedAddress.objects.filter(account=account).exists(),
        "address": request.session.pop("new_feed_address", ""),
    }
    return render(request, "invites/mail_and_calendar.html", context)


@require_POST
@login_required
def make_address(request: HttpRequest) -> HttpResponse:
    """Make the address and show it once, on the next page."""
    token = feeds.make_address(account=cast(Account, request.user), now=timezone.now())
    request.session["new_feed_address"] = f"{settings.SITE_URL}{reverse('invites:feed', args=[token])}"
    return redirect("invites:mail_and_calendar")


@require_POST
@login_required
def revoke_address(request: HttpRequest) -> HttpResponse:
    feeds.revoke_address(account=cast(Account, request.user))
    messages.success(request, _("The address does not work any more."))
    return redirect("invites:mail_and_calendar")


@require_POST
@login_required
def choose(request: HttpRequest) -> HttpResponse:
    """Turn one kind of mail off or on."""
    kind = request.POST.get("mail", "")
    if kind not in MailChoice.Kind.values:
        raise Http404
    choices.choose(
        account=cast(Account, request.user),
        kind=MailChoice.Kind(kind),
        wanted=request.POST.get("wanted") == "yes",
        now=timezone.now(),
    )
    messages.success(request, _("Your choice is saved."))
    return redirect("invites:mail_and_calendar")


@csrf_exempt  # RFC 8058: a mail service posts without a cookie; the signed address is the permission
@never_cache
@require_http_methods(["GET", "POST"])
def unsubscribe(request: HttpRequest, token: str) -> HttpResponse:
    """End one kind of mail, or take that back: a look changes nothing, a press does, again as often as one likes."""
    subscription = choices.read_unsubscribe(token)
    if subscription is None:
        raise Http404
    if request.method == "POST":
        wanted = request.POST.get("wanted") == "yes"
        choices.choose(account=subscription.account, kind=subscription.kind, wanted=wanted, now=timezone.now())
    context = {"kind": subscription.kind, "wanted": choices.wanted_by(subscription.account)[subscription.kind]}
    return render(request, "invites/unsubscribe.html", context)


@require_GET
@group_page(Deed.SEE_GROUP)
def group_calendar(request: GroupRequest) -> HttpResponse:
    """The public calendar of the group, for its members; organizers open and close it."""
    feed = GroupFeed.objects.filter(group=request.group).first()
    context = {
        "address": f"{settings.SITE_URL}{reverse('invites:group_feed', args=[feed.code])}" if feed else "",
        "may_keep": request.member.may(Deed.POST_DAY),
    }
    return render(request, "invites/group_calendar.html", context)


@require_POST
@group_page(Deed.POST_DAY)
def keep_group_calendar(request: GroupRequest) -> HttpResponse:
    """Open or close the public calendar."""
    keep = feeds.open_group_feed if request.POST.get("open") == "yes" else feeds.close_group_feed
    keep(group=request.group, actor=request.user, now=timezone.now())
    return redirect("invites:group_calendar", request.group.slug)
