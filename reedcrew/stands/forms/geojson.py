"""The form that takes a FeatureCollection (RFC 7946), and what its features would become."""

from collections.abc import Mapping
from typing import Any, NoReturn, TypeVar

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.http import QueryDict
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Group
from reedcrew.stands.forms.stands import StandForm
from reedcrew.stands.forms.zones import ZoneForm
from reedcrew.stands.models import Site, Stand, Zone
from reedcrew.stands.services.geojson import Step, Takeover, Taking
from reedcrew.trade.outline import UnusableOutline, parse_json, read_geometry
from reedcrew.web.sentences import said

BYTES_MAX = 2_000_000  # of a collection (convention): a few thousand outlines drawn by hand
FEATURES_MAX = 2_000  # (convention)
KEY_DIGITS = 18  # a key has 63 bits
PROBLEMS_SHOWN = 50  # sentences; whoever has more starts with these

Row = TypeVar("Row", Site, Stand, Zone)

KINDS = ("site", "boundary", "stand", "zone")
# What a new zone must tell: what is unknown keeps people out of the water, so nothing about water is assumed.
ZONE_MUST = ("depth_cm", "surveyed_on", "current_m_s")
ZONE_MAY = {"bed": Zone.Bed.SOFT.value, "stems": 0, "units_max": 4, "gauge_cm": None}


class ImportForm(forms.Form):
    """A pasted or uploaded FeatureCollection. ``takeover`` is what it would do, once the form is valid."""

    text = forms.CharField(
        label=_("FeatureCollection"),
        required=False,
        widget=forms.Textarea(
            attrs={"rows": 10, "spellcheck": "false", "autocomplete": "off", "class": "figures"},
        ),
        help_text=_(
            "GeoJSON as exported here or by a mapping program. Each feature has in its properties a kind (stand or "
            "zone), a name, its site and, if it is a zone, its stand."
        ),
    )
    file = forms.FileField(
        label=_("Or a file"),
        required=False,
        widget=forms.ClearableFileInput(attrs={"accept": ".geojson,.json,application/geo+json,application/json"}),
    )
    seen = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, group: Group, this_year: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.group, self.this_year = group, this_year
        self.takeover = Takeover(steps=())

    @property
    def is_confirmed(self) -> bool:
        """Whether what this form would do is what the sender has looked at."""
        return bool(self.cleaned_data.get("seen")) and self.cleaned_data["seen"] == self.takeover.fingerprint

    def clean_file(self) -> str:
        """The text of the file, or nothing."""
        sent: UploadedFile | None = self.cleaned_data["file"]
        if sent is None:
            return ""
        if (sent.size or 0) > BYTES_MAX:
            raise forms.ValidationError(
                _("The file has more than %(most)s bytes. Send it in parts."), params={"most": BYTES_MAX}
            )
        try:
            content: bytes = sent.read()
            return content.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            raise forms.ValidationError(_("The file is not text in UTF-8, as GeoJSON is.")) from error

    def clean(self) -> dict[str, Any]:
        """Judge every feature; problems are errors of the field ``text``, each with the feature's number."""
        cleaned = super().clean() or self.cleaned_data
        if self.errors:
            return cleaned
        text = cleaned["file"] or cleaned["text"].strip()
        cleaned["text"] = text
        if not text:
            self.add_error("text", _("Paste a FeatureCollection, or choose a file."))
            return cleaned
        # Whatever was in the file is shown, so that it can be mended and is not chosen again.
        data = QueryDict(mutable=True)
        data.update(self.data)
        data[self.add_prefix("text")] = text
        self.data = data
        reader = _Reader(self.group, self.this_year)
        try:
            self.takeover = reader.read(text)
        except forms.ValidationError as error:
            self.add_error("text", error)
        return cleaned


class _Problem(Exception):
    """What is wrong with one feature, in words."""


