"""The tables of RFC 5546 for one VEVENT, and the parts of RFC 5545 they rest on, as checks on raw bytes.

The reading of content lines is our own, so that neither the library that wrote them nor another can hide a fault.
"""

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

# How often a property may stand in the VEVENT: least and most; what is not listed is forbidden here.
# RFC 5546 section 3.2.2 (REQUEST) and section 3.2.5 (CANCEL). A REQUEST may leave SEQUENCE 0 out; ours do not.
REQUEST_EVENT: dict[str, tuple[int, int]] = {
    "UID": (1, 1),
    "DTSTAMP": (1, 1),
    "ORGANIZER": (1, 1),
    "ATTENDEE": (1, 1),  # the standard says one or more; ours go to one person each
    "SEQUENCE": (1, 1),
    "DTSTART": (1, 1),
    "DTEND": (0, 1),
    "SUMMARY": (1, 1),
    "STATUS": (0, 1),
    "DESCRIPTION": (0, 1),
    "LOCATION": (0, 1),
    "GEO": (0, 1),
    "URL": (0, 1),
    "TRANSP": (0, 1),
    "COMMENT": (0, 99),
    "LAST-MODIFIED": (0, 1),
}
CANCEL_EVENT: dict[str, tuple[int, int]] = REQUEST_EVENT | {"DTSTART": (0, 1), "SUMMARY": (0, 1), "STATUS": (1, 1)}
STATUSES = {"REQUEST": {"TENTATIVE", "CONFIRMED"}, "CANCEL": {"CANCELLED"}}
ALARMS = {"REQUEST": 1, "CANCEL": 0}  # REQUEST 0+, ours at most one; CANCEL none

_PARAM_TEXT = r';([A-Za-z0-9-]+)=((?:"[^"]*"|[^";:,]*)(?:,(?:"[^"]*"|[^";:,]*))*)'  # RFC 5545 section 3.1
_PARAM = re.compile(_PARAM_TEXT)
_LINE = re.compile(rf"(?P<name>[A-Za-z0-9-]+)(?P<params>(?:{_PARAM_TEXT})*):(?P<value>.*)", re.DOTALL)
_UTC = re.compile(r"[0-9]{8}T[0-9]{6}Z")
_LOCAL = re.compile(r"[0-9]{8}T[0-9]{6}")
_DATE = re.compile(r"[0-9]{8}")
_GEO = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?;[+-]?[0-9]+(\.[0-9]+)?")  # RFC 5545 sections 3.3.7 and 3.8.1.6


@dataclass
class Line:
    """One content line, unfolded (RFC 5545 section 3.1)."""

    name: str
    params: dict[str, str]
    value: str


@dataclass
class Part:
    """One component with its properties and inner components."""

    kind: str
    lines: list[Line] = field(default_factory=list)
    parts: list["Part"] = field(default_factory=list)

    def all(self, name: str) -> list[Line]:
        return [line for line in self.lines if line.name == name]

    def one(self, name: str) -> Line:
        (line,) = self.all(name)
        return line

    def of_kind(self, kind: str) -> list["Part"]:
        return [part for part in self.parts if part.kind == kind]


def read(raw: bytes) -> Part:
    """The object in ``raw`` as a tree; raises ValueError where a line is no content line or components do not nest."""
    root = Part(kind="")
    stack = [root]
    for text in raw.decode("utf-8").replace("\r\n ", "").replace("\r\n\t", "").removesuffix("\r\n").split("\r\n"):
        match = _LINE.fullmatch(text)
        if match is None:
            raise ValueError(f"no content line: {text!r}")
        name, value = match["name"].upper(), match["value"]
        if name == "BEGIN":
            part = Part(kind=value)
            stack[-1].parts.append(part)
            stack.append(part)
        elif name == "END":
            if stack.pop().kind != value:
                raise ValueError(f"END:{value} closes something else")
        else:
            params = {key.upper(): text.strip('"') for key, text in _PARAM.findall(match["params"])}
            stack[-1].lines.append(Line(name=name, params=params, value=value))
    if stack != [root] or len(root.parts) != 1 or root.lines:
        raise ValueError("not exactly one whole object")
    return root.parts[0]


def event_of(raw: bytes) -> Part:
    """The only VEVENT of ``raw``."""
    (event,) = read(raw).of_kind("VEVENT")
    return event


