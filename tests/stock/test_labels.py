"""The code on a label, read back by another program than the one that drew it."""

import re

import pytest
import zxingcpp
from PIL import Image, ImageDraw

from reedcrew.people.models import CODE_ALPHABET, Group
from reedcrew.stock.labels import qr_svg
from reedcrew.stock.models import GearSet
from reedcrew.stock.models.gear import CODE_LENGTH
from reedcrew.stock.views.sets import address_of
from reedcrew.trade.items import Item
from tests.factories import make_group, make_sets

SCALE = 4  # pixels a module


def picture(svg: str) -> Image.Image:
    """The drawing as pixels. The dark path holds runs of modules as M/m moves and h lines, one module high."""
    size = int(re.search(r'viewBox="0 0 (\d+) \1"', svg).group(1))
    image = Image.new("L", (size * SCALE, size * SCALE), 255)
    draw = ImageDraw.Draw(image)
    path = re.search(r'stroke="#000" d="([^"]+)"', svg).group(1)
    x = y = 0.0
    for command, numbers in re.findall(r"([Mmh])([^Mmh]*)", path):
        values = [float(number) for number in re.findall(r"-?\d*\.?\d+", numbers)]
        if command == "M":
            x, y = values
        elif command == "m":
            x, y = x + values[0], y + values[1]
        else:
            top = (y - 0.5) * SCALE
            draw.rectangle((x * SCALE, top, (x + values[0]) * SCALE - 1, top + SCALE - 1), fill=0)
            x += values[0]
    return image


def test_the_code_of_a_label_is_read_as_the_set_s_address_on_the_site(settings):
    settings.SITE_URL = "https://reed.example.org"
    gear_set = GearSet(group=Group(name="Reed", slug="reed"), number=12, code="AB23CD45")
    address = address_of(gear_set)
    assert address == "https://reed.example.org/g/reed/stock/set/AB23CD45/"
    (found,) = zxingcpp.read_barcodes(picture(qr_svg(address)))
    assert (found.text, found.format) == (address, zxingcpp.BarcodeFormat.QRCode)


def test_a_drawing_has_no_style_that_the_content_policy_refuses():
    drawn = qr_svg("https://reed.example.org/g/reed/stock/set/AB23CD45/")
    assert "style" not in drawn
    assert drawn.startswith("<svg")


@pytest.mark.django_db
def test_codes_are_not_alike_and_have_no_signs_that_are_read_for_one_another():
    sets = make_sets(make_group(), Item.LIFE_JACKET, 50, size="adult")
    assert len({each.code for each in sets}) == 50
    assert all(len(each.code) == CODE_LENGTH and set(each.code) <= set(CODE_ALPHABET) for each in sets)
