"""Mail of an installation without a mail server: kept whole, read safely, shown only where there is no server."""

from email import message_from_bytes, policy

import pytest
from django.core.mail import EmailMessage, EmailMultiAlternatives, get_connection
from django.urls import reverse

from reedcrew.web import mailfolder

pytestmark = pytest.mark.django_db

CALENDAR = "\r\n".join(
    [
        "BEGIN:VCALENDAR",
        "METHOD:REQUEST",
        "BEGIN:VEVENT",
        "SUMMARY:Cut <at> \r\n the inlet",
        "END:VEVENT",
        "END:VCALENDAR",
        "",
    ]
)


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.MAIL_DIR = tmp_path / "mail"
    settings.MAIL_PAGE = True
    return settings.MAIL_DIR


def send(*messages):
    return get_connection("reedcrew.web.mailfolder.FolderBackend").send_messages(list(messages))


def mail(subject="Your code", body="Code: ABC", to=("ana@example.org",), **more):
    return EmailMultiAlternatives(subject, body, "days@example.org", list(to), **more)


def test_each_message_is_one_whole_file_with_everyone_who_gets_it(folder):
    assert send(mail(bcc=["hidden@example.org"]), mail(subject="Second")) == 2
    names = mailfolder.names(folder)
    assert len(names) == 2
    assert names == sorted(names, reverse=True)
    assert sorted(path.name for path in folder.iterdir()) == sorted(names)  # nothing unfinished is left
    first = message_from_bytes((folder / names[1]).read_bytes(), policy=policy.default)
    assert first["Subject"] == "Your code"
    assert first["X-Envelope-To"] == "ana@example.org, hidden@example.org"


def test_a_message_to_nobody_is_not_written(folder):
    assert send(mail(to=())) == 0
    assert mailfolder.names(folder) == []


def test_a_line_break_in_a_subject_cannot_add_a_header(folder):
    with pytest.raises(ValueError, match="Header values"):
        send(mail(subject="a\nBcc: x@example.org"))
    assert mailfolder.names(folder) == []


def test_the_list_is_newest_first_and_in_pages(client):
    send(*[mail(subject=f"Number {number:02}") for number in range(30)])
    html = client.get(reverse("web:mail")).content.decode()
    assert html.index("Number 29") < html.index("Number 28")
    assert "Number 04" not in html
    assert "Number 04" in client.get(reverse("web:mail"), {"page": 2}).content.decode()
    assert client.get(reverse("web:mail"), {"page": "x"}).status_code == 200


def test_an_empty_folder_says_so(client):
    response = client.get(reverse("web:mail"))
    assert response.status_code == 200
    assert "No mail has been written yet" in response.content.decode()
    assert "no mail server" in response.content.decode()


def test_a_message_shows_its_text_and_calendar_but_never_its_html(client, folder):
    message = mail(body="Come at nine. <script>x</script> https://reedcrew.example/a?b=1&c=2")
    message.attach_alternative('<p onclick="x()">rich words</p>', "text/html")
    message.attach_alternative(CALENDAR, "text/calendar; method=REQUEST; charset=utf-8")
    message.attach("map.txt", "north", "text/plain")
    send(message)
    (name,) = mailfolder.names(folder)
    html = client.get(reverse("web:mail_message", args=[name])).content.decode()
    assert "Come at nine. &lt;script&gt;" in html
    assert "rich words" not in html
    assert "SUMMARY:Cut &lt;at&gt; the inlet" in html
    assert "REQUEST" in html
    assert "map.txt" in html
    assert 'href="https://reedcrew.example/a?b=1&amp;c=2"' in html


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("Sat, 18 Jul 2026 09:05:00 +0200", "Sat 18 July 2026, 07:05 UTC"),  # RFC 5322, section 3.3
        ("Sat, 18 Jul 2026 07:05:00 -0000", "Sat 18 July 2026, 07:05 UTC"),  # "-0000": the sender told no zone
        ("soon", "not known"),
    ],
)
def test_a_message_says_when_it_was_written(client, folder, written, shown):
    send(mail(headers={"Date": written}))
    (name,) = mailfolder.names(folder)
    assert shown in client.get(reverse("web:mail_message", args=[name])).text
    assert client.get(reverse("web:mail")).status_code == 200


def test_a_message_can_be_saved_as_the_file_it_is(client, folder):
    send(mail())
    (name,) = mailfolder.names(folder)
    response = client.get(reverse("web:mail_download", args=[name]))
    assert response["Content-Type"] == "message/rfc822"
    assert name in response["Content-Disposition"]
    assert b"".join(response.streaming_content) == (folder / name).read_bytes()


@pytest.mark.parametrize(
    "name",
    [
        "..",
        "secret-key",
        "%2e%2e%2fsecret-key",
        "..%2fsecret-key",
        "20260718T090000000000-0123abcd.eml",
        ".20260718T090000000000-0123abcd.eml",
        "20260718T090000000000-0123abcd.eml%00",
        "20260718T090000000000-0123abcd.eml%0a",
    ],
)
def test_a_name_that_is_no_message_is_absent(client, folder, name):
    folder.mkdir(parents=True)
    (folder.parent / "secret-key").write_text("secret")
    (folder / "secret-key").write_text("secret")
    for address in (f"/mail/{name}/", f"/mail/{name}/file"):
        response = client.get(address)
        assert response.status_code in {301, 404}
        assert b"secret\n" not in response.content


def test_a_broken_message_is_shown_as_far_as_it_can_be_read(client, folder):
    name = mailfolder.write(
        folder, b"Subject: =?utf-8?q?Sch=C3=B6n?=\r\nContent-Type: text/plain; charset=no-such\r\n\r\n\xff\xfe"
    )
    response = client.get(reverse("web:mail_message", args=[name]))
    assert response.status_code == 200
    assert "Schön" in response.content.decode()
    nothing = mailfolder.write(folder, b"")
    assert client.get(reverse("web:mail_message", args=[nothing])).status_code == 200
    assert client.get(reverse("web:mail")).status_code == 200


def test_where_a_mail_server_delivers_there_is_no_page(client, settings, folder):
    send(EmailMessage("Your code", "ABC", "days@example.org", ["ana@example.org"]))
    (name,) = mailfolder.names(folder)
    settings.MAIL_PAGE = False
    assert client.get(reverse("web:mail")).status_code == 404
    assert client.get(reverse("web:mail_message", args=[name])).status_code == 404
    assert client.get(reverse("web:mail_download", args=[name])).status_code == 404
