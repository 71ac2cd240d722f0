"""Photos that people send: read, judged and written anew, so that nothing but the picture is kept.

What a camera adds (place, time, its own name, a preview) is dropped; the place is handed back first, for those who may
keep it. Limits are conventions of this project: cameras of phones make 3 to 12 MB and 12 to 50 million pixels.
"""

import io
import struct
from dataclasses import dataclass
from decimal import Decimal
from typing import IO, Any

from django.utils.translation import gettext_lazy as _
from PIL import ExifTags, Image, ImageCms, ImageOps

from reedcrew.web.errors import ReedcrewError

FILE_BYTES_MAX = 15 * 1024 * 1024
PIXELS_MAX = 50_000_000
LONG_SIDE_PX, THUMBNAIL_PX = 2048, 480
FORMATS = ("JPEG", "PNG", "WEBP")
JPEG_QUALITY, THUMBNAIL_QUALITY = 85, 75
_DEGREE_DIGITS = Decimal("0.000001")  # about 10 cm
# Brands of the container in which phones put HEIC and AVIF (ISO/IEC 23008-12; from memory).
_HEIF_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif", b"avis"}
# What damaged or hostile files make the decoders raise. DecompressionBombWarning is one where warnings are errors.
_UNREADABLE = (
    *(OSError, ValueError, TypeError, SyntaxError, EOFError, IndexError, KeyError, MemoryError, OverflowError),
    *(struct.error, ZeroDivisionError, Image.DecompressionBombError, Image.DecompressionBombWarning),
)


class PhotoRefused(ReedcrewError):
    """Base of the refusals of one photo; ``name`` is the file's."""

    field = "photos"


class PhotoTooLarge(PhotoRefused):
    code = "photo_too_large"
    sentence = _("“%(name)s” has %(mb)s MB. Send photos of at most %(limit)s MB: let the phone make a smaller copy.")


class PhotoTooManyPixels(PhotoRefused):
    code = "photo_too_many_pixels"
    sentence = _("“%(name)s” has more than %(limit)s million pixels. Send a smaller copy of it.")


class PhotoOfPhoneFormat(PhotoRefused):
    code = "photo_heic"
    sentence = _(
        "“%(name)s” is a HEIC or AVIF photo, which this site can't read. Send it as JPEG: choose “most compatible” in "
        "the camera's settings, or share it as JPEG."
    )


