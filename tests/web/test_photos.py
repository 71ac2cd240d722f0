"""Photos are written anew: what a camera adds is gone, and what is no photo is refused with a sentence."""

import io
import struct
import zlib
from decimal import Decimal

import pytest
from django import forms
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils.datastructures import MultiValueDict
from hypothesis import given
from hypothesis import strategies as st
from PIL import ExifTags, Image, ImageCms, PngImagePlugin

from reedcrew.web.forms import PhotosField
from reedcrew.web.photos import (
    FILE_BYTES_MAX,
    PhotoNotReadable,
    PhotoOfPhoneFormat,
    PhotoRefused,
    PhotoTooLarge,
    PhotoTooManyPixels,
    Position,
    read_photo,
)

pytestmark = pytest.mark.once

RED, BLUE = (200, 30, 30), (30, 30, 200)


def picture(width=60, height=40, mode="RGB"):
    """Red on the left half, blue on the right."""
    made = Image.new("RGB", (width, height), BLUE)
    made.paste(RED, (0, 0, width // 2, height))
    return made.convert(mode)


def exif(*, orientation=1, gps=None, make="A camera"):
    tags = Image.Exif()
    tags[ExifTags.Base.Orientation] = orientation
    tags[ExifTags.Base.Make] = make
    tags[ExifTags.Base.DateTime] = "2026:08:10 09:00:00"
    if gps is not None:
        tags.get_ifd(ExifTags.IFD.GPSInfo).update(gps)
    return tags


# The GPS directory of the EXIF standard: degrees, minutes, seconds and the half of the earth.
AT_THE_BAY = {
    ExifTags.GPS.GPSLatitudeRef: "N",
    ExifTags.GPS.GPSLatitude: (44.0, 15.0, 0.0),
    ExifTags.GPS.GPSLongitudeRef: "W",
    ExifTags.GPS.GPSLongitude: (76.0, 30.0, 36.0),
}


def encoded(image, kind="JPEG", **options):
    written = io.BytesIO()
    image.save(written, kind, **options)
    return written.getvalue()


def read(data, name="stem.jpg"):
    return read_photo(io.BytesIO(data), name=name)


def opened(data):
    return Image.open(io.BytesIO(data))


def near(pixel, colour):
    return all(abs(one - other) < 25 for one, other in zip(pixel, colour, strict=True))


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("mode", ["RGB", "L", "RGBA", "P", "CMYK", "1", "LA", "I;16"])
def test_photos_of_every_kind_become_plain_jpegs(kind, mode):
    image = picture().convert("L").convert("I;16") if mode == "I;16" else picture(mode=mode)
    if kind == "JPEG" and mode in {"RGBA", "P", "LA", "I;16"}:
        image = image.convert("RGB")
    if kind == "PNG" and mode == "CMYK":
        image = image.convert("RGB")
    photo = read(encoded(image, kind))
    for data in (photo.jpeg, photo.thumbnail):
        again = opened(data)
        assert (again.format, again.mode, again.size) == ("JPEG", "RGB", (60, 40))


def test_nothing_that_the_camera_added_is_left():
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    sent = encoded(
        picture(), exif=exif(gps=AT_THE_BAY), icc_profile=profile, comment=b"at home", xmp=b"<x:xmpmeta/>", dpi=(72, 72)
    )
    assert b"A camera" in sent
    assert b"at home" in sent
    photo = read(sent)
    for data in (photo.jpeg, photo.thumbnail):
        again = opened(data)
        assert not again.getexif()
        assert set(again.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        for trace in (b"Exif", b"A camera", b"at home", b"xmp", b"ICC_PROFILE"):
            assert trace not in data


def test_text_in_a_png_is_left_behind():
    notes = PngImagePlugin.PngInfo()
    notes.add_text("Author", "Robin Alder")
    assert b"Robin" not in read(encoded(picture(), "PNG", pnginfo=notes)).jpeg


def test_the_place_is_handed_back_for_those_who_may_keep_it():
    photo = read(encoded(picture(), exif=exif(gps=AT_THE_BAY)))
    assert photo.position == Position(latitude=Decimal("44.250000"), longitude=Decimal("-76.510000"))
    assert read(encoded(picture(), exif=exif())).position is None


@pytest.mark.parametrize(
    "wrong",
    [
        {ExifTags.GPS.GPSLatitude: (144.0, 15.0, 0.0)},
        {ExifTags.GPS.GPSLatitude: (0.0, 0.0, 0.0), ExifTags.GPS.GPSLongitude: (0.0, 0.0, 0.0)},
        {ExifTags.GPS.GPSLatitude: (44.0,)},
        {ExifTags.GPS.GPSLongitude: (200.0, 0.0, 0.0)},
    ],
)
def test_a_place_that_is_none_is_left_out(wrong):
    assert read(encoded(picture(), exif=exif(gps={**AT_THE_BAY, **wrong}))).position is None


@pytest.mark.parametrize(
    ("orientation", "size", "left_is_red"),
    [(1, (60, 40), True), (3, (60, 40), False), (2, (60, 40), False), (6, (40, 60), None), (8, (40, 60), None)],
)
def test_a_photo_is_turned_as_the_camera_was_held(orientation, size, left_is_red):
    """Values of the EXIF tag Orientation: 3 upside down, 6 and 8 on its side, 2 mirrored."""
    photo = read(encoded(picture(), quality=95, exif=exif(orientation=orientation)))
    again = opened(photo.jpeg)
    assert (photo.width, photo.height) == again.size == size
    if left_is_red is not None:
        assert near(again.getpixel((5, 20)), RED if left_is_red else BLUE)
    else:
        assert near(again.getpixel((20, 5)), RED if orientation == 6 else BLUE)


def test_large_photos_are_made_smaller_and_small_ones_stay():
    photo = read(encoded(picture(3000, 1500)))
    assert (photo.width, photo.height) == (2048, 1024)
    assert opened(photo.thumbnail).size == (480, 240)
    assert read(encoded(picture(100, 50))).width == 100


def test_transparent_parts_become_white():
    clear = Image.new("RGBA", (20, 20), (0, 0, 0, 0))
    assert near(opened(read(encoded(clear, "PNG")).jpeg).getpixel((10, 10)), (255, 255, 255))


def test_a_moving_picture_leaves_its_first_frame():
    frames = [Image.new("RGB", (20, 20), colour) for colour in (RED, BLUE)]
    data = encoded(frames[0], "WEBP", save_all=True, append_images=frames[1:], lossless=True)
    assert near(opened(read(data).jpeg).getpixel((10, 10)), RED)


def test_colours_of_another_profile_are_turned_into_plain_ones():
    """Red and blue change places in a profile that says so: its red primary is the blue of sRGB and the other way."""
    turned = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    turned = turned.replace(b"rXYZ", b"xxxx").replace(b"bXYZ", b"rXYZ").replace(b"xxxx", b"bXYZ")
    red = encoded(Image.new("RGB", (8, 8), (200, 0, 0)), "PNG", icc_profile=bytes(turned))
    assert near(opened(read(red).jpeg).getpixel((4, 4)), (0, 0, 200))


def test_a_broken_profile_is_left_aside():
    red = encoded(Image.new("RGB", (8, 8), (200, 0, 0)), "PNG", icc_profile=b"no profile at all")
    assert near(opened(read(red).jpeg).getpixel((4, 4)), (200, 0, 0))


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"hello",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"%PDF-1.7",
        encoded(picture(), "GIF"),
        encoded(picture(), "TIFF"),
        encoded(picture(), "BMP"),
        encoded(picture(400, 400))[:700],
        encoded(picture(400, 400), "PNG")[:200],
    ],
)
def test_what_is_no_photo_is_refused_with_its_name(data):
    with pytest.raises(PhotoNotReadable, match=r"“notes\.jpg” is no photo"):
        read(data, "notes.jpg")


@pytest.mark.parametrize("brand", [b"heic", b"mif1", b"avif"])
def test_a_photo_of_a_phone_s_own_format_says_what_would_be_right(brand):
    with pytest.raises(PhotoOfPhoneFormat, match="Send it as JPEG"):
        read(b"\x00\x00\x00\x18ftyp" + brand + b"\x00" * 100, "IMG_1.HEIC")


def test_a_file_that_is_too_large_is_refused_before_it_is_decoded():
    with pytest.raises(PhotoTooLarge, match=r"16 MB\. Send photos of at most 15 MB"):
        read(b"\xff\xd8" + b"\x00" * (FILE_BYTES_MAX + 1024 * 1024))


@pytest.mark.parametrize(("width", "height"), [(10_000, 5_001), (12_000, 8_000), (20_000, 20_000), (65_000, 65_000)])
def test_a_small_file_that_unpacks_to_a_huge_picture_is_refused(width, height):
    """A PNG that says its size in its header and has nothing behind it: it is refused by the header alone."""

    def chunk(kind, body):
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    bomb = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")
    with pytest.raises(PhotoTooManyPixels, match="more than 50 million pixels"):
        read(bomb)


WHOLE = {kind: encoded(picture(), kind, exif=exif(gps=AT_THE_BAY)) for kind in ("JPEG", "PNG", "WEBP")}


@pytest.mark.filterwarnings("ignore::UserWarning")  # the decoders' own remarks on what is damaged
@given(st.sampled_from(sorted(WHOLE)), st.lists(st.tuples(st.integers(0, 2000), st.integers(0, 255)), max_size=8))
def test_a_damaged_file_is_a_photo_or_a_refusal_and_nothing_else(kind, changes):
    data = bytearray(WHOLE[kind])
    for place, value in changes:
        data[place % len(data)] = value
    try:
        photo = read(bytes(data))
    except PhotoRefused:
        return
    assert opened(photo.jpeg).format == "JPEG"


# --- The field -------------------------------------------------------------------------------------------------------


class Form(forms.Form):
    photos = PhotosField(required=False, limit=3)


class Needed(forms.Form):
    photos = PhotosField()


def sent(*files):
    return MultiValueDict({"photos": [SimpleUploadedFile(name, data) for name, data in files]})


def test_the_field_gives_the_photos_in_order():
    form = Form({}, sent(("a.jpg", WHOLE["JPEG"]), ("b.png", encoded(picture(30, 20), "PNG"))))
    assert form.is_valid()
    assert [photo.width for photo in form.cleaned_data["photos"]] == [60, 30]


def test_the_field_names_every_file_that_it_cannot_take():
    form = Form({}, sent(("a.jpg", WHOLE["JPEG"]), ("b.txt", b"words"), ("c.pdf", b"%PDF")))
    assert not form.is_valid()
    assert ["b.txt" in form.errors["photos"][0], "c.pdf" in form.errors["photos"][1]] == [True, True]


def test_the_field_takes_none_or_too_many_as_it_is_told():
    assert Form({}, MultiValueDict()).is_valid()
    assert "at most 3" in Form({}, sent(*[("a.jpg", b"")] * 4)).errors["photos"][0]
    assert "at least one" in Needed({}, MultiValueDict()).errors["photos"][0]


def test_the_field_lets_several_be_chosen_and_makes_its_form_send_files():
    form = Form()
    assert form.is_multipart()
    assert "multiple" in str(form["photos"])
    assert "image/jpeg,image/png,image/webp" in str(form["photos"])