def itip_faults(raw: bytes, method: str) -> list[str]:
    """What the table of ``method`` (REQUEST or CANCEL) and our own narrower rules find wrong in ``raw``."""
    calendar = read(raw)
    faults = _head_faults(calendar, methods=[method])
    events = calendar.of_kind("VEVENT")
    if len(events) != 1:
        return [*faults, f"{len(events)} VEVENTs, one expected"]
    event = events[0]
    faults += _count_faults(event, REQUEST_EVENT if method == "REQUEST" else CANCEL_EVENT)
    faults += _time_faults(calendar, [event])
    faults += _people_faults(event, method)
    for line in event.all("STATUS"):
        if line.value not in STATUSES[method]:
            faults.append(f"STATUS {line.value} in a {method} (RFC 5546 sections 3.2.2, 3.2.5)")
    for line in event.all("SEQUENCE"):
        if not line.value.isdigit():
            faults.append("SEQUENCE is no number (RFC 5545 section 3.8.7.4)")
        elif method == "CANCEL" and int(line.value) < 1:
            faults.append("SEQUENCE not raised in a CANCEL (RFC 5546 section 2.1.4)")
    if len(event.of_kind("VALARM")) > ALARMS[method] or len(event.parts) != len(event.of_kind("VALARM")):
        faults.append(f"more inner components than a {method} may have (RFC 5546 sections 3.2.2, 3.2.5)")
    for alarm in event.of_kind("VALARM"):
        faults += [
            f"VALARM without {name} (RFC 5545 section 3.6.6)"
            for name in ("ACTION", "TRIGGER", "DESCRIPTION")
            if len(alarm.all(name)) != 1
        ]
    return faults


def feed_faults(raw: bytes) -> list[str]:
    """What a subscribed calendar must not have, and what each of its entries must."""
    calendar = read(raw)
    faults = _head_faults(calendar, methods=[])
    if not calendar.parts:
        faults.append("no component (RFC 5545 section 3.6)")
    events = calendar.of_kind("VEVENT")
    for event in events:
        for name in ("ORGANIZER", "ATTENDEE"):  # RFC 5545 sections 3.8.4.1, 3.8.4.3: only in scheduled objects
            if event.all(name):
                faults.append(f"{name} in a feed")
        if event.parts:
            faults.append("an alarm in a feed")
        for name in ("UID", "DTSTAMP", "DTSTART"):  # RFC 5545 section 3.6.1
            if len(event.all(name)) != 1:
                faults.append(f"{len(event.all(name))} {name}, one expected (RFC 5545 section 3.6.1)")
        if [line.value for line in event.all("DTSTAMP")] != [line.value for line in event.all("LAST-MODIFIED")]:
            faults.append("DTSTAMP differs from LAST-MODIFIED without METHOD (RFC 5545 section 3.8.7.2)")
    return faults + _time_faults(calendar, events)


def _head_faults(calendar: Part, *, methods: Iterable[str]) -> list[str]:
    faults = []
    if len(calendar.all("PRODID")) != 1:
        faults.append("PRODID not once (RFC 5545 section 3.6)")
    if [line.value for line in calendar.all("VERSION")] != ["2.0"]:
        faults.append("VERSION is not 2.0 once (RFC 5545 section 3.7.4)")
    if [line.value for line in calendar.all("CALSCALE")] != ["GREGORIAN"]:
        faults.append("CALSCALE is not GREGORIAN once (RFC 5545 section 3.7.1)")
    if [line.value for line in calendar.all("METHOD")] != list(methods):
        faults.append(f"METHOD is not {list(methods)} (RFC 5545 section 3.7.2)")
    if methods and calendar.all("UID"):
        faults.append("a UID of the calendar in a message")
    return faults


def _count_faults(event: Part, table: Mapping[str, tuple[int, int]]) -> list[str]:
    counts = Counter(line.name for line in event.lines)
    faults = [f"{name} is forbidden here (RFC 5546 table)" for name in counts if name not in table]
    for name, (least, most) in table.items():
        if not least <= counts[name] <= most:
            faults.append(f"{counts[name]} times {name}, {least} to {most} allowed (RFC 5546 table)")
    return faults