class _Reader:
    """Reads a collection against the rows of one group, which are fetched once."""

    def __init__(self, group: Group, this_year: int) -> None:
        self.this_year = this_year
        self.sites = {site.pk: site for site in Site.objects.of_group(group).select_related("group")}
        self.stands = {stand.pk: stand for stand in Stand.objects.of_group(group).select_related("site", "site__group")}
        self.zones = {
            zone.pk: zone for zone in Zone.objects.filter(stand__site__group=group).select_related("stand__site__group")
        }
        self.new_stands: set[tuple[int, str]] = set()
        self.met: set[tuple[object, ...]] = set()

    def read(self, text: str) -> Takeover:
        """What the collection would do. Raises ValidationError with a sentence for each feature that is wrong."""
        features = self._features(text)
        problems: list[tuple[int, forms.ValidationError]] = []
        steps: list[Step] = []
        numbered = list(enumerate(features, 1))
        # Stands first: a zone may lie in one that comes with it.
        for number, feature in sorted(numbered, key=lambda pair: (_kind_of(pair[1]) == "zone", pair[0])):
            try:
                steps.append(self._step(number, feature))
            except _Problem as problem:
                values = {"number": number, "name": _name_of(feature), "cause": str(problem)}
                refusal = forms.ValidationError(_("Feature %(number)s (%(name)s): %(cause)s"), "feature", params=values)
                problems.append((number, refusal))
        if problems:
            raise forms.ValidationError(
                [problem for _number, problem in sorted(problems, key=lambda pair: pair[0])][:PROBLEMS_SHOWN]
            )
        return Takeover(steps=tuple(sorted(steps, key=lambda step: step.number)))

    def _features(self, text: str) -> list[Any]:
        if len(text.encode()) > BYTES_MAX:
            raise forms.ValidationError(
                _("The text has more than %(most)s bytes. Send it in parts."), params={"most": BYTES_MAX}
            )
        try:
            found = parse_json(text)
        except ValueError as error:
            raise forms.ValidationError(_("This is not JSON. GeoJSON begins with { and ends with }.")) from error
        if isinstance(found, dict) and found.get("type") == "Feature":
            return [found]
        if not isinstance(found, dict) or found.get("type") != "FeatureCollection":
            raise forms.ValidationError(_("This is no FeatureCollection: its type must say so."))
        features = found.get("features")
        if not isinstance(features, list) or not features:
            raise forms.ValidationError(_("The collection has no features."))
        if len(features) > FEATURES_MAX:
            raise forms.ValidationError(
                _("These are %(count)s features; at most %(most)s are taken at once. Send them in parts."),
                params={"count": len(features), "most": FEATURES_MAX},
            )
        return features

    def _step(self, number: int, feature: Any) -> Step:
        if not isinstance(feature, dict) or feature.get("type") != "Feature":
            _refuse(gettext("This is no Feature: its type must say so."))
        kind = _kind_of(feature)
        if kind not in KINDS:
            _refuse(gettext("Its kind is not known. Write in its properties a kind: stand or zone."))
        properties = _properties(feature)
        name = _word(properties, "name")
        if not name:
            _refuse(gettext("It has no name. Write one in its properties."))
        if kind in {"site", "boundary"}:
            step = self._site_step(number, kind, name, feature)
        elif kind == "stand":
            step = self._stand_step(number, name, properties, feature)
        else:
            step = self._zone_step(number, name, properties, feature)
        key = (step.kind, step.site.pk, step.stand_name, step.name)
        if key in self.met:
            _refuse(gettext("It comes twice in this collection. Leave one of them out."))
        self.met.add(key)
        return step

    def _site_step(self, number: int, kind: str, name: str, feature: Mapping[str, Any]) -> Step:
        site = self._row(self.sites, kind, feature, name) or self._site(name)
        if kind == "site":  # a meeting place is moved by people who stand at it, not by a file
            return Step(number=number, kind=kind, name=site.name, taking=Taking.KEEP, site=site, row=site)
        return self._drawn(number, kind, site, site, feature)

    def _stand_step(self, number: int, name: str, properties: Mapping[str, Any], feature: Mapping[str, Any]) -> Step:
        row = self._row(self.stands, "stand", feature, name)
        if row is not None:
            return self._drawn(number, "stand", row, row.site, feature)
        site = self._site(_word(properties, "site"))
        known = [stand for stand in self.stands.values() if stand.site_id == site.pk and stand.name == name]
        if known:
            return self._drawn(number, "stand", known[0], site, feature)
        first_cut_year = properties.get("first_cut_year")
        entered = {"name": name, "first_cut_year": "" if first_cut_year is None else first_cut_year, "note": ""}
        values = _valid(StandForm(entered, this_year=self.this_year))
        self.new_stands.add((site.pk, values["name"]))
        return Step(
            number=number,
            kind="stand",
            name=values["name"],
            taking=Taking.ADD,
            site=site,
            outline=_outline(feature, site),
            values=values,
        )

    def _zone_step(self, number: int, name: str, properties: Mapping[str, Any], feature: Mapping[str, Any]) -> Step:
        row = self._row(self.zones, "zone", feature, name)
        if row is not None:
            return self._drawn(number, "zone", row, row.stand.site, feature, row.stand.name)
        site_name, stand_name = _word(properties, "site"), _word(properties, "stand")
        site = self._site(site_name) if site_name else self._only_site_of(stand_name)
        known = [
            zone
            for zone in self.zones.values()
            if (zone.stand.site_id, zone.stand.name, zone.name) == (site.pk, stand_name, name)
        ]
        if known:
            return self._drawn(number, "zone", known[0], site, feature, stand_name)
        there = any((stand.site_id, stand.name) == (site.pk, stand_name) for stand in self.stands.values())
        if not there and (site.pk, stand_name) not in self.new_stands:
            _refuse(
                gettext("%(site)s has no stand named %(name)s. Write the name of its stand in its properties.")
                % {"site": site.name, "name": stand_name or "?"}
            )
        missing = [key for key in ZONE_MUST if properties.get(key) is None]
        if missing:
            _refuse(
                gettext("A new zone must tell %(missing)s: what is unknown keeps people out of the water.")
                % {"missing": ", ".join(missing)}
            )
        entered = {key: properties.get(key, given) for key, given in ZONE_MAY.items()}
        entered |= {key: properties[key] for key in ZONE_MUST} | {"name": name, "outline": ""}
        entered["surveyed_on"] = str(entered["surveyed_on"])  # a number is no day, and is refused as such a text
        values = _valid(ZoneForm({key: "" if value is None else value for key, value in entered.items()}, site=site))
        values.pop("outline")
        return Step(
            number=number,
            kind="zone",
            name=values["name"],
            taking=Taking.ADD,
            site=site,
            stand_name=stand_name,
            outline=_outline(feature, site),
            values=values,
        )

    def _drawn(
        self,
        number: int,
        kind: str,
        row: Site | Stand | Zone,
        site: Site,
        feature: Mapping[str, Any],
        stand_name: str = "",
    ) -> Step:
        """A row that is there already: its outline alone is taken over, and only where there is one."""
        outline = _outline(feature, site)
        same = outline is None or outline.geojson == row.outline
        return Step(
            number=number,
            kind=kind,
            name=row.name,
            taking=Taking.KEEP if same else Taking.REDRAW,
            site=site,
            stand_name=stand_name,
            row=row,
            outline=outline,
        )

    def _row(self, rows: Mapping[int, Row], kind: str, feature: Mapping[str, Any], name: str) -> Row | None:
        """The row that the feature's id names, where it has the feature's name: ids of another place mean nothing."""
        prefix, _dash, number = str(feature.get("id", "")).rpartition("-")
        is_key = number.isascii() and number.isdigit() and len(number) <= KEY_DIGITS
        row = rows.get(int(number)) if prefix == kind and is_key else None
        return row if row is not None and row.name == name else None

    def _site(self, name: str) -> Site:
        for site in self.sites.values():
            if site.name == name:
                return site
        _refuse(
            gettext(
                "The group has no site named %(name)s. Sites are added by hand, with all that people must know there."
            )
            % {"name": name or "?"}
        )

    def _only_site_of(self, stand_name: str) -> Site:
        found = {stand.site_id for stand in self.stands.values() if stand.name == stand_name}
        found |= {site for site, name in self.new_stands if name == stand_name}
        if len(found) != 1:
            _refuse(gettext("Write the name of its site in its properties: its stand alone does not tell."))
        return self.sites[found.pop()]


def _refuse(sentence: str) -> NoReturn:
    raise _Problem(sentence)


def _properties(feature: Any) -> Mapping[str, Any]:
    found = feature.get("properties") if isinstance(feature, dict) else None
    return found if isinstance(found, dict) else {}


def _word(properties: Mapping[str, Any], key: str) -> str:
    value = properties.get(key)
    return value.strip() if isinstance(value, str) else ""


def _kind_of(feature: Any) -> str:
    return _word(_properties(feature), "kind")


def _name_of(feature: Any) -> str:
    return _word(_properties(feature), "name") or gettext("without a name")


def _outline(feature: Mapping[str, Any], site: Site) -> Any:
    geometry = feature.get("geometry")
    if geometry is None:
        return None
    try:
        return read_geometry(geometry, site=site.position)
    except UnusableOutline as error:
        raise _Problem(said(error.problem)) from error


def _valid(form: StandForm | ZoneForm) -> dict[str, Any]:
    """The values of a form that was filled in from properties; its errors are named by the property."""
    if form.is_valid():
        return dict(form.cleaned_data)
    raise _Problem(" ".join(f"{name}: {' '.join(map(str, errors))}" for name, errors in form.errors.items()))