class PhotoNotReadable(PhotoRefused):
    code = "photo_not_readable"
    sentence = _("“%(name)s” is no photo that can be read, or it is damaged. Send a JPEG, PNG or WebP photo.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """Where a photo was taken, in degrees of WGS 84, by its camera."""

    latitude: Decimal
    longitude: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A photo written anew: two JPEG files without any metadata, sizes in pixels, and where the camera said it was."""

    jpeg: bytes
    thumbnail: bytes
    width: int
    height: int
    position: Position | None


def read_photo(file: IO[bytes], *, name: str) -> Photo:
    """Read a JPEG, PNG or WebP file and write it anew as JPEG, at most 2048 px long, with a thumbnail of 480 px.

    It is turned the way the camera held it, transparent parts become white, colours become sRGB, and of a moving
    picture the first frame stays. ``name`` is what the sentences of refusals call it.

    Raises PhotoTooLarge, PhotoTooManyPixels, PhotoOfPhoneFormat or PhotoNotReadable.
    """
    data = file.read(FILE_BYTES_MAX + 1)
    if len(data) > FILE_BYTES_MAX:
        size = max(file.seek(0, io.SEEK_END), len(data))
        raise PhotoTooLarge(name=name, mb=_megabytes(size), limit=_megabytes(FILE_BYTES_MAX))
    if data[4:8] == b"ftyp" and data[8:12] in _HEIF_BRANDS:
        raise PhotoOfPhoneFormat(name=name)
    try:
        with Image.open(io.BytesIO(data), formats=FORMATS) as opened:
            if opened.width * opened.height > PIXELS_MAX:
                raise PhotoTooManyPixels(name=name, limit=PIXELS_MAX // 1_000_000)
            position = _position(opened)
            opened.draft("RGB", (LONG_SIDE_PX, LONG_SIDE_PX))  # a JPEG is decoded no larger than needed
            picture = _plain(ImageOps.exif_transpose(opened))
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise PhotoTooManyPixels(name=name, limit=PIXELS_MAX // 1_000_000) from error
    except _UNREADABLE as error:
        raise PhotoNotReadable(name=name) from error
    return Photo(
        jpeg=_jpeg(picture, JPEG_QUALITY),
        thumbnail=_jpeg(_within(picture, THUMBNAIL_PX), THUMBNAIL_QUALITY),
        width=picture.width,
        height=picture.height,
        position=position,
    )


# --- Private ---------------------------------------------------------------------------------------------------------


def _megabytes(size: int) -> str:
    return f"{size / 1024 / 1024:.0f}"


def _plain(picture: Image.Image) -> Image.Image:
    """The pixels alone, in sRGB, within the long side: what the file knew beside them stays behind."""
    profile = picture.info.get("icc_profile")
    small = _within(picture, LONG_SIDE_PX)
    if "A" in small.getbands() or "transparency" in small.info:
        with_alpha = small.convert("RGBA")
        small = Image.new("RGBA", with_alpha.size, "white")
        small.alpha_composite(with_alpha)
    elif profile and small.mode == "RGB":
        small = _in_srgb(small, profile)
    coloured = small.convert("RGB")
    plain = Image.new("RGB", coloured.size)
    plain.paste(coloured)
    return plain


def _within(picture: Image.Image, side_px: int) -> Image.Image:
    # Palettes and bits cannot be resampled, and 16-bit greys would be cut off by the conversion to eight bits.
    if picture.mode in {"P", "1"}:
        picture = picture.convert("RGBA" if "transparency" in picture.info else "RGB")
    elif picture.mode.startswith("I"):
        picture = picture.convert("I").point(lambda grey: grey / 256).convert("L")
    picture = picture.copy()
    picture.thumbnail((side_px, side_px), Image.Resampling.LANCZOS)
    return picture


def _in_srgb(picture: Image.Image, profile: bytes) -> Image.Image:
    """The colours as the camera meant them: stem colour decides which reed it is. A broken profile is left aside."""
    try:
        camera = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        return ImageCms.profileToProfile(picture, camera, ImageCms.createProfile("sRGB"), outputMode="RGB") or picture
    except (ImageCms.PyCMSError, OSError, ValueError):
        return picture


def _jpeg(picture: Image.Image, quality: int) -> bytes:
    written = io.BytesIO()
    picture.save(written, "JPEG", quality=quality, optimize=True)
    return written.getvalue()


def _position(picture: Image.Image) -> Position | None:
    """Where the camera was, None where it did not say or said something that is no place."""
    try:
        said = picture.getexif().get_ifd(ExifTags.IFD.GPSInfo)
        latitude = _degrees(said[ExifTags.GPS.GPSLatitude], said[ExifTags.GPS.GPSLatitudeRef], "S")
        longitude = _degrees(said[ExifTags.GPS.GPSLongitude], said[ExifTags.GPS.GPSLongitudeRef], "W")
    except _UNREADABLE:
        return None
    if abs(latitude) > 90 or abs(longitude) > 180 or (latitude == 0 and longitude == 0):
        return None  # 0, 0 is what cameras write before they know
    return Position(latitude=latitude, longitude=longitude)


def _degrees(parts: Any, half: Any, negative: str) -> Decimal:
    degrees, minutes, seconds = (float(part) for part in parts)
    value = degrees + minutes / 60 + seconds / 3600
    if not 0 <= value <= 180:
        raise ValueError("no angle of a place")
    turned = -value if str(half).strip("\x00 ").upper() == negative else value
    return Decimal(turned).quantize(_DEGREE_DIGITS)