def _people_faults(event: Part, method: str) -> list[str]:
    faults = []
    for name in ("ORGANIZER", "ATTENDEE"):
        for line in event.all(name):
            if not line.value.startswith("mailto:") or line.value.count("@") != 1:
                faults.append(f"{name} is no mailto address (RFC 5545 section 3.3.3, RFC 6047 section 2.3)")
            if any(sign in line.params.get("CN", "") for sign in '"^\r\n'):
                faults.append(f"CN of {name} needs an encoding that not all decode (RFC 6868 section 3)")
    for line in event.all("ATTENDEE"):
        wanted = {"CUTYPE": "INDIVIDUAL", "ROLE": "REQ-PARTICIPANT"} | ({"RSVP": "TRUE"} if method == "REQUEST" else {})
        faults += [
            f"ATTENDEE has {name}={line.params.get(name)} (RFC 5545 section 3.8.4.1)"
            for name, value in wanted.items()
            if line.params.get(name) != value
        ]
        if line.params.get("PARTSTAT") not in {"NEEDS-ACTION", "ACCEPTED", "DECLINED", "TENTATIVE"}:
            faults.append("PARTSTAT is none that an attendee of ours can have (RFC 5545 section 3.2.12)")
        if line.value.lower() in {organizer.value.lower() for organizer in event.all("ORGANIZER")}:
            faults.append("ATTENDEE is the ORGANIZER")
    return faults


def _time_faults(calendar: Part, events: Iterable[Part]) -> list[str]:
    faults = []
    known = {zone.one("TZID").value for zone in calendar.of_kind("VTIMEZONE")}
    used = set()
    for event in events:
        for line in (*event.all("DTSTAMP"), *event.all("LAST-MODIFIED")):
            faults += [] if _UTC.fullmatch(line.value) else [f"{line.name} is not UTC (RFC 5545 section 3.8.7.2)"]
        forms = []
        for line in (*event.all("DTSTART"), *event.all("DTEND")):
            if line.params.get("VALUE") == "DATE":
                forms.append("date" if _DATE.fullmatch(line.value) and "TZID" not in line.params else "bad")
            elif "TZID" in line.params:
                used.add(line.params["TZID"])
                forms.append("local" if _LOCAL.fullmatch(line.value) else "bad")
            else:
                forms.append("utc" if _UTC.fullmatch(line.value) else "bad")  # without Z it would float (section 3.3.5)
        if "bad" in forms or len(set(forms)) > 1:
            faults.append(f"DTSTART and DTEND are {forms} (RFC 5545 sections 3.2.19, 3.3.5, 3.8.2.2)")
        for line in event.all("GEO"):
            faults += [] if _GEO.fullmatch(line.value) else [f"GEO is {line.value} (RFC 5545 section 3.8.1.6)"]
    if used != known - ({"Etc/UTC"} if not used else set()):
        faults.append(f"TZIDs {sorted(used)} with VTIMEZONEs {sorted(known)} (RFC 5545 section 3.2.19)")
    for zone in calendar.of_kind("VTIMEZONE"):
        faults += _zone_faults(zone)
    return faults


def _zone_faults(zone: Part) -> list[str]:
    """One STANDARD and at most one DAYLIGHT: what Exchange reads for certain (MS-OXCICAL section 2.1.3.1.1.19.2)."""
    faults = []
    kinds = sorted(part.kind for part in zone.parts)
    if kinds not in (["STANDARD"], ["DAYLIGHT", "STANDARD"]):
        faults.append(f"VTIMEZONE holds {kinds}")
    for part in zone.parts:
        for name in ("DTSTART", "TZOFFSETFROM", "TZOFFSETTO"):  # RFC 5545 section 3.6.5
            faults += [] if len(part.all(name)) == 1 else [f"{name} not once in {part.kind}"]
        if part.all("RDATE"):
            faults.append("RDATE in a VTIMEZONE")
        if not _LOCAL.fullmatch(part.one("DTSTART").value) or part.one("DTSTART").params:
            faults.append("onset is not local time (RFC 5545 section 3.6.5)")
        rules = [line.value for line in part.all("RRULE")]
        if len(kinds) == 2 and not (
            len(rules) == 1 and re.fullmatch(r"FREQ=YEARLY;BYDAY=-?[1-4][A-Z]{2};BYMONTH=[0-9]{1,2}", rules[0])
        ):
            faults.append(f"RRULE {rules} is not yearly by one weekday (MS-OXCICAL section 2.1.3.1.1.19.2.2)")
    return faults
